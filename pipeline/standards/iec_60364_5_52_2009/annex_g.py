"""Voltage drop by the resistivity of the hot conductor, and its limit."""

from pipeline.standards.formula import formula
from pipeline.standards.iec_60364_5_52_2009 import SOURCE

ANNEX = SOURCE.at("Annex G")


@formula(
    "{rho} / {area} × {cosine} + {reactance} × {sine}",
    ANNEX,
    result="z [mΩ/m]",
    rho="ρ_1 [Ω·mm²/m]",
    area="S [mm²]",
    cosine="cos φ []",
    reactance="λ [mΩ/m]",
    sine="sin φ []",
)
def effective_impedance(rho: float, area: float, cosine: float, reactance: float, sine: float) -> float:
    """Part of a hot conductor's impedance that counts for the drop, in milliohms a metre."""
    return 1000 * rho / area * cosine + reactance * sine


@formula(
    "{b} × {z} × {length} × {current}",
    ANNEX,
    result="u [V]",
    b="b []",
    z="z [mΩ/m]",
    length="L [m]",
    current="I_B [A]",
)
def voltage_drop(b: float, z: float, length: float, current: float) -> float:
    """Drop in volts: of both conductors with b = 2, of a line conductor of a balanced circuit with b = 1."""
    return b * z / 1000 * length * current


@formula("100 × {drop} / {voltage}", ANNEX, result="Δu [%]", drop="u [V]", voltage="U [V]")
def voltage_drop_share(drop: float, voltage: float) -> float:
    """Drop in per cent of the voltage it is taken from."""
    return 100 * drop / voltage


@formula(
    "{limit} + {per_metre} × ({length} − {free})",
    SOURCE.at("Table G.52.1 note"),
    result="Δu_max [%]",
    limit="Δu_100 [%]",
    per_metre="Δu/m [%]",
    length="L [m]",
    free="L_100 [m]",
)
def long_run_limit(limit: float, per_metre: float, length: float, free: float) -> float:
    """Limit of a run longer than the tabulated one, before its cap, in per cent."""
    return limit + per_metre * (length - free)
