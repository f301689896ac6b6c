"""The whole demo week as rows of the workbook, and what has to become of each job."""

from dataclasses import dataclass
from datetime import date

from pipeline.demo.car_parks import CAR_PARKS
from pipeline.demo.firm import WEEK_ROWS
from pipeline.demo.held import HELD, PLANNED
from pipeline.demo.houses import HOUSES
from pipeline.demo.site import Rows
from pipeline.demo.special import SPECIAL
from pipeline.facts.findings import Verdict

TODAY = date(2026, 11, 24)
"""The day on which the week is checked."""


def demo_rows() -> Rows:
    """Fresh rows by sheet title, jobs in the order of their references; safe to change."""
    rows: Rows = {sheet: [dict(row) for row in given] for sheet, given in WEEK_ROWS.items()}
    sites = sorted((make() for make in (*HOUSES, *SPECIAL, *CAR_PARKS, *HELD, *PLANNED)), key=lambda site: site.job)
    for site in sites:
        for sheet, given in site.rows.items():
            rows.setdefault(sheet, []).extend(given)
    return rows


@dataclass(frozen=True, slots=True)
class Reason:
    """A finding that must be among those of a held job: where it points, and how grave it is."""

    sheet: str
    attribute: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Expectation:
    """What becomes of a job when the week is built, and for a held one why."""

    outcome: str
    reasons: tuple[Reason, ...] = ()


SIGNED_LATER = Expectation("awaiting signature")
EXPECTED: dict[str, Expectation] = {
    **{f"LN-{number}": SIGNED_LATER for number in (*range(101, 110), 111, 112, 116, 118, 119)},
    "LN-110": Expectation("held", (Reason("Boards", "rcd_type", Verdict.FAIL),)),
    "LN-113": Expectation("held", (Reason("Readings", "zs", Verdict.FAIL),)),
    "LN-114": Expectation(
        "held",
        (
            Reason("Readings", "r1_r2", Verdict.FAIL),
            Reason("Readings", "insulation_le", Verdict.FAIL),
            Reason("Readings", "polarity", Verdict.QUERY),
            Reason("Readings", "zs", Verdict.FAIL),
            Reason("Jobs", "energised", Verdict.FAIL),
            Reason("Jobs", "tester", Verdict.FAIL),
            Reason("Jobs", "circuits_total", Verdict.FAIL),
            Reason("Supplies", "fault_current", Verdict.FAIL),
        ),
    ),
    "LN-115": Expectation(
        "held",
        (Reason("Readings", "zs", Verdict.QUERY), Reason("Readings", "insulation_le", Verdict.QUERY)),
    ),
    "LN-117": Expectation("planned"),
}
