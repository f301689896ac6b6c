"""A record judged again by its own edition: same, differs since a correction, or differs without a reason."""

import json
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from pipeline.editions import Correction, Edition, edition
from pipeline.facts.findings import Scope
from pipeline.facts.job import Job
from pipeline.facts.record import Json, canonical, record_of
from pipeline.rules import check_job

_WORDING = frozenset({"message", "remedy", "found", "expected"})


class Outcome(StrEnum):
    """What judging a record again can give."""

    SAME = "same"
    CORRECTED = "differs since correction"
    UNEXPLAINED = "differs without a reason"


@dataclass(frozen=True, slots=True)
class Recheck:
    """The outcome, the corrections of the edition since, and each finding that differs, in one line."""

    outcome: Outcome
    corrections: tuple[Correction, ...] = ()
    differences: tuple[str, ...] = ()
    reworded: int = 0

    def __str__(self) -> str:
        """The outcome in words, with the numbers of the corrections that explain it."""
        if self.outcome is Outcome.CORRECTED:
            return f"{self.outcome} {', '.join(str(each.number) for each in self.corrections)}"
        return f"{self.outcome}, {self.reworded} findings worded otherwise" if self.reworded else str(self.outcome)


def recheck(record: Json, job: Job, find: Callable[[str], Edition] = edition) -> Recheck:
    """Judge a job again as its record says it was judged; `find` gives an edition by its name."""
    named = record["edition"]
    try:
        rules = find(named["id"])
    except KeyError:
        return Recheck(Outcome.UNEXPLAINED, differences=(f"No edition {named.get('id')} is known to this program.",))
    before, again = _of_rules(record["findings"]), _again(record, job, rules)
    gone, come = _without(before, again, _substance), _without(again, before, _substance)
    lines = _lines(gone, come)
    since = _corrections_since(rules, named["sha256"])
    if since is None:
        unknown = f"The edition {rules.id} never had the fingerprint {named['sha256'][:16]}… that the record names."
        return Recheck(Outcome.UNEXPLAINED, differences=(unknown, *lines))
    if not lines:
        return Recheck(Outcome.SAME, since, reworded=len(_without(before, again, canonical)))
    touched = {rule for each in since for rule in each.rules}
    explained = {each["rule"] for each in (*gone, *come)} <= touched
    return Recheck(Outcome.CORRECTED if explained else Outcome.UNEXPLAINED, since, lines)


def _corrections_since(rules: Edition, sha256: str) -> tuple[Correction, ...] | None:
    """The corrections made after the edition had this fingerprint; None where it never had it."""
    if sha256 == rules.sha256:
        return ()
    for place, each in enumerate(rules.corrections):
        if each.replaces.get(rules.id) == sha256:
            return rules.corrections[place:]
    return None


def _again(record: Json, job: Job, rules: Edition) -> list[Json]:
    """The findings that the rules give today, on the day on which the record was made."""
    as_of = date.fromisoformat(record["as_of"])
    found: list[Json] = json.loads(canonical(record_of(job, check_job(job, rules, as_of), {}, as_of)))["findings"]
    return found


def _of_rules(findings: Iterable[Json]) -> list[Json]:
    """Findings of rules; what was found while cells were typed cannot be found again and stays as it is."""
    return [each for each in findings if each["scope"] != Scope.CELL]


def _without(these: Iterable[Json], others: Iterable[Json], form: Callable[[Json], bytes]) -> list[Json]:
    """What is in the first and not in the second, as often as it is, where equal in form is the same."""
    these = list(these)
    surplus = Counter(map(form, these)) - Counter(map(form, others))
    by_form = {form(each): each for each in these}
    return [by_form[each] for each in surplus.elements()]


def _substance(finding: Json) -> bytes:
    """What counts of a finding: a later program may word it better, but not judge otherwise or by other figures."""
    return canonical({name: part for name, part in finding.items() if name not in _WORDING})


def _lines(gone: Iterable[Json], come: Iterable[Json]) -> tuple[str, ...]:
    """Each rule and subject with another result in one line: what was recorded, and what judging again gives."""
    told: dict[tuple[str, str], dict[str, list[str]]] = {}
    for when, findings in (("recorded", gone), ("now", come)):
        for each in findings:
            results = told.setdefault((each["rule"], each["subject"]), {})
            results.setdefault(when, []).append(f"{each['verdict']}: {each['message']}")
    return tuple(
        f"{rule} · {subject} · " + " ".join(f"[{when}] {' '.join(results)}" for when, results in found.items())
        for (rule, subject), found in sorted(told.items())
    )
