"""An old record judged again: same, differs since correction NN, or differs without a reason."""

import json
import shutil
from dataclasses import replace
from datetime import date

import pytest

from pipeline.audit.recheck import Outcome, recheck
from pipeline.editions import Correction, edition
from pipeline.editions import book as books
from pipeline.editions.edition import _correction
from pipeline.facts.record import canonical, record_of
from pipeline.rules import check_job
from pipeline.standards import table as tables
from tests.rules.honest import build, but

TODAY = date(2026, 11, 24)


@pytest.fixture(scope="module")
def recorded():
    """A sound job and its record."""
    job = build()
    rules = edition("uk_2018_a4")
    return job, json.loads(canonical(record_of(job, check_job(job, rules, TODAY), rules.as_json(), TODAY)))


def corrected(rules, *, told=("cable_carries_its_load",)):
    """The edition as it would be after a correction that this record did not know."""
    entry = Correction(1, date(2027, 2, 1), "a slip in a table", ("x",), told, {rules.id: rules.sha256})
    return replace(rules, sha256="f" * 64, corrections=(entry,))


def test_an_untouched_record_is_the_same(recorded):
    job, record = recorded
    assert str(recheck(record, job)) == "same"


def test_better_words_are_no_other_finding(recorded):
    job, record = recorded
    changed = json.loads(json.dumps(record))
    changed["findings"][0]["message"] = "The same in other words."
    assert str(recheck(changed, job)) == "same, 1 findings worded otherwise"


def test_another_verdict_differs_without_a_reason_and_is_named(recorded):
    job, record = recorded
    changed = json.loads(json.dumps(record))
    changed["findings"][3]["verdict"] = "fail"
    found = recheck(changed, job)
    assert found.outcome is Outcome.UNEXPLAINED
    assert all(each.startswith(changed["findings"][3]["rule"]) for each in found.differences)


def test_a_finding_left_out_differs_without_a_reason(recorded):
    job, record = recorded
    changed = {**record, "findings": record["findings"][1:]}
    assert recheck(changed, job).outcome is Outcome.UNEXPLAINED


def test_a_correction_that_changes_nothing_here_leaves_the_record_the_same(recorded):
    job, record = recorded
    found = recheck(record, job, lambda name: corrected(edition(name)))
    assert (str(found), [each.number for each in found.corrections]) == ("same", [1])


def test_what_a_correction_changed_differs_since_its_number(recorded):
    job, record = recorded
    touched = record["findings"][3]["rule"]
    changed = json.loads(json.dumps(record))
    for each in changed["findings"]:
        if each["rule"] == touched:
            each["verdict"] = "note"
    told = recheck(changed, job, lambda name: corrected(edition(name), told=(touched,)))
    assert str(told) == "differs since correction 1"
    untold = recheck(changed, job, lambda name: corrected(edition(name), told=("another_rule",)))
    assert untold.outcome is Outcome.UNEXPLAINED


def test_an_edition_changed_without_a_correction_is_named(recorded):
    job, record = recorded
    found = recheck(record, job, lambda name: replace(edition(name), sha256="e" * 64))
    assert found.outcome is Outcome.UNEXPLAINED
    assert "never had the fingerprint" in found.differences[0]


def test_an_edition_that_nobody_knows_is_named(recorded):
    job, record = recorded
    other = {**record, "edition": {**record["edition"], "id": "atlantis"}}
    assert "atlantis" in recheck(other, job).differences[0]


def test_a_correction_written_into_an_edition_changes_its_fingerprint_and_is_read(tmp_path, monkeypatch):
    folder = shutil.copytree(books.FOLDER, tmp_path / "editions", ignore=shutil.ignore_patterns("*.py*", "__pycache__"))
    before = books.open_book("iec").sha256()
    text = (folder / "iec.toml").read_text("utf-8")
    entry = (
        f'[[corrections]]\nnumber = 1\ndate = 2027-02-01\nreason = "a slip"\n'
        f'files = ["iec_60364_6_2016/table_6_1.csv"]\nrules = ["insulation"]\nreplaces = {{ iec = "{before}" }}\n'
    )
    (folder / "iec.toml").write_text(f"{text}\n{entry}", "utf-8")
    monkeypatch.setattr(books, "FOLDER", folder)
    changed = books.open_book.__wrapped__("iec")
    [listed] = changed.content["corrections"]
    assert changed.sha256() != before
    assert _correction(listed).replaces == {"iec": before}


def test_the_corrections_in_force_have_each_a_number_of_their_own():
    for name in ("uk_2018_a2", "uk_2018_a4", "iec"):
        numbers = [each.number for each in edition(name).corrections]
        assert numbers == sorted(set(numbers))


@pytest.fixture
def amended(tmp_path, monkeypatch):
    """The edition `uk_2018_a2` opened anew from a copy in which a loop reading may use half of its limit, not 0.8."""
    kept = (books.open_book, books._figures, books._capped, tables.load, tables.figures)
    folder = shutil.copytree(books.FOLDER, tmp_path / "editions", ignore=shutil.ignore_patterns("*.py*", "__pycache__"))
    shelf = shutil.copytree(tables.FOLDER, tmp_path / "standards", ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    before = edition("uk_2018_a2").sha256

    def opened(*told):
        page = shelf / "bs_7671_2018_a2" / "figures.csv"
        page.write_text(page.read_text("utf-8").replace("loop_share,0.8", "loop_share,0.4"), "utf-8")
        if told:
            entry = (
                f'\n[[corrections]]\nnumber = 1\ndate = 2027-02-01\nreason = "a slip in the share"\n'
                f'files = ["bs_7671_2018_a2/figures.csv"]\nrules = {json.dumps(told)}\n'
                f'replaces = {{ uk_2018_a2 = "{before}" }}\n'
            )
            own = folder / "uk_2018_a2.toml"
            own.write_text(own.read_text("utf-8") + entry, "utf-8")
        for each in kept:
            each.cache_clear()
        return edition.__wrapped__("uk_2018_a2")

    monkeypatch.setattr(books, "FOLDER", folder)
    monkeypatch.setattr(tables, "FOLDER", shelf)
    yield opened
    monkeypatch.undo()
    for each in kept:
        each.cache_clear()


@pytest.fixture(scope="module")
def under_a2():
    """A job whose Zs is 0.6 of its limit, and its record under amendment 2."""
    job, rules = but(build(), "readings", zs=0.65, r1_r2=0.41), edition("uk_2018_a2")
    return job, json.loads(canonical(record_of(job, check_job(job, rules, TODAY), rules.as_json(), TODAY)))


def test_a_table_amended_by_a_correction_explains_what_differs(under_a2, amended):
    job, record = under_a2
    rules = amended("measured_zs_is_within_its_limit")
    assert str(recheck(record, job, lambda _: rules)) == "differs since correction 1"


def test_a_table_amended_in_silence_is_no_reason(under_a2, amended):
    job, record = under_a2
    rules = amended()
    found = recheck(record, job, lambda _: rules)
    assert found.outcome is Outcome.UNEXPLAINED
    assert any(each.startswith("measured_zs_is_within_its_limit") for each in found.differences)


def test_a_correction_of_other_rules_is_no_reason(under_a2, amended):
    job, record = under_a2
    rules = amended("rcds_trip_in_time")
    assert recheck(record, job, lambda _: rules).outcome is Outcome.UNEXPLAINED


def test_the_edition_as_it_is_gives_the_same_again(under_a2):
    job, record = under_a2
    assert str(recheck(record, job)) == "same"
