"""A cable or a device is asked about only when none of its cells is blank."""

import pytest

from pipeline.editions import CABLE_CELLS, DEVICE_CELLS, CableRun, Device
from pipeline.facts.choices import CableType, DeviceStandard, DeviceType, Grouping, Insulation, Method
from pipeline.facts.choices import ProtectiveConductor as Cpc
from pipeline.facts.quantities import quantity as q
from pipeline.facts.rows.circuits import Circuit

FULL = Circuit(
    cable=CableType.ARMOURED,
    insulation=Insulation.XLPE_90,
    phases=3,
    live_size=q(10, "mm²"),
    cpc=Cpc.ARMOUR,
    cpc_size=q(44, "mm²"),
    length=q(40, "m"),
    method=Method.D1,
    grouped=2,
    grouping=Grouping.DUCTS,
    ambient=q(15, "°C"),
    insulation_run=q(0, "mm"),
    terminal_rating=q(90, "°C"),
    device=DeviceStandard.MCB,
    device_type=DeviceType.C,
    device_rating=q(40, "A"),
)


def test_a_full_circuit_gives_its_cable_and_its_device():
    run = CableRun.of(FULL)
    assert run
    assert run.grouping is Grouping.DUCTS
    assert (run.method, run.grouped, run.live_size) == (Method.D1, 2, q(10, "mm²"))
    assert Device.of(FULL) == Device(DeviceStandard.MCB, DeviceType.C, q(40, "A"))


@pytest.mark.parametrize("cell", CABLE_CELLS)
def test_a_blank_cell_gives_no_cable(cell):
    assert CableRun.of(FULL.with_values(**{cell: None})) is None


@pytest.mark.parametrize("cell", DEVICE_CELLS)
def test_a_blank_cell_gives_no_device(cell):
    assert Device.of(FULL.with_values(**{cell: None})) is None


def test_every_part_of_a_cable_must_be_known_but_its_grouping_and_its_soil():
    assert len(CABLE_CELLS) == 12
    assert not {"grouping", "soil"} & set(CABLE_CELLS)


def test_a_cable_alone_needs_no_grouping():
    assert CableRun.of(FULL.with_values(grouping=None, grouped=1))
