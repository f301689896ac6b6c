"""What the roles of an edition are asked about: a cable as it runs, a device as it stands in a board."""

from dataclasses import dataclass
from typing import Any

from pipeline.facts.choices import CableType, DeviceStandard, DeviceType, Grouping, Insulation, Method
from pipeline.facts.choices import ProtectiveConductor as Cpc
from pipeline.facts.quantities import magnitude
from pipeline.facts.row import Amount
from pipeline.facts.rows.circuits import Circuit


@dataclass(frozen=True, slots=True)
class CableRun:
    """A cable with its size, length and way of laying; of its parts only `grouping` and `soil` may be blank."""

    cable: CableType
    insulation: Insulation
    phases: int
    live_size: Amount
    cpc: Cpc
    cpc_size: Amount
    length: Amount
    method: Method
    grouped: int
    ambient: Amount
    insulation_run: Amount
    terminal_rating: Amount
    grouping: Grouping | None = None
    soil: Amount | None = None

    @classmethod
    def of(cls, circuit: Circuit) -> "CableRun | None":
        """The cable of a circuit, or None while one of `CABLE_CELLS` is blank."""
        filled = _filled(circuit, CABLE_CELLS)
        return cls(**filled, grouping=circuit.grouping, soil=circuit.soil) if filled else None

    @property
    def laying(self) -> tuple[object, ...]:
        """All that its capacity depends on, in bare numbers: every part but its length and protective conductor."""
        return (
            self.cable,
            self.insulation,
            self.phases,
            magnitude(self.live_size, "mm²"),
            self.method,
            self.grouped,
            self.grouping,
            magnitude(self.ambient, "°C"),
            magnitude(self.insulation_run, "mm"),
            magnitude(self.terminal_rating, "°C"),
            None if self.soil is None else magnitude(self.soil, "K·m/W"),
        )


@dataclass(frozen=True, slots=True)
class Device:
    """An overcurrent protective device."""

    standard: DeviceStandard
    type: DeviceType
    rating: Amount

    @classmethod
    def of(cls, circuit: Circuit) -> "Device | None":
        """The device of a circuit, or None while one of `DEVICE_CELLS` is blank."""
        filled = _filled(circuit, DEVICE_CELLS)
        return cls(*filled.values()) if filled else None


# the cells of a circuit that a rule names as missing where `of` gives None
CABLE_CELLS = tuple(name for name in CableRun.__dataclass_fields__ if name not in ("grouping", "soil"))
DEVICE_CELLS = ("device", "device_type", "device_rating")


def _filled(circuit: Circuit, names: tuple[str, ...]) -> dict[str, Any]:
    """The values of these cells, or nothing while one is blank."""
    values = {name: getattr(circuit, name) for name in names}
    return {} if None in values.values() else values
