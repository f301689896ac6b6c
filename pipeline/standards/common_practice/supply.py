"""Power and current, and bounds of a three-phase fault current from a single-phase reading."""

from pipeline.standards.common_practice import SOURCE
from pipeline.standards.formula import formula

FAULT = SOURCE.at("prospective fault current of a three-phase supply")


@formula(
    "{power} / ({phases} × {u_0})", SOURCE.at("P = U I"), result="I [A]", power="P [kW]", phases="n []", u_0="U_0 [V]"
)
def current_of_power(power: float, phases: float, u_0: float) -> float:
    """Current per phase of a balanced load at power factor one, in amperes."""
    return 1000 * power / (phases * u_0)


@formula("2 × {current}", FAULT, result="I_3ph [kA]", current="I_LN [kA]")
def three_phase_by_neutral(current: float) -> float:
    """Bound on the safe side from the largest line–neutral fault current, in kiloamperes."""
    return 2 * current


@formula("1.155 × {current}", FAULT, result="I_3ph [kA]", current="I_LL [kA]")
def three_phase_by_lines(current: float) -> float:
    """From the line–line fault current (2/√3), in kiloamperes."""
    return 1.155 * current
