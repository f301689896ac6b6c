"""Voltage drop by the tabulated drop per ampere and metre."""

from math import sqrt

from pipeline.standards.bs_7671_2018_a2 import SOURCE
from pipeline.standards.formula import formula

ANNEX = SOURCE.at("Appendix 4")


@formula(
    "{per_metre} × {current} × {length}",
    ANNEX,
    result="u [V]",
    per_metre="u_t [mV/A/m]",
    current="I_B [A]",
    length="L [m]",
)
def voltage_drop(per_metre: float, current: float, length: float) -> float:
    """Drop in volts: of the line voltage where the tabulated figure is that of a three-phase cable."""
    return per_metre * current * length / 1000


@formula("√3 × {u_0}", ANNEX, result="U [V]", u_0="U_0 [V]")
def line_voltage(u_0: float) -> float:
    """Voltage between line conductors, in volts."""
    return sqrt(3) * u_0
