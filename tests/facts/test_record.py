"""The record says what was typed, what it means and where it stood; its key depends on what was typed alone."""

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Scope, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import quantity
from pipeline.facts.reading import Reading
from pipeline.facts.record import canonical, canonical_texts, fingerprint, input_key, record_of
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.readings import CircuitReadings

READINGS = CircuitReadings(
    circuit="9",
    zs=Reading(typed="0,62", quantity=quantity(0.62, "Ω")),
    at={"zs": Place("Readings", "L5"), "circuit": Place("Readings", "C5")},
    typed={"zs": "0,62", "circuit": "9"},
)
OTHER = CircuitReadings(circuit="10", typed={"circuit": "10"}, at={"circuit": Place("Readings", "C6")})


def job(*readings):
    return Job(row=JobRow(job="A-1", typed={"job": "A-1"}, at={"job": Place("Jobs", "A3")}), readings=readings)


def test_a_cell_keeps_what_was_typed_beside_what_it_means():
    cell = record_of(job(READINGS), [], {}, date(2026, 11, 24))["job"]["readings"][0]["zs"]
    assert cell == {"typed": "0,62", "shown": "0.62", "cell": "Readings L5", "Ω": 0.62}


def test_a_blank_cell_is_there_and_empty():
    assert record_of(job(READINGS), [], {}, date(2026, 11, 24))["job"]["readings"][0]["r2"] == {"shown": ""}


def test_findings_of_the_week_stay_out_of_the_record():
    kept = Finding("a", Verdict.NOTE, "A-1", "s", "m")
    left = Finding("b", Verdict.QUERY, "A-1", "s", "m", scope=Scope.WEEK)
    assert [each["rule"] for each in record_of(job(), [kept, left], {}, date(2026, 11, 24))["findings"]] == ["a"]


def test_equal_records_have_equal_fingerprints():
    records = [canonical(record_of(job(READINGS), [], {"id": "uk"}, date(2026, 11, 24))) for _ in range(2)]
    assert fingerprint(records[0]) == fingerprint(records[1])


def test_a_resorted_workbook_has_the_same_input_key():
    moved = READINGS.model_copy(update={"at": {"zs": Place("Readings", "L9"), "circuit": Place("Readings", "C9")}})
    assert input_key(job(READINGS, OTHER), "uk") == input_key(job(OTHER, moved), "uk")


def test_one_other_digit_or_another_edition_gives_another_input_key():
    changed = READINGS.model_copy(update={"typed": {"zs": "0,63", "circuit": "9"}})
    keys = {input_key(job(READINGS), "uk"), input_key(job(changed), "uk"), input_key(job(READINGS), "iec")}
    assert len(keys) == 3


def test_another_photo_gives_another_input_key():
    with_photo = job().model_copy(update={"photo_sums": {"a.jpg": "00"}})
    other_photo = job().model_copy(update={"photo_sums": {"a.jpg": "11"}})
    assert input_key(with_photo, "uk") != input_key(other_photo, "uk")


@settings(deadline=None)
@given(
    st.dictionaries(
        st.text("abcdefgh_", min_size=1),
        st.text() | st.lists(st.dictionaries(st.text("xyz"), st.text())) | st.dictionaries(st.text("klm"), st.text()),
    )
)
def test_texts_alone_have_the_same_canonical_bytes_the_quick_way(texts):
    assert canonical_texts(texts) == canonical(texts)
