"""Current-carrying capacity of a cable as installed."""

from pipeline.standards.formula import formula
from pipeline.standards.iec_60364_5_52_2009 import SOURCE


@formula(
    "{i_t} × {c_a} × {c_g} × {c_i} × {c_c}",
    SOURCE.at("523"),
    result="I_z [A]",
    i_t="I_t [A]",
    c_a="C_a []",
    c_g="C_g []",
    c_i="C_i []",
    c_c="C_c []",
)
def effective_capacity(i_t: float, c_a: float, c_g: float, c_i: float, c_c: float) -> float:
    """Tabulated capacity times the factors for temperature, grouping, insulation and burial, in amperes."""
    return i_t * c_a * c_g * c_i * c_c
