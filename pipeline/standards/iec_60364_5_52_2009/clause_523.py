"""Current-carrying capacity of a cable as installed."""

from pipeline.standards.formula import formula
from pipeline.standards.iec_60364_5_52_2009 import SOURCE


@formula(
    "{i_t} × {c_a} × {c_g} × {c_i} × {c_c} × {c_s}",
    SOURCE.at("523"),
    result="I_z [A]",
    i_t="I_t [A]",
    c_a="C_a []",
    c_g="C_g []",
    c_i="C_i []",
    c_c="C_c []",
    c_s="C_s []",
)
def effective_capacity(i_t: float, c_a: float, c_g: float, c_i: float, c_c: float, c_s: float) -> float:
    """Tabulated capacity times the factors for temperature, grouping, insulation, burial and soil, in amperes."""
    return i_t * c_a * c_g * c_i * c_c * c_s
