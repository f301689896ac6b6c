"""Resistance to earth of a vertical rod (9.5.3)."""

from math import log, pi

from pipeline.standards.bs_7430_2011 import SOURCE
from pipeline.standards.formula import formula


@formula(
    "{rho} / (2π × {length}) × (ln(8 × {length} / {diameter}) − 1)",
    SOURCE.at("9.5.3"),
    result="R [Ω]",
    rho="ρ [Ω·m]",
    length="L [m]",
    diameter="d [mm]",
)
def rod_resistance(rho: float, length: float, diameter: float) -> float:
    """Resistance to earth of one rod driven vertically into uniform soil, in ohms."""
    return rho / (2 * pi * length) * (log(8 * length / (diameter / 1000)) - 1)
