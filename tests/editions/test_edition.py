"""The edition follows from the design date; each fills every role and says how sure its figures are."""

from datetime import date

import pytest

from pipeline.editions import IDENTITIES, Edition, Missing, Value, choose, edition
from pipeline.editions import book as book_module
from pipeline.editions.book import open_book
from pipeline.facts.choices import (
    CableType,
    CircuitKind,
    EarthingSystem,
    Grouping,
    Insulation,
    ProtectiveConductor,
    RcdDelay,
    RuleFamily,
)
from pipeline.facts.findings import Confidence
from pipeline.facts.quantities import quantity as q
from pipeline.standards.table import FOLDER

EDITIONS = [edition(each) for each in IDENTITIES]
U_0 = q(230, "V")


@pytest.fixture(params=EDITIONS, ids=IDENTITIES)
def each_edition(request) -> Edition:
    return request.param


@pytest.mark.parametrize(
    ("family", "designed", "chosen"),
    [
        (RuleFamily.UK, date(2022, 3, 27), None),
        (RuleFamily.UK, date(2022, 3, 28), "uk_2018_a2"),
        (RuleFamily.UK, date(2026, 4, 15), "uk_2018_a2"),  # either is allowed from here on
        (RuleFamily.UK, date(2026, 10, 14), "uk_2018_a2"),
        (RuleFamily.UK, date(2026, 10, 15), "uk_2018_a4"),
        (RuleFamily.UK, date(2030, 1, 1), "uk_2018_a4"),
        (RuleFamily.IEC, date(2017, 1, 1), None),
        (RuleFamily.IEC, date(2026, 10, 15), "iec"),
    ],
)
def test_the_design_date_chooses_the_edition(family, designed, chosen):
    found = choose(family, designed)
    assert (found.id if found else None) == chosen


def test_an_unknown_edition_is_refused():
    with pytest.raises(KeyError):
        edition("uk_1992")


def test_no_day_belongs_to_two_editions_of_a_family():
    older, newer, _ = EDITIONS
    assert older.valid_to < newer.valid_from
    assert (newer.valid_from - older.valid_to).days == 1


def test_the_record_names_the_edition_and_how_sure_it_is(each_edition):
    record = each_edition.as_json()
    assert record["id"] == each_edition.id
    assert len(record["sha256"]) == 64
    assert record["title"]
    assert record["document"]
    assert record["valid_from"] == each_edition.valid_from.isoformat()
    assert "confirmed" in record["statement"]


def test_the_fingerprint_follows_the_figures(tmp_path, monkeypatch):
    content = dict(open_book("uk_2018_a2").content)
    changed = tmp_path / "uk_2018_a2.toml"
    changed.write_text((book_module.FOLDER / "uk_2018_a2.toml").read_text("utf-8") + "# touched\n", encoding="utf-8")
    before = edition("uk_2018_a2").sha256
    monkeypatch.setattr(book_module, "FOLDER", tmp_path)
    assert book_module.Book(content, Confidence.CONFIRMED).sha256() != before
    assert len({each.sha256 for each in EDITIONS}) == len(EDITIONS)


def test_an_edition_that_leaves_a_role_unfilled_does_not_open(tmp_path, monkeypatch):
    text = (book_module.FOLDER / "uk_2018_a2.toml").read_text("utf-8").replace("insulation_voltage =", "other =")
    (tmp_path / "gap.toml").write_text(text, encoding="utf-8")
    (tmp_path / "roles.toml").write_text((book_module.FOLDER / "roles.toml").read_text("utf-8"), encoding="utf-8")
    monkeypatch.setattr(book_module, "FOLDER", tmp_path)
    with pytest.raises(ValueError, match="gap: nothing fills insulation_voltage"):
        open_book.__wrapped__("gap")


def roles(of: Edition) -> list[Value | Missing]:
    """What each role about no particular cable or device answers."""
    protection, testing, charging, earthing = of.protection, of.testing, of.charging, of.earthing
    times = [protection.rcd_time(delay, each) for delay in RcdDelay for each in (1, 2, 5)]
    disconnection = [
        protection.disconnection_time(system, kind, q(32, "A"), U_0)
        for system in EarthingSystem
        for kind in CircuitKind
    ]
    return [
        *times,
        *disconnection,
        *(protection.rcd_least_time(each) for each in (1, 2, 5)),
        *protection.conditional_rating(),
        protection.loop_share(),
        protection.touch_voltage(),
        protection.stable_electrode(),
        protection.selectivity_ratio(),
        protection.instantaneous_time(),
        protection.largest_electrode_resistance(q(30, "mA")),
        protection.residual_disconnecting_current(q(30, "mA")),
        of.drops.limit(q(20, "m")),
        of.drops.greatest(),
        of.cables.factor_at(q(20, "°C")),
        testing.insulation_resistance(),
        testing.insulation_voltage(),
        *testing.voltage_band(),
        *(testing.pilot_current(q(each, "%")) for each in (8, 16, 90, 97)),
        testing.proximity_current(q(220, "Ω")),
        charging.point_rcd(),
        charging.dc_detection(),
        charging.open_pen_touch_voltage(),
        charging.open_pen_time(),
        *charging.open_pen_voltages(),
        *(earthing.separate_size(protected=each) for each in (True, False)),
        *(earthing.buried_size(sheathed=each) for each in (True, False)),
        earthing.earthing_size(q(25, "mm²")),
        *(earthing.bonding_size(each, q(25, "mm²"), q(16, "mm²")) for each in EarthingSystem),
    ]


def test_each_role_is_filled_and_cited(each_edition):
    for answer in roles(each_edition):
        assert isinstance(answer, Value), answer
        assert answer.reference.source.document
        assert answer.shown


AMENDED = ("BS 7671", "IEC 60364")


def test_under_amendment_4_no_figure_that_it_may_have_changed_is_confirmed():
    found = [each for each in roles(edition("uk_2018_a4")) if each.reference.source.document.startswith(AMENDED)]
    assert {each.confidence for each in found} == {Confidence.CARRIED_OVER, Confidence.MEMORY}
    assert Confidence.CONFIRMED in {each.confidence for each in roles(edition("uk_2018_a2"))}


def test_an_amendment_of_the_wiring_rules_leaves_the_standards_of_products_as_they_are():
    old, new = roles(edition("uk_2018_a2")), roles(edition("uk_2018_a4"))
    products = [each for each in zip(old, new, strict=True) if not str(each[1].reference).startswith(AMENDED)]
    assert {"IEC 61008-1", "IEC 61851-1"} <= {each.reference.source.document for each, _ in products}
    assert [(one, other) for one, other in products if one.confidence is not other.confidence] == []


def test_a_figure_carried_over_names_the_edition_in_which_it_was_printed():
    named = {str(each.reference.source) for each in roles(edition("uk_2018_a4"))}
    assert "BS 7671:2018+A2:2022" in named
    assert [each for each in roles(edition("uk_2018_a4")) if "A4" in str(each.reference) and each.worked] == []


def test_amendment_4_carries_every_figure_over_unchanged():
    for old, new in zip(roles(edition("uk_2018_a2")), roles(edition("uk_2018_a4")), strict=True):
        assert old.quantity == new.quantity


def test_every_choice_of_the_workbook_has_its_place_in_the_edition(each_edition):
    content = each_edition.book.content
    assert content["temperatures"].keys() == set(Insulation)
    assert content["methods"].keys() == content["capacity"].keys() == set(CableType)
    assert content["grouping"].keys() == set(Grouping)
    assert content["conductors"].keys() == set(ProtectiveConductor)


def test_every_column_that_a_method_leads_to_is_printed_in_a_table(each_edition):
    book = each_edition.book
    for cable, letters in book.content["methods"].items():
        for tables in book.content["capacity"][cable].values():
            printed = {column for name in tables for column in book.open(name).columns}
            assert {f"{letter} 2" for letter in letters.values()} <= printed, cable


def test_every_table_on_file_is_used_or_checks_a_relation():
    used = {name for each in EDITIONS for name in book_module._texts(each.book.content) if "/table_" in name}
    on_file = {str(path.relative_to(FOLDER).with_suffix("")) for path in FOLDER.glob("*/table_*.csv")}
    assert on_file - used == {"bs_7671_2018_a2/table_41_3", "bs_7671_2018_a2/table_41_5"}
    assert used <= on_file


def test_a_fingerprint_covers_every_table_and_list_of_figures_that_the_edition_names():
    """Of `uk`: its own file, its tables of the wiring rules, and the figures of each document it cites."""
    names = {path.name for path in edition("uk_2018_a2").book._files()}
    assert {"uk_2018_a2.toml", "figures.csv", "table_41_4.csv", "table_4d5.csv", "table_1_2.csv"} <= names
