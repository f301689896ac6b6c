"""R1+R2 as measured, against what length, size and temperature of the cable give."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pipeline.editions import CABLE_CELLS, CableRun, Missing, Value, derived
from pipeline.facts.choices import Function, ProtectiveConductor, YesNo
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude, quantity
from pipeline.facts.reading import Reading
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, margin, meets, reaches, rule
from pipeline.rules.conductors import cable_of
from pipeline.rules.instruments import band, spread
from pipeline.rules.outcomes import blank, cells, lacking, name_of, passed, shown, tabled, typed, unmeasured, untabled
from pipeline.rules.slips import Pair, advice, copied
from pipeline.standards.formula import figure
from pipeline.standards.iec_60228_2004.annex_a import conductor_resistance

# how far a reading may lie above what the cable gives, in ohms or as a share, and how far below: common practice
ABOVE_OHM, ABOVE_SHARE, BELOW_SHARE = 0.05, 0.25, 0.40
# metal beside the cable carries part of the protective conductor's current and none of the line conductor's: a reading
# stays above this share of R1 alone, since copper is never so much better than its standard asks. Common practice
LINE_SHARE = 0.8
# a display counts in hundredths of an ohm, so that a short cable reads one step less: common practice
STEP = 0.01
# where the temperature at the test is not told
USUAL_CELSIUS = 20.0
ABOVE = f"+ {ABOVE_OHM} Ω or {ABOVE_SHARE:.0%}".replace("%", " %")
BELOW = f"−{BELOW_SHARE:.0%} and a step of the display".replace("%", " %")
# a ring's R1+R2 is read at each of its outlets, where two ways lead to the board: a quarter of it from end to end
RING_PARTS = 4
METAL = frozenset({ProtectiveConductor.ARMOUR, ProtectiveConductor.CORE_AND_ARMOUR})


@dataclass(frozen=True, slots=True)
class Expected:
    """What a reading should be, in ohms, with the working behind it; `line` is the part of the line conductor."""

    ohm: float
    line: float
    cold: Value
    factor: Value


@rule(title="R1+R2 fits the cable", area=Area.CONTINUITY, reference="IEC 60364-6, 6.4.3.2", needed=Needed.TEST)
def r1_r2_fits_the_cable(case: Case) -> Iterator[Outcome]:
    """A reading too high is a bad joint or a wrong length; one far too low has another path."""
    for circuit in case.job.circuits:
        row = case.job.latest(circuit)
        if row is None:
            continue
        attribute = "r2" if _figured(row.r2) and not _figured(row.r1_r2) else "r1_r2"
        run, subject = cable_of(case, circuit), name_of(circuit)
        if run is not None and _figured(row.ring_r1):
            run = replace(run, length=run.length / RING_PARTS)
        if gap := unmeasured(subject, row, attribute):
            yield gap
        elif run is None:
            yield lacking(subject, circuit, *CABLE_CELLS) or blank(subject, circuit, *CABLE_CELLS)
        else:
            cold = cold_resistance(case, run, attribute)
            if isinstance(cold, Missing):
                yield untabled(subject, cold, circuit.where("live_size", "cpc_size"))
            else:
                line = line_alone(case, run) if attribute == "r1_r2" else 0.0
                yield _judged(case, circuit, (row, attribute), _at_temperature(case, row, cold, line))


def _figured(reading: Reading | None) -> bool:
    """Whether there is a figure, rather than a blank or a reason."""
    return reading is not None and reading.measured


def cold_resistance(case: Case, run: CableRun, attribute: str) -> Value | Missing:
    """R1+R2 at 20 °C, or R2 alone where only that was measured."""
    pair = case.edition.cables.pair_resistance(run)
    if attribute == "r1_r2" or isinstance(pair, Missing):
        return pair
    line = case.edition.cables.line_resistance(run)
    if isinstance(line, Missing):
        return line
    own = magnitude(pair.quantity, "Ω") - magnitude(line.quantity, "mΩ/m") * magnitude(run.length, "m") / 1000
    per_metre = quantity(1000 * own / magnitude(run.length, "m"), "mΩ/m")
    return derived(conductor_resistance(r=per_metre, length=run.length), pair, line)


def plausible(circuit: Circuit, ohm: float, line: float, off: float = 0.0) -> tuple[float, float]:
    """Least and largest reading, in ohms, that fit a resistance, with what the instrument may be off; `line` is R1."""
    beside_metal = LINE_SHARE * line - off
    least = beside_metal if has_path(circuit) else ohm * (1 - BELOW_SHARE) - max(off, STEP)
    return max(0.0, least), ohm + max(ABOVE_OHM, ABOVE_SHARE * ohm) + off


def line_alone(case: Case, run: CableRun) -> float:
    """R1 at 20 °C in ohms, without its protective conductor; nought where it is not tabulated."""
    line = case.edition.cables.line_resistance(run)
    return 0.0 if isinstance(line, Missing) else magnitude(line.quantity, "mΩ/m") * magnitude(run.length, "m") / 1000


def _at_temperature(case: Case, row: CircuitReadings, cold: Value, line: float) -> Expected:
    """The resistance at the temperature of the test."""
    theta = row.ambient if row.ambient is not None else quantity(USUAL_CELSIUS, "°C")
    factor = case.edition.cables.factor_at(theta)
    warmer = float(factor.quantity.magnitude)
    return Expected(magnitude(cold.quantity, "Ω") * warmer, line * warmer, cold, factor)


def _judged(case: Case, circuit: Circuit, cell: tuple[CircuitReadings, str], expected: Expected) -> Outcome:
    """The verdict on one reading."""
    row, attribute = cell
    value = magnitude(getattr(row, attribute).quantity, "Ω")
    off = band(case.job, row, Function.CONTINUITY, getattr(row, attribute), "Ω")
    least, most = plausible(circuit, expected.ohm, expected.line, off)
    calculation = _calculation(circuit, cell, expected, (least, most, off))
    if not meets(value, most) or not reaches(value, least):
        return _out_of_band(case.job, circuit, cell, (calculation, expected))
    places, title = cells(*calculation.inputs), row.fields()[attribute].title
    return passed(name_of(circuit), f"{title} fits the cable.", places, calculation, plausible=True)


@rule(
    title="The temperature at the test is told",
    area=Area.CONTINUITY,
    reference="IEC 60364-6, 6.4.3.2",
    needed=Needed.TEST,
)
def temperatures_at_the_test_are_told(case: Case) -> Iterator[Outcome]:
    """A resistance is read at some temperature; where none is told 20 °C is taken, and said."""
    for circuit in case.job.circuits:
        row = case.job.latest(circuit)
        if row is None or not (_figured(row.r1_r2) or _figured(row.r2)):
            continue
        if row.ambient is not None:
            yield passed(name_of(circuit), f"Measured at {shown(row, 'ambient')}.", row.where("ambient"))
        else:
            yield Outcome(
                Verdict.NOTE,
                name_of(circuit),
                "The temperature at the test is not told and was taken as 20 °C.",
                row.where("ambient"),
                found="blank",
                expected="the temperature at the test",
                remedy="Enter the temperature at the test.",
            )


def has_path(circuit: Circuit) -> bool:
    """Whether metal beside the cable shares the protective conductor's current."""
    return circuit.parallel_path is YesNo.YES or circuit.cpc in METAL


def _calculation(
    circuit: Circuit, cell: tuple[CircuitReadings, str], expected: Expected, limits: tuple[float, float, float]
) -> Calculation:
    """The working: the cable's resistance at the temperature of the test, and the band around it."""
    row, attribute = cell
    worked, title = expected.cold.worked, row.fields()[attribute].title
    least, most = (figure(each, "Ω") for each in limits[:2])
    quarter = f"; L of a ring / {RING_PARTS}" if _figured(row.ring_r1) else ""
    below = f"{LINE_SHARE:g} × R_1 beside a metal path" if has_path(circuit) else BELOW
    instrument = f", ± {figure(limits[2], 'Ω')} of the instrument" if limits[2] else ""
    return Calculation(
        f"{title} ≈ f × {worked.symbols if worked else 'R'}{quarter}",
        f"{expected.factor.shown} × {worked.numbers if worked else expected.cold.shown} = {figure(expected.ohm, 'Ω')}",
        shown(row, attribute),
        f"{least} to {most} ({expected.cold.reference}; common practice: {below}, {ABOVE}{instrument})",
        margin(magnitude(getattr(row, attribute).quantity, "Ω"), limits[1]),
        (
            typed(title, row, attribute),
            *spread(limits[2], "Ω"),
            typed("L", circuit, "length"),
            typed("S", circuit, "live_size"),
            typed("S_p", circuit, "cpc_size"),
            tabled("R at 20 °C", expected.cold),
            tabled("f", expected.factor),
        ),
    )


def _out_of_band(
    job: Job, circuit: Circuit, cell: tuple[CircuitReadings, str], against: tuple[Calculation, Expected]
) -> Outcome:
    """A query on a reading that this cable does not give."""
    (row, attribute), (calculation, expected) = cell, against
    title, value = row.fields()[attribute].title, magnitude(getattr(row, attribute).quantity, "Ω")
    length = None if circuit.length is None else magnitude(circuit.length, "m")
    pair = Pair(title, value, "by length and size", expected.ohm, "Ω", length)
    high = value > expected.ohm
    slips = [*copied(job, row, attribute), *pair.slips()]
    remedy = "Compare both with the site sheet, and measure again."
    if high:
        slips.append("a loose joint")
    elif not has_path(circuit):
        slips.append("a parallel earth path")
        remedy = "Compare both with the site sheet; declare the metal path beside the cable, if any."
    return Outcome(
        Verdict.QUERY,
        name_of(circuit),
        f"{title} is {'higher' if high else 'lower'} than this cable gives.",
        cells(*calculation.inputs),
        found=pair.said,
        expected=calculation.limit,
        remedy=advice(iter(slips), remedy),
        calculation=calculation,
    )
