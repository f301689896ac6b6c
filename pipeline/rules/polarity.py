"""Polarity and phase sequence confirmed, and the voltage of the supply."""

from collections.abc import Iterator

from pipeline.facts.choices import Confirmed, NewOrExisting
from pipeline.facts.field import Needed
from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.row import Row
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.rules.base import Area, Case, Outcome, meets, reaches, rule
from pipeline.rules.outcomes import blank, name_of, not_applicable, passed, shown, tabled, typed, unmeasured

VOLTAGES = ("voltage_l1", "voltage_l2", "voltage_l3")


def _tested(case: Case) -> Iterator[tuple[Circuit, CircuitReadings]]:
    """Each circuit with the readings that count."""
    for circuit in case.job.circuits:
        if row := case.job.latest(circuit):
            yield circuit, row


def _two_sided(row: Row, attribute: str, subject: str, *, called: bool) -> Outcome:
    """The verdict on a check that is confirmed or wrong; 'N/A' only where nothing calls for it."""
    title, answer = row.fields()[attribute].title, getattr(row, attribute)
    if answer is Confirmed.CONFIRMED:
        return passed(subject, f"{title} confirmed.", row.where(attribute))
    if answer is Confirmed.WRONG:
        return Outcome(
            Verdict.FAIL,
            subject,
            f"{title} is wrong.",
            row.where(attribute),
            found="wrong",
            expected="confirmed",
            remedy="Isolate, correct the connections, and test again.",
        )
    if not called:
        return not_applicable(subject, f"{title} does not arise here.")
    if answer is None:
        return blank(subject, row, attribute)
    return Outcome(
        Verdict.QUERY,
        subject,
        f"{title} cannot be 'not applicable' here.",
        row.where(attribute),
        found="N/A",
        expected="confirmed",
        remedy=f"Test the {title.lower()} and enter the outcome.",
    )


@rule(title="Polarity is confirmed", area=Area.POLARITY, reference="IEC 60364-6, 6.4.3.6", needed=Needed.TEST)
def polarity_is_confirmed(case: Case) -> Iterator[Outcome]:
    """Every tested circuit has a polarity."""
    for _, row in _tested(case):
        yield _two_sided(row, "polarity", name_of(row), called=True)


@rule(title="Phase sequence is confirmed", area=Area.POLARITY, reference="IEC 60364-6, 6.4.3.9", needed=Needed.TEST)
def phase_sequence_is_confirmed(case: Case) -> Iterator[Outcome]:
    """Every new three-phase circuit has a sequence."""
    for circuit, row in _tested(case):
        called = circuit.phases == 3 and circuit.new is not NewOrExisting.EXISTING
        yield _two_sided(row, "sequence", name_of(row), called=called)


@rule(
    title="The supply voltage is within its band", area=Area.POLARITY, reference="statutory limits", needed=Needed.TEST
)
def supply_voltage_is_within_its_band(case: Case) -> Iterator[Outcome]:
    """Measured on every phase of the supply."""
    supply = case.job.supply
    if supply.phases is None:
        yield blank("Supply", supply, "phases")
        return
    lowest, highest = case.edition.testing.voltage_band()
    for attribute in VOLTAGES[: supply.phases]:
        if gap := unmeasured("Supply", supply, attribute):
            yield gap
            continue
        volts = getattr(supply, attribute).quantity
        calculation = Calculation(
            "U_min ≤ U ≤ U_max",
            f"{lowest.shown} ≤ {shown(supply, attribute)} ≤ {highest.shown}",
            shown(supply, attribute),
            f"{lowest.shown} to {highest.shown} ({lowest.reference})",
            None,
            (typed("U", supply, attribute), tabled("U_min", lowest), tabled("U_max", highest)),
        )
        title = supply.fields()[attribute].title
        if reaches(volts, lowest.quantity) and meets(volts, highest.quantity):
            yield passed(
                "Supply", f"{title} is within its band.", supply.where(attribute), calculation, lowest.confidence
            )
        else:
            yield Outcome(
                Verdict.QUERY,
                "Supply",
                f"{title} is outside the band that the public supply keeps.",
                supply.where(attribute),
                found=shown(supply, attribute),
                expected=f"{lowest.shown} to {highest.shown}",
                remedy="Measure again; if it is so, tell the network operator.",
                reference=str(lowest.reference),
                calculation=calculation,
            )
