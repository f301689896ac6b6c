"""A cable and a device that tests vary."""

from collections.abc import Callable
from typing import Any

import pytest

from pipeline.editions import CableRun
from pipeline.facts.choices import CableType, Insulation, Method, ProtectiveConductor
from pipeline.facts.quantities import quantity as q

USUAL: dict[str, Any] = {
    "cable": CableType.FLAT_TWIN,
    "insulation": Insulation.PVC_70,
    "phases": 1,
    "live_size": q(6, "mm²"),
    "cpc": ProtectiveConductor.CORE,
    "cpc_size": q(2.5, "mm²"),
    "length": q(14, "m"),
    "method": Method.C,
    "grouped": 1,
    "ambient": q(30, "°C"),
    "insulation_run": q(0, "mm"),
    "terminal_rating": q(70, "°C"),
}


@pytest.fixture
def run() -> Callable[..., CableRun]:
    """6/2.5 mm² twin and earth, 14 m clipped to a wall, but for what is said otherwise."""
    return lambda **other: CableRun(**{**USUAL, **other})
