"""Readings as an instrument would show them on a sound installation, from length, size, temperature and supply.

A small fixed scatter stands for real conductors and instruments; it depends on names only, so that the
demo is the same on every machine and a job's readings do not move when another job is added.
"""

from dataclasses import dataclass
from hashlib import sha256

# IEC 60228, Tables 1 and 2, plain annealed copper, largest resistance at 20 °C in Ω/km; confirmed
R20 = {1.5: 12.1, 2.5: 7.41, 4: 4.61, 6: 3.08, 10: 1.83, 16: 1.15, 25: 0.727, 35: 0.524, 50: 0.387, 70: 0.268}
# change of copper's resistance per kelvin about 20 °C (trade rule 1 + 0.004 (θ − 20)); confirmed
ALPHA = 0.004
# real conductors lie a little below the largest resistance of the standard; common practice
BELOW_LARGEST = 0.97
NOMINAL_VOLTAGE = 230.0


def scatter(*names: object) -> float:
    """A fixed number from −1 to 1 for these names."""
    digest = sha256("/".join(map(str, names)).encode()).digest()
    return int.from_bytes(digest[:4]) / 0xFFFF_FFFF * 2 - 1


def between(low: float, high: float, *names: object) -> float:
    """A fixed number from low to high for these names."""
    return low + (scatter(*names) + 1) / 2 * (high - low)


def whole(low: int, high: int, *names: object) -> int:
    """A fixed whole number from low to high for these names."""
    return round(between(low, high, *names))


def resistance(size: float, length: float, temperature: float) -> float:
    """Resistance of a copper conductor in Ω; size in mm², length in m, temperature in °C."""
    return R20[size] * length / 1000 * (1 + ALPHA * (temperature - 20)) * BELOW_LARGEST


@dataclass(frozen=True, slots=True)
class Loops:
    """Impedances in Ω from the source to one place: through the protective conductor and through the neutral."""

    earth: float
    neutral: float

    def through(self, live: float, protective: float, length: float, temperature: float) -> "Loops":
        """The loops at the far end of a cable; sizes in mm², length in m, temperature in °C."""
        line = resistance(live, length, temperature)
        return Loops(self.earth + line + resistance(protective, length, temperature), self.neutral + 2 * line)

    def at_electrode(self, electrode: float) -> "Loops":
        """The same place earthed through an electrode of that resistance; the source's own earth counts 1 Ω."""
        return Loops(self.neutral / 2 + electrode + 1.0, self.neutral)

    def fault_current(self, voltage: float = NOMINAL_VOLTAGE) -> float:
        """Prospective fault current line to neutral in kA."""
        return voltage / self.neutral / 1000


def supply_voltage(*names: object) -> float:
    """A voltage as measured at an intake in the evening, in V."""
    return round(between(234.0, 244.0, "voltage", *names), 1)


def rcd_time(*names: object) -> int:
    """Break time of a sound general-type RCD at its rated residual current in ms (common practice)."""
    return whole(17, 36, "break", *names)
