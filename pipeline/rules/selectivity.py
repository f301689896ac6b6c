"""Which device opens first: told, and asked about only where the wrong one surely may."""

from collections.abc import Iterator
from typing import NamedTuple

from pipeline.editions import Value
from pipeline.facts.choices import DeviceStandard, RcdDelay
from pipeline.facts.field import Place
from pipeline.facts.findings import Verdict, WhenMissing
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.circuits import Circuit
from pipeline.rules.base import Area, Case, Outcome, meets, reaches, rule
from pipeline.rules.outcomes import blank, name_of, passed
from pipeline.standards.formula import figure

REFERENCE = "IEC 60364-5-53, 536.4"
FUSES = frozenset(
    {DeviceStandard.FUSE_88_2, DeviceStandard.FUSE_88_3, DeviceStandard.FUSE_3036, DeviceStandard.FUSE_1361}
)


class Upstream(NamedTuple):
    """The overcurrent device before a circuit's own, in amperes."""

    standard: DeviceStandard
    amperes: float
    what: str
    places: tuple[Place, ...]


def _upstream(job: Job, circuit: Circuit) -> Upstream | None:
    """The feeder's device, at the intake the cut-out; None where it is not described."""
    path = job.path(circuit)
    if len(path) > 1:
        feeder = path[-2]
        if feeder.device is None or feeder.device_rating is None:
            return None
        amperes = magnitude(feeder.device_rating, "A")
        return Upstream(feeder.device, amperes, name_of(feeder), feeder.where("device_rating"))
    supply = job.supply
    if supply.cutout_standard is None or supply.cutout_rating is None:
        return None
    amperes = magnitude(supply.cutout_rating, "A")
    return Upstream(supply.cutout_standard, amperes, "the cut-out", supply.where("cutout_rating"))


@rule(
    title="The device nearest the fault opens first",
    area=Area.SELECTIVITY,
    reference=REFERENCE,
    when_missing=WhenMissing.PRINT,
)
def devices_nearest_the_fault_open_first(case: Case) -> Iterator[Outcome]:
    """The device upstream is rated higher; two fuses keep their ratio; what only a maker can tell is a note."""
    ratio = case.edition.protection.selectivity_ratio()
    for circuit in case.job.circuits:
        before = _upstream(case.job, circuit)
        if circuit.device is None or circuit.device_rating is None:
            yield blank(name_of(circuit), circuit, "device", "device_rating")
        elif before is None:
            yield blank("Supply", case.job.supply, "cutout_standard", "cutout_rating")
        else:
            yield _ordered(circuit, before, ratio)


def _ordered(circuit: Circuit, before: Upstream, ratio: Value) -> Outcome:
    """The verdict on two devices in series."""
    own = magnitude(circuit.device_rating, "A")
    places = circuit.where("device_rating") + before.places
    found = f"{figure(own, 'A')} after {figure(before.amperes, 'A')} ({before.what})"
    factor = float(ratio.quantity.magnitude)
    both_fuses = circuit.device in FUSES and before.standard in FUSES
    if not meets(own, before.amperes):
        return Outcome(
            Verdict.QUERY,
            name_of(circuit),
            "The device upstream is rated below this one.",
            places,
            found=found,
            expected="a higher rating upstream",
            remedy="Compare both ratings with the site sheet.",
        )
    if both_fuses and reaches(before.amperes, factor * own):
        message = f"The fuse upstream stays when this device opens: {found}, at least {ratio.shown} to one."
        return passed(name_of(circuit), message, places)
    why = f"two fuses closer than {ratio.shown} to one" if both_fuses else _why(own, before)
    return Outcome(
        Verdict.NOTE,
        name_of(circuit),
        "The device upstream may open together with this one.",
        places,
        found=f"{found}: {why}",
        expected="only this device opens",
        remedy="Nothing, if the signatory accepts it; the makers' tables tell.",
    )


def _why(own: float, before: Upstream) -> str:
    """What leaves it open which of two devices opens first."""
    if before.standard not in FUSES:
        return "at a short circuit both may be as fast"
    if meets(before.amperes, own):
        return "both are rated the same"
    return "no maker's figure shows that the fuse stays at a short circuit"


@rule(
    title="RCDs in series have a delay",
    area=Area.SELECTIVITY,
    reference="IEC 60364-5-53, 536.4.3",
    when_missing=WhenMissing.PRINT,
)
def rcds_in_series_have_a_delay(case: Case) -> Iterator[Outcome]:
    """Without a delay upstream either may trip, and the whole board goes dark."""
    for circuit in case.job.circuits:
        if circuit.rcd_type is None:
            continue
        undelayed = [place for delay, place in _rcds_before(case.job, circuit) if delay is not RcdDelay.S]
        if undelayed:
            yield Outcome(
                Verdict.QUERY,
                name_of(circuit),
                "An RCD without delay stands before this circuit's RCD.",
                (*circuit.where("rcd_type"), *(each for places in undelayed for each in places)),
                found="upstream RCD without delay",
                expected="type S upstream, or none",
                remedy="Fit a delayed RCD upstream or take it out; else have the signatory accept it.",
            )
        else:
            yield passed(name_of(circuit), "No RCD without delay stands before this circuit's RCD.")


def _rcds_before(job: Job, circuit: Circuit) -> Iterator[tuple[RcdDelay | None, tuple[Place, ...]]]:
    """Delay and cells of each RCD between the intake and a circuit's own."""
    for section in job.path(circuit):
        board = job.board(section.board)
        if board and board.rcd_type is not None:
            yield board.rcd_delay, board.where("rcd_type", "rcd_delay")
        if section != circuit and section.rcd_type is not None:
            yield section.rcd_delay, section.where("rcd_type", "rcd_delay")
