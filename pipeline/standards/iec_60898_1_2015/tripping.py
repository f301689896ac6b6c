"""Instantaneous tripping of circuit-breakers."""

from pipeline.standards.formula import formula
from pipeline.standards.source import Source

TRIPPING = Source("IEC 60898-1", "2015").at("Table 2")


@formula("{multiple} × {i_n}", TRIPPING, result="I_a [A]", multiple="m []", i_n="I_n [A]")
def instantaneous_current(multiple: float, i_n: float) -> float:
    """Current at which a circuit-breaker trips instantaneously for sure, in amperes."""
    return multiple * i_n
