"""Resistance of a length of cable from the resistance per metre at 20 °C."""

from pipeline.standards.formula import formula
from pipeline.standards.iec_60228_2004 import SOURCE

TABLES = SOURCE.at("Tables 1 and 2")


@formula("{r} × {length}", TABLES, result="R [Ω]", r="r [mΩ/m]", length="L [m]")
def conductor_resistance(r: float, length: float) -> float:
    """Resistance of one conductor at 20 °C, in ohms."""
    return r * length / 1000


@formula(
    "({r_1} + {r_2}) × {length}",
    TABLES,
    result="R_1 + R_2 [Ω]",
    r_1="r_1 [mΩ/m]",
    r_2="r_2 [mΩ/m]",
    length="L [m]",
)
def pair_resistance(r_1: float, r_2: float, length: float) -> float:
    """Resistance of line and protective conductor in series at 20 °C, in ohms."""
    return (r_1 + r_2) * length / 1000


@formula(
    "({r_1} × {f_1} + {r_2} × {f_2}) × {length}",
    TABLES,
    result="R_1 + R_2 [Ω]",
    r_1="r_1 [mΩ/m]",
    f_1="f_1 []",
    r_2="r_2 [mΩ/m]",
    f_2="f_2 []",
    length="L [m]",
)
def warm_pair_resistance(r_1: float, f_1: float, r_2: float, f_2: float, length: float) -> float:
    """The same with each conductor at its own temperature, by its factor on the resistance at 20 °C, in ohms."""
    return (r_1 * f_1 + r_2 * f_2) * length / 1000


@formula("(234.5 °C + {theta}) / 254.5 °C", SOURCE.at("Annex on temperature correction"), result="f []", theta="θ [°C]")
def resistance_factor(theta: float) -> float:
    """Resistance of copper at a temperature over that at 20 °C."""
    return (234.5 + theta) / 254.5
