"""Automatic disconnection of supply: fault loop, disconnecting currents, residual current protection."""

from pipeline.standards.formula import formula
from pipeline.standards.iec_60364_4_41_2005 import SOURCE

TN = SOURCE.at("411.4.4")
TT = SOURCE.at("411.5.3")


@formula("{z_e} + {r1_r2}", TN, result="Z_s [Ω]", z_e="Z_e [Ω]", r1_r2="Σ(R_1 + R_2) [Ω]")
def loop_impedance(z_e: float, r1_r2: tuple[float, ...]) -> float:
    """Earth fault loop impedance at the end of a chain of circuits, in ohms."""
    return z_e + sum(r1_r2)


@formula("{z_0} + {r1_rn}", TN, result="Z_LN [Ω]", z_0="Z_0 [Ω]", r1_rn="Σ(R_1 + R_N) [Ω]")
def neutral_loop_impedance(z_0: float, r1_rn: tuple[float, ...]) -> float:
    """Line–neutral loop impedance at the end of a chain of circuits, in ohms."""
    return z_0 + sum(r1_rn)


@formula("{c_min} × {u_0} / {i_a}", TN, result="Z_s,max [Ω]", c_min="C_min []", u_0="U_0 [V]", i_a="I_a [A]")
def largest_loop_impedance(c_min: float, u_0: float, i_a: float) -> float:
    """Loop impedance at which the device's disconnecting current just flows, in ohms."""
    return c_min * u_0 / i_a


@formula("{c_min} × {u_0} / {z}", TN, result="I_a [A]", c_min="C_min []", u_0="U_0 [V]", z="Z_s,max [Ω]")
def disconnecting_current(c_min: float, u_0: float, z: float) -> float:
    """The disconnecting current behind a tabulated loop impedance, in amperes."""
    return c_min * u_0 / z


@formula("{u_0} / {z_s}", TN, result="I_f [A]", u_0="U_0 [V]", z_s="Z_s [Ω]")
def fault_current(u_0: float, z_s: float) -> float:
    """Fault current through a loop impedance, in amperes."""
    return u_0 / z_s


@formula("{c_min} × {u_0} / {z_ln}", TN, result="I_min [A]", c_min="C_min []", u_0="U_0 [V]", z_ln="Z_LN [Ω]")
def smallest_short_circuit(c_min: float, u_0: float, z_ln: float) -> float:
    """Short-circuit current through a line–neutral loop at the lowest voltage of the supply, in amperes."""
    return c_min * u_0 / z_ln


@formula("{multiple} × {i_dn}", TN, result="I_a [A]", multiple="m []", i_dn="I_Δn [mA]")
def residual_disconnecting_current(multiple: float, i_dn: float) -> float:
    """Residual current at which the tabulated disconnection times hold, in amperes."""
    return multiple * i_dn / 1000


@formula("{u_l} / {i_dn}", TT, result="R_A,max [Ω]", u_l="U_L [V]", i_dn="I_Δn [mA]")
def largest_electrode_resistance(u_l: float, i_dn: float) -> float:
    """Resistance to earth at which the touch voltage reaches its limit as the RCD trips, in ohms."""
    return u_l / (i_dn / 1000)


@formula("{u_l} / {r_a}", TT, result="I_Δn,max [mA]", u_l="U_L [V]", r_a="R_A [Ω]")
def largest_residual_rating(u_l: float, r_a: float) -> float:
    """Rated residual current that an electrode allows, in milliamperes."""
    return 1000 * u_l / r_a


@formula("{r_a} × {i_dn}", TT, result="U_T [V]", r_a="R_A [Ω]", i_dn="I_Δn [mA]")
def touch_voltage(r_a: float, i_dn: float) -> float:
    """Touch voltage while the rated residual current flows, in volts."""
    return r_a * i_dn / 1000
