"""What was found, sorted for the calculation record, the certificate and the letters; nothing is judged again."""

from collections.abc import Iterable

from pipeline.documents.rows.answers import accepted
from pipeline.documents.texts import BLANK, Json, Texts, counted, given, joined, plain
from pipeline.facts.choices import YesNo
from pipeline.facts.field import Field
from pipeline.facts.findings import Confidence, Verdict, WhenMissing

# the rule that knows the loop impedance permitted at a circuit, its symbol there, and the rules on telling other bodies
LOOP_RULE = "measured_zs_is_within_its_limit"
LOOP_LIMIT = "Z_s,max"
OPERATOR_RULE = "network_operators_are_told_or_asked"
BUILDING_RULE = "building_control_is_told"
DEMAND_RULE = "demand_fits_the_cut_out"
DEADLINES = (OPERATOR_RULE, BUILDING_RULE)
# how the message of a check ends that holds against a figure which nobody confirmed
UNCONFIRMED = ("Figure carried over.", "Figure from memory.")

# least sure first: the confidence of a check is that of its least sure input
_SURENESS = (Confidence.MEMORY, Confidence.CARRIED_OVER, Confidence.CONFIRMED, Confidence.TYPED)

# until the relations of a record are numbered
UNNUMBERED = "?"
# per cent from which on a decimal says nothing
WIDE_MARGIN = 100
_ABBREVIATIONS = {
    "dc": "d.c.",
    "i2t": "I²t",
    "pen": "PEN",
    "ra": "R_A",
    "rcd": "RCD",
    "rcds": "RCDs",
    "tn": "TN",
    "tt": "TT",
    "ze": "Ze",
    "zs": "Zs",
}
_FINDING = {
    "check": Field("Check"),
    "subject": Field("Subject"),
    "verdict": Field("Verdict"),
    "message": Field("What the check says"),
    "found": Field("Found"),
    "expected": Field("Expected"),
    "remedy": Field("What to do"),
    "reference": Field("Clause"),
    "cells": Field("Cells"),
    "relation": Field("No."),
    "symbols": Field("Relation"),
    "numbers": Field("With figures"),
    "result": Field("Result"),
    "limit": Field("Limit"),
    "margin": Field("Margin", "%"),
    "confidence": Field("Confidence"),
    "sender": Field("Who tells"),
}
_LISTS = (
    "calculations",
    "relations",
    "plain_checks",
    "queries",
    "notes",
    "figure_notes",
    "not_assessed",
    "not_applicable",
    "holding",
    "operator_notices",
    "building_notices",
    "deadlines",
    "unconfirmed",
)
FIELDS: dict[str, dict[str, Field]] = dict.fromkeys(_LISTS, _FINDING) | {
    "outcome": {
        "sentence": Field("Outcome"),
        "notes_are": Field("What the notes are"),
        "deadlines": Field("Still to be told"),
        "unconfirmed": Field("Checks against a figure not confirmed"),
        "unseen": Field("Not seen, not tested or not assessed"),
        "passes": Field("Passed"),
        "notes": Field("Notes"),
        "queries": Field("Queries"),
        "fails": Field("Failed"),
        "not_assessed": Field("Not assessed"),
        "not_applicable": Field("Not applicable"),
    },
}


def outcome(record: Json) -> dict[str, str]:
    """How many checks gave which verdict, as figures and as a sentence."""
    count = dict.fromkeys(Verdict, 0)
    for each in record["findings"]:
        count[Verdict(each["verdict"])] += 1
    notes = [each for each in record["findings"] if each["verdict"] == Verdict.NOTE]
    deadlines = [each for each in notes if each["rule"] in DEADLINES]
    unsure = [each for each in notes if _unsure(each)]
    return {
        "sentence": _sentence(count, sum(1 for each in record["findings"] if _accepted(each, record))),
        "notes_are": _notes_are(len(deadlines), len(unsure), len(notes) - len(deadlines) - len(unsure)),
        "deadlines": joined((f"{plain(each['subject'])}: {plain(each['message'])}" for each in deadlines), " "),
        "unconfirmed": counted(len(unsure), "check"),
        "passes": str(count[Verdict.PASS]),
        "notes": str(count[Verdict.NOTE]),
        "queries": str(count[Verdict.QUERY]),
        "fails": str(count[Verdict.FAIL]),
        "not_assessed": str(count[Verdict.NOT_ASSESSED]),
        "not_applicable": str(count[Verdict.NOT_APPLICABLE]),
    }


def finding_lists(record: Json) -> dict[str, tuple[Texts, ...]]:
    """The findings by the part of the record in which they are printed."""
    found, firm = record["findings"], record["job"]["firm"]
    said = [_finding(each) for each in found]
    relations, figured = _numbered([each for each in said if given(each["relation"])])
    bare = [each for each in said if not given(each["relation"])]
    return {
        "relations": relations,
        "calculations": figured,
        "plain_checks": _grouped(_of(bare, Verdict.PASS)),
        "queries": _of(said, Verdict.FAIL, Verdict.QUERY),
        "notes": _grouped(_of(bare, Verdict.NOTE), "found", "expected"),
        "figure_notes": _grouped(_of(figured, Verdict.NOTE)),
        "not_assessed": _grouped(_of(said, Verdict.NOT_ASSESSED)),
        "not_applicable": _grouped(_of(said, Verdict.NOT_APPLICABLE)),
        "holding": tuple(_finding(each) for each in found if _holds(each) and not _accepted(each, record)),
        "operator_notices": tuple(_finding(each, firm) for each in found if each["rule"] == OPERATOR_RULE),
        "building_notices": tuple(_finding(each, firm) for each in found if each["rule"] == BUILDING_RULE),
        "deadlines": tuple(_finding(each) for each in found if each["rule"] in DEADLINES and _is_note(each)),
        "unconfirmed": tuple(_finding(each) for each in found if _is_note(each) and _unsure(each)),
    }


def demand_after(record: Json) -> str:
    """The largest demand with the new points, phase by phase, as the check of the cut-out found it."""
    sums = [each["calculation"] for each in record["findings"] if each["rule"] == DEMAND_RULE and each["calculation"]]
    return joined((f"{each['result']} ({each['numbers']})" for each in sums), "; ")


def permitted(record: Json, reading: Json) -> str:
    """The loop impedance that a circuit's protection permits, as the check of this reading found it."""
    cell = reading["zs"].get("cell")
    for each in record["findings"]:
        if each["rule"] == LOOP_RULE and each["calculation"] and cell in each["places"]:
            limits = (part["shown"] for part in each["calculation"]["inputs"] if part["symbol"] == LOOP_LIMIT)
            return plain(next(limits, "").partition("Ω")[0])
    return BLANK


def _accepted(finding: Json, record: Json) -> bool:
    """Whether a finding is a query that somebody answers for."""
    named = (finding["rule"], finding["subject"], finding["message"])
    return finding["verdict"] == Verdict.QUERY and named in accepted(record)


def _sentence(count: dict[Verdict, int], settled: int) -> str:
    """The outcome in words, gravest first; `settled` of the queries were accepted."""
    parts = [
        counted(number, one, many)
        for number, one, many in (
            (count[Verdict.FAIL], "check failed", "checks failed"),
            (count[Verdict.QUERY] - settled, "query is open", "queries are open"),
            (settled, "query was accepted", "queries were accepted"),
            (count[Verdict.PASS], "check passed", "checks passed"),
            (count[Verdict.NOTE], "note is printed", "notes are printed"),
            (count[Verdict.NOT_ASSESSED], "check could not be assessed", "checks could not be assessed"),
        )
        if number
    ]
    return f"{', '.join(parts)}." if parts else "Nothing was checked."


def _of(findings: Iterable[Texts], *verdicts: Verdict) -> tuple[Texts, ...]:
    """Those of some verdicts."""
    return tuple(each for each in findings if each["verdict"] in verdicts)


def _is_note(finding: Json) -> bool:
    """Whether a finding is a note."""
    return bool(finding["verdict"] == Verdict.NOTE)


def _unsure(finding: Json) -> bool:
    """Whether a check holds against a figure that was carried over or is from memory."""
    return str(finding["message"]).endswith(UNCONFIRMED)


def _notes_are(deadlines: int, unsure: int, others: int) -> str:
    """What kinds of note there are, each with its number."""
    kinds = [
        counted(deadlines, "note on who must be told", "notes on who must be told"),
        counted(
            unsure,
            "check that holds against a figure not confirmed with the printed standard",
            "checks that hold against figures not confirmed with the printed standard",
        ),
        counted(
            others, "remark on the design, the work or the readings", "remarks on the design, the work or the readings"
        ),
    ]
    present = [kind for kind, number in zip(kinds, (deadlines, unsure, others), strict=True) if number]
    return f"{'; '.join(present)}." if present else BLANK


def _sender(finding: Json, firm: Json) -> str:
    """Who tells the body that a finding is about: the firm, where it may; else whoever has the work done."""
    if not _is_note(finding):
        return BLANK
    itself = finding["rule"] == OPERATOR_RULE or firm["self_certifies"]["shown"] == YesNo.YES
    return plain(firm["name"]["shown"]) if itself else "the owner, before the work"


def _grouped(findings: Iterable[Texts], *more: str) -> tuple[Texts, ...]:
    """One line for findings that say the same of several subjects."""
    groups: dict[tuple[str, ...], list[Texts]] = {}
    for each in findings:
        key = tuple(each[name] for name in ("check", "message", "remedy", "reference", *more))
        groups.setdefault(key, []).append(each)
    return tuple({**group[0], "subject": _subjects([each["subject"] for each in group])} for group in groups.values())


def _subjects(subjects: list[str]) -> str:
    """Several subjects in one line, a kind named once: Charge point CP1, CP2; Supply."""
    kinds: dict[str, list[str]] = {}
    for each in dict.fromkeys(subjects):
        kind, _, name = each.rpartition(" ")
        numbered = bool(kind) and any(sign.isdigit() for sign in name)
        kinds.setdefault(kind if numbered else each, []).extend([name] if numbered else [])
    return "; ".join(f"{kind} {', '.join(names)}".rstrip() for kind, names in kinds.items())


def _numbered(findings: list[Texts]) -> tuple[tuple[Texts, ...], tuple[Texts, ...]]:
    """The relations behind calculations, each once under its number, and the calculations with those numbers."""
    relations: dict[tuple[str, str, str], Texts] = {}
    numbered = []
    for each in findings:
        key = (each["check"], each["symbols"], each["reference"])
        relation = relations.setdefault(key, {**each, "relation": str(len(relations) + 1)})
        numbered.append({**each, "relation": relation["relation"]})
    return tuple(relations.values()), tuple(numbered)


def _holds(finding: Json) -> bool:
    """Whether a finding keeps its job from being issued."""
    if finding["verdict"] == Verdict.NOT_ASSESSED:
        return bool(finding["when_missing"] == WhenMissing.HOLD)
    return finding["verdict"] in (Verdict.FAIL, Verdict.QUERY)


def _finding(finding: Json, firm: Json | None = None) -> Texts:
    """One finding with its calculation, where it has one; with the firm also who tells others of it."""
    sums = finding["calculation"] or {}
    return {
        "check": named(finding["rule"]),
        "subject": plain(finding["subject"]),
        "verdict": finding["verdict"],
        "message": plain(finding["message"]),
        "found": plain(finding["found"]),
        "expected": plain(finding["expected"]),
        "remedy": plain(finding["remedy"]),
        "reference": plain(finding["reference"]),
        "cells": joined(finding["places"]),
        "relation": UNNUMBERED if finding["calculation"] else BLANK,
        "symbols": plain(sums.get("symbols", "")),
        "numbers": plain(sums.get("numbers", "")),
        "result": plain(sums.get("result", "")),
        "limit": plain(sums.get("limit", "")),
        "margin": _margin(sums.get("margin")),
        "confidence": _confidence(sums.get("inputs", [])),
        "sender": _sender(finding, firm) if firm else BLANK,
    }


def _margin(margin: float | None) -> str:
    """A margin in per cent, with a decimal where it matters."""
    if margin is None:
        return BLANK
    return f"{margin:.1f}" if abs(margin) < WIDE_MARGIN else f"{margin:.0f}"


def named(rule: str) -> str:
    """A rule's name as a heading, with the trade's abbreviations as the trade writes them."""
    words = [
        _ABBREVIATIONS.get(word, word)
        for word in rule.replace("r1_r2", "R1+R2").replace("cut_out", "cut-out").split("_")
    ]
    return plain(" ".join([words[0][:1].upper() + words[0][1:], *words[1:]]))


def _confidence(inputs: list[Json]) -> str:
    """The confidence of the least sure inputs, and which they are where a source is not confirmed."""
    present = {each["confidence"] for each in inputs}
    least = next((each for each in _SURENESS if each in present), None)
    if least is None:
        return BLANK
    if least in (Confidence.CONFIRMED, Confidence.TYPED):
        return str(least)
    return f"{least}: {joined(each['symbol'] for each in inputs if each['confidence'] == least)}"
