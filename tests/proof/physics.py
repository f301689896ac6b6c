"""What instruments show on sound work: conductors of the standard, a little short of it, read with a stated error."""

from dataclasses import dataclass
from random import Random

from pipeline.editions import CableRun, Edition
from pipeline.facts.choices import LoopMethod
from pipeline.facts.choices import ProtectiveConductor as Cpc
from pipeline.facts.quantities import magnitude, quantity

# real conductors lie below the largest resistance that the standard allows: common practice
COPPER = (0.94, 1.0)
# contact and leads that were not quite nulled, in ohms: common practice
CONTACT = (0.0, 0.015)


@dataclass(frozen=True)
class Accuracy:
    """± per cent of the reading, ± digits of the last place, and that place."""

    percent: float
    digits: int
    step: float
    unit: str

    def read(self, rng: Random, true: float) -> float:
        """What the display shows of a true value: mostly close to it, never beyond what the maker states."""
        most = true * self.percent / 100 + self.digits * self.step
        decimals = 0 if self.step >= 1 else len(f"{self.step:g}") - 2
        # the rounding to the last place is one of the stated digits
        within = max(0.0, most - self.step / 2)
        return round(max(0.0, true + rng.triangular(-within, within, 0.0)), decimals)


@dataclass(frozen=True)
class Tester:
    """A multifunction tester; figures as data sheets of such instruments state them, from memory."""

    name: str
    method: LoopMethod
    loop: Accuracy
    stated: bool
    continuity: Accuracy = Accuracy(3, 2, 0.01, "Ω")
    fault_current: Accuracy = Accuracy(4, 2, 0.01, "kA")
    insulation: Accuracy = Accuracy(3, 3, 1, "MΩ")
    rcd: Accuracy = Accuracy(1, 1, 1, "ms")
    electrode: Accuracy = Accuracy(2, 3, 0.1, "Ω")
    voltage: Accuracy = Accuracy(0.5, 1, 1, "V")


TESTERS = (
    Tester("T1", LoopMethod.HIGH_CURRENT, Accuracy(3, 3, 0.01, "Ω"), stated=True),
    Tester("T2", LoopMethod.NO_TRIP, Accuracy(5, 5, 0.01, "Ω"), stated=True),
    Tester("T3", LoopMethod.HIGH_CURRENT, Accuracy(3, 3, 0.01, "Ω"), stated=False),
)


@dataclass(frozen=True)
class Loops:
    """True impedances at one place in ohms, the conductors at 20 °C: through earth and through the neutral."""

    earth: float
    neutral: float


@dataclass(frozen=True)
class Pair:
    """A cable's true R_1 + R_2 and R_1 + R_N at the temperature of the test, in ohms."""

    earth: float
    neutral: float


def pair_of(rng: Random, edition: Edition, run: CableRun, celsius: float) -> Pair:
    """A real cable of this kind and length; armour beside a core shares the earth fault current with it."""
    factor = float(edition.cables.factor_at(quantity(celsius, "°C")).quantity.magnitude) * rng.uniform(*COPPER)
    line = magnitude(edition.cables.line_resistance(run).quantity, "mΩ/m") * magnitude(run.length, "m") / 1000
    pair = magnitude(edition.cables.pair_resistance(run).quantity, "Ω")
    shared = rng.uniform(0.75, 0.95) if run.cpc is Cpc.CORE_AND_ARMOUR else 1.0
    return Pair(factor * (line + shared * (pair - line)), factor * 2 * line)
