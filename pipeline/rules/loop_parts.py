"""Whether a loop reading is the sum of its parts: the impedance at the board and the circuit's own R1+R2."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pipeline.facts.choices import (
    ByWhat,
    LoopMethod,
    ProtectiveConductor,
    YesNo,
    ZsSource,
)
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Input, Verdict, WhenMissing
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.reading import number_read
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, meets, rule
from pipeline.rules.instruments import instruments_of
from pipeline.rules.loop_impedance import on_tn
from pipeline.rules.outcomes import (
    lacking,
    name_of,
    not_applicable,
    passed,
    shown,
    typed,
    unmeasured,
)
from pipeline.rules.slips import Pair, advice, copied
from pipeline.standards.formula import figure

# how far Z_s may lie from the sum of its parts, in ohms or as a share: common practice; wider for no-trip readings
BANDS = {LoopMethod.HIGH_CURRENT: (0.1, 0.2), LoopMethod.NO_TRIP: (0.3, 0.3)}


# readings are entered to a hundredth of an ohm, so a calculated sum is off by half of one at most
ROUNDING = 0.005


ARMOURED = frozenset({ProtectiveConductor.ARMOUR, ProtectiveConductor.CORE_AND_ARMOUR})


@dataclass(frozen=True, slots=True)
class Parts:
    """What a loop reading should be: the impedance upstream and the circuit's own R1+R2, in ohms."""

    upstream: float
    own: float

    @property
    def expected(self) -> float:
        """Their sum."""
        return self.upstream + self.own


def _upstream(job: Job, circuit: Circuit) -> float | None:
    """The loop impedance at the circuit's board: as measured there, else Ze and the feeders' R1+R2."""
    board = job.board(circuit.board)
    if board and board.board_zs and board.board_zs.measured:
        return magnitude(board.board_zs.quantity, "Ω")
    if job.supply.ze is None or not job.supply.ze.measured or job.supply.ze_by is ByWhat.ENQUIRY:
        return None
    total = magnitude(job.supply.ze.quantity, "Ω")
    for feeder in job.path(circuit)[:-1]:
        row = job.latest(feeder)
        if row is None or row.r1_r2 is None or not row.r1_r2.measured:
            return None
        total += magnitude(row.r1_r2.quantity, "Ω")
    return total


@rule(
    title="Zs is the sum of its parts",
    area=Area.LOOP_IMPEDANCE,
    reference="IEC 60364-6, 6.4.3.7; common practice",
    needed=Needed.TEST,
    when_missing=WhenMissing.PRINT,
)
def zs_agrees_with_its_parts(case: Case) -> Iterator[Outcome]:
    """Z_s against the impedance at the board plus R1+R2; a calculated one must be that sum."""
    for circuit in on_tn(case):
        row = case.job.latest(circuit)
        if row is None or row.zs is None or not row.zs.measured:
            continue
        subject, upstream = name_of(circuit), _upstream(case.job, circuit)
        if row.r2 and row.r2.measured and not (row.r1_r2 and row.r1_r2.measured):
            yield not_applicable(subject, "R2 alone was measured, so that there is no sum to compare with.")
        elif gap := unmeasured(subject, row, "r1_r2", "zs_source"):
            yield gap
        elif upstream is None or row.r1_r2 is None:
            yield lacking(subject, case.job.supply, "ze") or not_applicable(
                subject, "The impedance at the board was not measured, so that there is no sum to compare with."
            )
        else:
            parts = Parts(upstream, magnitude(row.r1_r2.quantity, "Ω"))
            yield _sum(case.job, circuit, row, parts)


def _sum(job: Job, circuit: Circuit, row: CircuitReadings, parts: Parts) -> Outcome:
    """The verdict on a loop against its parts."""
    off = number_read(row.zs, "Ω") - parts.expected
    calculated = row.zs_source is ZsSource.CALCULATED
    allowed = ROUNDING if calculated else _band_of_sum(job, row, parts)
    calculation = Calculation(
        "Z_s ≈ Z_upstream + (R_1 + R_2)",
        f"{figure(parts.upstream, 'Ω')} + {figure(parts.own, 'Ω')}",
        f"{figure(parts.expected, 'Ω')}, entered {shown(row, 'zs')}",
        f"± {figure(allowed, 'Ω')} (common practice)",
        None,
        (Input("Z_upstream", figure(parts.upstream, "Ω")), typed("R_1 + R_2", row, "r1_r2"), typed("Z_s", row, "zs")),
    )
    places = row.where("zs", "r1_r2", "zs_source") + job.supply.where("ze")
    parallel = circuit.parallel_path is YesNo.YES or circuit.cpc in ARMOURED
    if meets(abs(off), allowed) and (calculated or parallel or not _below_upstream(row, parts)):
        told = passed(name_of(circuit), "Zs agrees with its parts.", places, calculation)
        return told if calculated or parallel or _reaches_upstream(row, parts) else _short_of_upstream(told)
    if off < 0 and parallel and not calculated:
        return passed(name_of(circuit), "Zs is below its parts, which the parallel path explains.", places, calculation)
    message = f"Zs is {'above' if off > 0 else 'below'} the sum of its parts."
    pair = Pair("Zs", number_read(row.zs, "Ω"), "by its parts", parts.expected, "Ω")
    slips = [*copied(job, row, "zs"), *copied(job, row, "r1_r2"), *pair.slips()]
    slips.append("a loose joint" if off > 0 else "a parallel earth path")
    return Outcome(
        Verdict.FAIL if calculated else Verdict.QUERY,
        name_of(circuit),
        "Zs is entered as calculated, but is not the sum of its parts." if calculated else message,
        places,
        found=pair.said,
        expected=f"{figure(parts.expected, 'Ω')} ± {figure(allowed, 'Ω')}",
        remedy=advice(iter(slips), "Compare Zs, R1+R2 and the impedance at the board with the site sheet."),
        calculation=calculation,
    )


def _reaches_upstream(row: CircuitReadings, parts: Parts) -> bool:
    """Whether a loop is at least the one before it, as it must be but for the scatter of the instrument."""
    return meets(parts.upstream, magnitude(row.zs.quantity, "Ω") if row.zs else 0.0)


def _short_of_upstream(told: Outcome) -> Outcome:
    """What is said of a loop that scatter alone brings below the one before it."""
    return replace(
        told,
        verdict=Verdict.NOTE,
        message="Zs is below the impedance at its board, by no more than a reading scatters.",
        remedy="Compare Zs with the site sheet: it may be the figure of R1+R2.",
    )


def _below_upstream(row: CircuitReadings, parts: Parts) -> bool:
    """Whether a loop is less than the one before it by more than a plain reading allows.

    A no-trip reading comes out too high, not too low, so that its wide band is none below the impedance upstream.
    """
    least, share = BANDS[LoopMethod.HIGH_CURRENT]
    zs = number_read(row.zs, "Ω")
    return not meets(parts.upstream - zs, max(least, share * parts.upstream))


def _band_of_sum(job: Job, row: CircuitReadings, parts: Parts) -> float:
    """How far a measured loop may lie from its parts, in ohms, by the method of the instrument."""
    methods = {each.loop_method for each in instruments_of(job, row)}
    least, share = BANDS[LoopMethod.NO_TRIP if LoopMethod.NO_TRIP in methods else LoopMethod.HIGH_CURRENT]
    return max(least, share * parts.expected)
