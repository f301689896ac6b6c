"""On the demo week every rule has something to judge; how often it said what is printed."""

from collections import Counter
from functools import partial

import pytest

from pipeline.demo.__main__ import write_demo
from pipeline.demo.week import TODAY
from pipeline.facts.findings import Verdict
from pipeline.rules import RULES
from pipeline.run import Options, judge

JUDGED = (Verdict.PASS, Verdict.NOTE, Verdict.QUERY, Verdict.FAIL)
IN_ORDER = (*JUDGED, Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE)


@pytest.fixture(scope="module")
def counts(tmp_path_factory):
    """How often each rule of jobs came to each verdict."""
    folder = tmp_path_factory.mktemp("demo")
    _, jobs = judge(Options(write_demo(folder), folder / "outputs", as_of=TODAY), partial(str))
    return Counter((each.rule, each.verdict) for job in jobs for each in job.findings if each.rule in RULES)


def table(counts):
    """A line for each rule: pass, note, query, fail, not assessed, not applicable."""
    heads = "".join(f"{each!s:>15}" for each in IN_ORDER)
    lines = [f"{rule:56}" + "".join(f"{counts[rule, each]:15}" for each in IN_ORDER) for rule in RULES]
    sums = "".join(f"{sum(counts[rule, each] for rule in RULES):15}" for each in IN_ORDER)
    return "\n".join([f"{'rule':56}{heads}", *lines, f"{f'{len(RULES)} rules':56}{sums}"])


def test_every_rule_is_judged_on_the_demo_week(counts, record_property):
    record_property("told", table(counts))
    assert [rule for rule in RULES if not any(counts[rule, each] for each in JUDGED)] == []
