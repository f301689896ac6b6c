"""Readings that were not taken: of a required reading of a new circuit no limitation is possible."""

from collections.abc import Iterator

from pipeline.facts.choices import NewOrExisting
from pipeline.facts.field import Mark, Needed
from pipeline.facts.findings import Verdict
from pipeline.facts.reading import Reading
from pipeline.facts.row import Row
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import name_of, passed

# without these a new circuit has not been verified (IEC 60364-6, 6.4.3)
REQUIRED = frozenset({"r1_r2", "insulation_ll", "insulation_le", "zs", "rcd_time", "resistance"})


def _limited(case: Case) -> Iterator[tuple[Row, str, Reading, bool]]:
    """Every limited reading of the job: row, attribute, reading, and whether it belongs to new work."""
    job = case.job
    rows: list[tuple[Row, bool]] = [(job.supply, False)]
    rows += [(each, False) for each in job.boards] + [(each, True) for each in (*job.electrodes, *job.points)]
    for readings in job.readings:
        circuit = job.circuit(readings.board, readings.circuit)
        if circuit is None or readings == job.latest(circuit):
            rows.append((readings, circuit is None or circuit.new is not NewOrExisting.EXISTING))
    for row, new in rows:
        for attribute in row.fields():
            value = getattr(row, attribute)
            if isinstance(value, Reading) and value.mark is Mark.LIMITATION:
                yield row, attribute, value, new


@rule(title="Limitations are permissible", area=Area.LIMITATIONS, reference="IEC 60364-6, 6.4.3", needed=Needed.TEST)
def limitations_are_permissible(case: Case) -> Iterator[Outcome]:
    """Required readings of new work cannot be limited; others can by the signatory; on existing parts with a reason."""
    found = [_weighed(*each) for each in _limited(case)]
    yield from found or [passed("Job", "No reading is limited.")]


def _weighed(row: Row, attribute: str, reading: Reading, new: bool) -> Outcome:  # noqa: FBT001 - as `_limited` yields it
    """The verdict on one limited reading."""
    title = row.fields()[attribute].title
    reason = reading.reason or getattr(row, "limitation_reason", None)
    required = new and attribute in REQUIRED
    told = not new and reason
    return Outcome(
        Verdict.FAIL if required else Verdict.NOTE if told else Verdict.QUERY,
        name_of(row),
        f"{title} was not measured{'' if reason else ', and no reason is given'}.",
        row.where(attribute),
        found=row.shown(attribute),
        expected="a reading" if new else "a reading, or the reason why there is none",
        remedy=f"Measure {title}." if required else f"Measure {title}, or have the signatory accept the limitation.",
    )
