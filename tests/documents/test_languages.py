"""What the client reads in another language: complete, alike in its places, and no English left but what is listed."""

import re

import pytest
from documents.sample import ENVELOPE, job, record
from documents.test_catalogue import drawn, used

from pipeline.documents.blocks import EACH, Grid, Pairs, Signatures, walk
from pipeline.documents.catalogue import LOCALES, texts, value_words
from pipeline.documents.fields import FIELDS, label
from pipeline.documents.languages import COMPOSED, translated
from pipeline.documents.layouts import LAYOUTS, with_contents
from pipeline.documents.view import view
from pipeline.facts.choices import ClientLanguage

PLACE = re.compile(r"\{\w+\.\w+\}")
OTHERS = sorted(LOCALES.keys() - {"en"})
# the same word in both languages, read over by a person
ALIKE = {"de": {"words.Apr", "words.Nov", "words.Sep", "words.Aug"}}

TRANSLATED = ["cover-de", "user-instructions-de", "notices-de", "do-not-use-de"]


def labels_of(language):
    for layout in LAYOUTS.values():
        if layout.language == language:
            for block, around in walk(layout.blocks):
                match block:
                    case Pairs(row, fields):
                        yield from ((around if row == EACH else row, name) for name in fields)
                    case Grid(rows, columns) | Signatures(rows, columns):
                        yield from ((rows, column.field) for column in columns)


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_and_label_that_the_client_reads_is_there_and_no_other(language):
    wanted = {key for key, _ in used(language)} | {f"labels.{row}.{name}" for row, name in labels_of(language)}
    wanted |= {key for key in drawn() if key.startswith("spoken.")} - {"spoken.photo"}
    contents = {f"{each.original or each.document}.title" for each in LAYOUTS.values() if each.document != "do-not-use"}
    assert wanted <= texts(language).keys()
    assert texts(language).keys() <= wanted | contents | {"translation.title", "translation.original"}


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_has_the_places_of_its_original(language):
    for key, text in texts(language).items():
        original = texts().get(key, "")
        assert sorted(PLACE.findall(text)) == sorted(PLACE.findall(original)), key


@pytest.mark.parametrize("language", OTHERS)
def test_no_text_is_still_english(language):
    same = {key for key, text in texts(language).items() if text == texts().get(key)}
    same |= {
        f"labels.{row}.{name}" for row, name in labels_of(language) if label(row, name, language) == label(row, name)
    }
    same |= {f"words.{word}" for word, other in value_words(language, "words").items() if word == other}
    same |= {f"phrases.{word}" for word, other in value_words(language, "phrases").items() if word == other}
    assert same <= ALIKE[language]


@pytest.mark.parametrize("language", OTHERS)
def test_a_phrase_keeps_its_gaps(language):
    for english, other in value_words(language, "phrases").items():
        assert re.findall(r"\{\w\}", english) == re.findall(r"\{\w\}", other), english


def test_every_composed_field_is_a_field():
    for each in COMPOSED:
        row, _, name = each.partition(".")
        assert name in FIELDS[row], each


@pytest.mark.parametrize(
    ("field", "english", "german"),
    [
        ("outcome.sentence", "110 checks passed, 1 note is printed.", "110 Prüfungen bestanden, 1 Hinweis abgedruckt."),
        (
            "outcome.deadlines",
            "Network operator: To be told by 14 Dec 2026. Building control: To be told by 16 Mar 2027.",
            "Netzbetreiber: Zu melden bis 14. Dezember 2026. Bauaufsicht: Zu melden bis 16. März 2027.",
        ),
        ("job.points_named", "2 charge points: CP1 (A board), CP2 (B)", "2 Ladepunkte: CP1 (A board), CP2 (B)"),
        ("points.circuit_name", "board CU, circuit 12", "Verteiler CU, Stromkreis 12"),
        ("points.board_at", "Main board, hall cupboard (board CU-2)", "„Main board, hall cupboard“ (Verteiler CU-2)"),
        ("points.heading", "Charge point CP12, Bay 12", "Ladepunkt CP12, „Bay 12“"),
        ("firm.registered", "Sample, number S-1; covers dwellings", "Sample, Nummer S-1; umfasst „dwellings“"),
        (
            "job.sources_named",
            "public supply, isolate at Porch; solar 3.6 kW, isolate at Loft",
            "öffentliches Netz, freischalten hier: „Porch“; Photovoltaik 3.6 kW, freischalten hier: „Loft“",
        ),
        (
            "job.sources_named",
            "public supply, isolate at Porch; vehicle 11 kW, unplug it and keep it unplugged, isolate at Way F7",
            (
                "öffentliches Netz, freischalten hier: „Porch“; "
                "Fahrzeug 11 kW, abstecken und abgesteckt lassen, freischalten hier: „Way F7“"
            ),
        ),
        ("firm.emergency", "999 or 112", "999 oder 112"),
        ("firm.emergency", "the emergency number of the country", "die Notrufnummer des Landes"),
        ("models.start_steps", "Plug it in.", "„Plug it in.“"),
        ("indicators.means", "–", "–"),
        ("source_places.place", "Fix at: Board, hall (board CU)", "Befestigen: „Board, hall“ (Verteiler CU)"),
        ("source_places.place", "Fix at: the intake and meter (Hall)", "Befestigen: Hausanschluss und Zähler („Hall“)"),
        ("source_places.place", "Fix at: Loft, beside it", "Befestigen: „Loft, beside it“"),
        ("island_places.place", "Fix at: charge point CP1", "Befestigen: Ladepunkt CP1"),
        (
            "points.others",
            "the vehicle (unplug it and keep it unplugged)",
            "das Fahrzeug (abstecken und abgesteckt lassen)",
        ),
        (
            "job.lowered",
            "charge point CP1 with at most 10 A (Until May); charge point CP2 with at most 7.5 A",
            "Ladepunkt CP1 mit höchstens 10 A („Until May“); Ladepunkt CP2 mit höchstens 7.5 A",
        ),
        (
            "job.further_rcds",
            "Consumer unit, hall (board CU, 100 mA, delayed, S); Box (board B, 30 mA)",
            "„Consumer unit, hall“ (Verteiler CU, 100 mA, verzögert, S); „Box“ (Verteiler B, 30 mA)",
        ),
        ("certificate.issued", "12 Oct 2026", "12. Oktober 2026"),
        ("job.site", "The board, 1 Circuit Road", "The board, 1 Circuit Road"),
    ],
)
def test_what_the_program_words_is_translated_and_what_people_typed_is_not(field, english, german):
    row, _, name = field.partition(".")
    assert translated(row, {name: english}, "de") == {name: german}


def test_only_a_client_who_reads_it_gets_the_translation():
    for language in (None, ClientLanguage.ENGLISH, ClientLanguage.GERMAN):
        row = job().row.model_copy(update={"client_language": language})
        seen = view(record(job().model_copy(update={"row": row})), ENVELOPE)
        has = [each.document for each in LAYOUTS.values() if each.language == "de" and each.needed(seen)]
        assert has == (TRANSLATED if language is ClientLanguage.GERMAN else [])


def test_contents_name_every_document_in_the_language_of_the_cover():
    row = job().row.model_copy(update={"client_language": ClientLanguage.GERMAN})
    seen = with_contents(view(record(job().model_copy(update={"row": row})), ENVELOPE), {})
    english = {each.title for each in LAYOUTS.values() if each.language == "en"}
    assert not english & {line["title"] for line in seen.in_language("de").lists["contents"]}


def test_a_translation_says_first_that_it_is_one():
    for layout in LAYOUTS.values():
        if layout.language == "de":
            assert texts("de")[layout.blocks[0].key].startswith("Diese Übersetzung dient der Information.")
