"""What the constants of a conductor's material give: k, resistance at a temperature, resistance of armour."""

from math import log, sqrt

from pipeline.standards.formula import formula
from pipeline.standards.iec_60364_5_54_2011 import SOURCE

ANNEX = SOURCE.at("Annex A")


@formula(
    "√({heat} × ({beta} + 20 K) / {rho} × ln(({beta} + {final}) / ({beta} + {initial})))",
    ANNEX,
    result="k [A·√s/mm²]",
    heat="Q_c [J/K·mm³]",
    beta="β [K]",
    rho="ρ_20 [Ω·mm²/m]",
    initial="θ_i [°C]",
    final="θ_f [°C]",
)
def k_factor(heat: float, beta: float, rho: float, initial: float, final: float) -> float:
    """The k of a conductor between its temperatures before and at the end of a fault."""
    return sqrt(heat * (beta + 20) / (rho / 1000) * log((beta + final) / (beta + initial)))


@formula("({beta} + {theta}) / ({beta} + 20 K)", ANNEX, result="f []", beta="β [K]", theta="θ [°C]")
def resistance_factor(beta: float, theta: float) -> float:
    """Resistance at a temperature over that at 20 °C."""
    return (beta + theta) / (beta + 20)


@formula("{rho} × {lay} / {area}", ANNEX, result="r_2 [mΩ/m]", rho="ρ_20 [Ω·mm²/m]", lay="f_lay []", area="S [mm²]")
def armour_resistance(rho: float, lay: float, area: float) -> float:
    """Resistance of steel wire armour at 20 °C from its total cross-section, in milliohms a metre.

    An estimate: the helical lay makes the wires longer than the cable, here by a factor from common practice.
    """
    return 1000 * rho * lay / area
