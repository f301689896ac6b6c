"""Conductors under fault current (adiabatic relation)."""

from math import sqrt

from pipeline.standards.formula import formula
from pipeline.standards.iec_60364_4_43_2008 import SOURCE

CLAUSE = SOURCE.at("434.5.2")


@formula("{current} × √({time}) / {k}", CLAUSE, result="S_min [mm²]", current="I [A]", time="t [s]", k="k [A·√s/mm²]")
def smallest_area(current: float, time: float, k: float) -> float:
    """Cross-section that a fault current of that duration just heats to its limit, in square millimetres."""
    return current * sqrt(time) / k


@formula("√({energy}) / {k}", CLAUSE, result="S_min [mm²]", energy="I²t [A²·s]", k="k [A·√s/mm²]")
def area_for_energy(energy: float, k: float) -> float:
    """Cross-section that the energy which a device lets through just heats to its limit, in square millimetres."""
    return sqrt(energy) / k


@formula("{k} × {area} / √({time})", CLAUSE, result="I [A]", k="k [A·√s/mm²]", area="S [mm²]", time="t [s]")
def withstand_current(k: float, area: float, time: float) -> float:
    """Current that heats a conductor to its limit in that time, in amperes."""
    return k * area / sqrt(time)
