"""Resistance of copper at a temperature, as UK test sheets reckon it."""

from pipeline.standards.common_practice import SOURCE
from pipeline.standards.formula import formula


@formula("1 + 0.004 × ({theta} − 20 °C)", SOURCE.at("0.4 % a kelvin"), result="f []", theta="θ [°C]")
def resistance_factor(theta: float) -> float:
    """Resistance at a temperature over that at 20 °C: 1.20 at 70 °C, 1.28 at 90 °C."""
    return 1 + 0.004 * (theta - 20)
