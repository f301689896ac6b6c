"""With what was measured: fit for the test, calibrated on that day, and how exactly it reads."""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from functools import lru_cache
from typing import Any

from pipeline.facts.choices import ByWhat, Confirmed, Function, ZsSource
from pipeline.facts.field import Needed
from pipeline.facts.findings import Input, Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import UNITS, magnitude, quantity, unit_of
from pipeline.facts.reading import Reading, number_read
from pipeline.facts.row import Row
from pipeline.facts.rows.firm import Accuracy, Instrument
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, name_of, not_applicable, passed
from pipeline.standards.formula import figure

REFERENCE = "IEC 60364-6, 6.4.3.1; common practice"
# long enough to book a calibration: common practice
NOTICE = timedelta(days=30)
# functions of which the readings are compared with a limit
JUDGED = frozenset({Function.CONTINUITY, Function.INSULATION, Function.LOOP, Function.RCD, Function.ELECTRODE})


def _measured(row: CircuitReadings, *attributes: str) -> bool:
    """Whether any of these readings has a figure."""
    return any(isinstance(found := getattr(row, each), Reading) and found.measured for each in attributes)


def functions_used(row: CircuitReadings) -> frozenset[Function]:
    """What the instruments of a row of readings must be able to do."""
    used = {
        Function.CONTINUITY: _measured(row, "r1_r2", "r2"),
        Function.INSULATION: _measured(row, "insulation_ll", "insulation_le"),
        Function.LOOP: _measured(row, "zs") and row.zs_source is not ZsSource.CALCULATED,
        Function.RCD: _measured(row, "rcd_time", "rcd_time_180", "rcd_time_5"),
        Function.SEQUENCE: row.sequence is Confirmed.CONFIRMED,
    }
    return frozenset(function for function, needed in used.items() if needed)


def instruments_of(job: Job, row: CircuitReadings) -> tuple[Instrument, ...]:
    """The instruments of a row of readings that are on the list."""
    return tuple(found for name in (row.instrument, row.second_instrument) if (found := job.instrument(name)))


@rule(title="Readings have an instrument for them", area=Area.INSTRUMENTS, reference=REFERENCE, needed=Needed.TEST)
def readings_have_an_instrument_for_them(case: Case) -> Iterator[Outcome]:
    """Every reading has an instrument on the list that measures such a thing."""
    for row in case.job.readings:
        subject, instruments = name_of(row), instruments_of(case.job, row)
        can = frozenset[Function]().union(*(found.functions or () for found in instruments))
        missing = ", ".join(sorted(functions_used(row) - can))
        if not instruments:
            yield Outcome(
                Verdict.FAIL,
                subject,
                "No instrument stands behind these readings.",
                row.where("instrument"),
                found=row.shown("instrument") or "blank",
                expected="an instrument of the sheet Instruments",
                remedy="Name the instrument that was used.",
            )
        elif missing:
            yield Outcome(
                Verdict.QUERY,
                subject,
                "A reading has no instrument that measures such a thing.",
                (*row.where("instrument"), *(place for each in instruments for place in each.where("functions"))),
                found=f"{', '.join(str(each.instrument) for each in instruments)}, without {missing}",
                expected=f"an instrument for {missing}",
                remedy="Name the second instrument, or complete the instrument's functions.",
            )
        else:
            yield passed(subject, "Each reading has an instrument for it.", row.where("instrument"))


def _used_by(job: Job) -> dict[str, frozenset[Function]]:
    """What each instrument of the job was used for, torque tools and electrode testers too."""
    used: dict[str, frozenset[Function]] = defaultdict(frozenset)
    for row in job.readings:
        for found in instruments_of(job, row):
            used[found.instrument or ""] |= functions_used(row) & (found.functions or frozenset())
    if job.supply.instrument and _measured_at_the_intake(job):
        used[job.supply.instrument] |= {Function.LOOP}
    for electrode in job.electrodes:
        if electrode.instrument:
            used[electrode.instrument] |= {Function.ELECTRODE}
    for point in job.points:
        if point.torque_tool:
            used[point.torque_tool] |= {Function.TORQUE}
    return used


def _measured_at_the_intake(job: Job) -> bool:
    """Whether Ze or a fault current at the intake was measured, not told by the operator or calculated."""
    return ByWhat.MEASURED in (job.supply.ze_by, job.supply.fault_current_by)


@rule(title="The intake has an instrument for it", area=Area.INSTRUMENTS, reference=REFERENCE, needed=Needed.TEST)
def the_intake_has_an_instrument_for_it(case: Case) -> Iterator[Outcome]:
    """Ze and fault currents that were measured at the intake have an instrument on the list that measures loops."""
    supply, instrument = case.job.supply, case.job.instrument(case.job.supply.instrument)
    if not _measured_at_the_intake(case.job):
        yield not_applicable("Supply", "Neither Ze nor a fault current was measured at the intake.")
    elif instrument is None:
        yield blank("Supply", supply, "instrument")
    elif Function.LOOP not in (instrument.functions or ()):
        yield Outcome(
            Verdict.QUERY,
            "Supply",
            "Ze or a fault current was measured with an instrument that measures no loops.",
            supply.where("instrument") + instrument.where("functions"),
            found=f"{supply.shown('instrument')}, without {Function.LOOP}",
            expected=f"an instrument for {Function.LOOP}",
            remedy="Name the instrument that was used, or complete the instrument's functions.",
        )
    else:
        yield passed("Supply", "What was measured at the intake has an instrument for it.", supply.where("instrument"))


@rule(
    title="Instruments are calibrated on the day of the tests",
    area=Area.INSTRUMENTS,
    reference=REFERENCE,
    needed=Needed.TEST,
)
def instruments_are_calibrated_on_the_day_of_the_tests(case: Case) -> Iterator[Outcome]:
    """Calibrated by the first test and not due before the last."""
    days = [day for each in ("dead_tested", "live_tested") if (day := getattr(case.job.row, each)) is not None]
    for name in _used_by(case.job):
        instrument = case.job.instrument(name)
        if instrument is None:
            continue
        if not days:
            yield blank(name_of(instrument), case.job.row, "dead_tested", "live_tested")
        elif instrument.calibrated is None:
            yield _never_calibrated(instrument)
        elif instrument.due is None:
            yield blank(name_of(instrument), instrument, "due")
        else:
            yield _calibrated(instrument, (instrument.calibrated, instrument.due), (min(days), max(days)))


def _never_calibrated(instrument: Instrument) -> Outcome:
    """An instrument that nobody has ever compared with anything."""
    return Outcome(
        Verdict.FAIL,
        name_of(instrument),
        "No calibration of this instrument is recorded.",
        instrument.where("calibrated"),
        found="blank",
        expected="the date of its calibration",
        remedy="Enter the date from its certificate; without one, test again with a calibrated instrument.",
    )


def _calibrated(instrument: Instrument, span: tuple[date, date], tests: tuple[date, date]) -> Outcome:
    """The verdict on one instrument: its calibration's span against the first and last day of tests."""
    subject, places = name_of(instrument), instrument.where("calibrated", "due")
    held = f"calibrated {instrument.shown('calibrated')}, due {instrument.shown('due')}"
    if span[1] <= span[0]:
        return Outcome(
            Verdict.QUERY,
            subject,
            "The calibration is due on a day before it was made.",
            places,
            found=held,
            expected="a due date after the day of calibration",
            remedy="Mend the date that is wrong, from the certificate of the instrument.",
        )
    if span[0] > tests[0] or tests[1] > span[1]:
        return Outcome(
            Verdict.QUERY,
            subject,
            "The instrument was not in calibration on the day of the tests.",
            places,
            found=f"{held}; tests {tests[0]:%d %b %Y} to {tests[1]:%d %b %Y}",
            expected="a calibration that covers the tests",
            remedy="Have the signatory accept it with a later check that was in tolerance, or test again.",
        )
    if span[1] - tests[1] <= NOTICE:
        return Outcome(
            Verdict.NOTE,
            subject,
            "The instrument was due for calibration within 30 days of the tests.",
            places,
            found=held,
            expected=f"more than {NOTICE.days} days left",
            remedy="Book its calibration.",
        )
    return passed(subject, f"In calibration on the day of the tests: {held}.", places)


@rule(title="Instruments state their accuracy", area=Area.INSTRUMENTS, reference=REFERENCE, needed=Needed.TEST)
def instruments_state_their_accuracy(case: Case) -> Iterator[Outcome]:
    """Where none is stated, none is invented, and the record says so."""
    stated = {(each.instrument, each.function) for each in case.job.accuracies if _tells(each)}
    for name, functions in _used_by(case.job).items():
        instrument = case.job.instrument(name)
        silent = sorted(str(each) for each in functions & JUDGED if (name, each) not in stated)
        if instrument is None or not functions & JUDGED:
            continue
        if silent:
            yield Outcome(
                Verdict.NOTE,
                name_of(instrument),
                "No accuracy is stated, so readings close to a limit are taken as they stand.",
                instrument.where("instrument"),
                found=f"no accuracy for {', '.join(silent)}",
                expected="the maker's accuracy on the sheet Accuracies",
                remedy="Copy the accuracy from the instrument's data sheet.",
            )
        else:
            yield passed(name_of(instrument), "Its accuracy is stated for each test it was used for.")


def band(job: Job, row: CircuitReadings, function: Function, reading: Reading | None, unit: str) -> float:
    """Plus or minus how much a reading may be off, in `unit`, by what its instrument's maker states; 0 where silent."""
    return band_of(job, instruments_of(job, row), function, reading, unit)


def band_of(
    job: Job, instruments: Iterable[Instrument | None], function: Function, reading: Reading | None, unit: str
) -> float:
    """The same by the first of several instruments that states an accuracy for this function."""
    for instrument in instruments:
        for accuracy in job.accuracies:
            if instrument and (accuracy.instrument, accuracy.function) == (instrument.instrument, function):
                return _share(accuracy) * number_read(reading, unit) + _last_places(accuracy, unit)
    return 0.0


def band_at_the_origin(case: Case, reading: Reading, unit: str, function: Function = Function.LOOP) -> float:
    """The band of the intake's own instrument; where it names none, the widest of those that the readings name."""
    key = ("band at the origin", reading.typed, unit, function)
    return case.once(key, lambda: _widest(case.job, reading, unit, function))


def read_off(row: Row, attribute: str, off: float) -> float:
    """A band no smaller than half the last place in which a reading is entered: what rounding alone makes of it."""
    return max(off, 0.5 * 10.0 ** -row.fields()[attribute].decimals)


def _widest(job: Job, reading: Reading, unit: str, function: Function) -> float:
    """The same, worked out."""
    named = {name for row in job.readings for name in (row.instrument, row.second_instrument) if name}
    names = {job.supply.instrument} if job.supply.instrument else named
    return max((band_of(job, (job.instrument(name),), function, reading, unit) for name in names), default=0.0)


def uncertain(title: str, off: float, unit: str) -> str:
    """What is said of a reading whose band reaches over its limit."""
    return f"{title} passes, but within the instrument's uncertainty (± {figure(off, unit)})."


def spread(off: float, unit: str) -> tuple[Input, ...]:
    """The instrument's band as an input to a calculation; where no accuracy is stated, none is invented."""
    return (Input("±", figure(off, unit)),) if off else ()


def _share(accuracy: Accuracy) -> float:
    """The part of the accuracy that grows with the reading, as a factor."""
    return 0.0 if accuracy.percent is None else magnitude(accuracy.percent, "%") / 100


def _last_places(accuracy: Accuracy, unit: str) -> float:
    """The part of the accuracy that is counted in steps of the display, in `unit`."""
    step = _step(accuracy.last_place or "")
    if step is None or accuracy.digits is None or not step.is_compatible_with(unit_of(unit)):
        return 0.0
    return accuracy.digits * magnitude(step, unit)


@lru_cache(256)
def _step(last_place: str) -> Any | None:
    """The smallest step of the display, or None where the cell does not read as a number with its unit."""
    match = re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*(\S+)\s*", last_place)
    return quantity(float(match[1].replace(",", ".")), match[2]) if match and match[2] in UNITS else None


def _tells(accuracy: Accuracy) -> bool:
    """Whether a row tells anything: a share of the reading, or digits with the step they count in."""
    return accuracy.percent is not None or (
        accuracy.digits is not None and _step(accuracy.last_place or "") is not None
    )
