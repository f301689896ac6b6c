"""Circuits, from their device to what they feed."""

from typing import Annotated

from pipeline.facts.choices import (
    CableType,
    CircuitKind,
    DeviceStandard,
    DeviceType,
    Directions,
    EarthingSystem,
    Grouping,
    Insulation,
    Method,
    NewOrExisting,
    ProtectiveConductor,
    RcdDelay,
    RcdStandard,
    RcdType,
    YesNo,
)
from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Amount, Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


class Circuit(Row):
    """A circuit that this work added or uses, from its device to what it feeds."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True, example="EXAMPLE-1")] = None
    board: Annotated[str | None, Field("Board", needed=DESIGN, key=True, example="MAIN")] = None
    circuit: Annotated[
        str | None,
        Field("Circuit", note="Number of the way, as on the board's label.", needed=DESIGN, key=True, example="9"),
    ] = None
    description: Annotated[
        str | None, Field("Description", needed=DESIGN, defaults=True, example="Charge point, drive")
    ] = None
    feeds: Annotated[
        CircuitKind | None, Field("Feeds", needed=DESIGN, defaults=True, example="final circuit of a charge point")
    ] = None
    new: Annotated[NewOrExisting | None, Field("New or existing", needed=DESIGN, defaults=True, example="new")] = None
    phases: Annotated[int | None, Field("Phases", hard=(1, 3), needed=DESIGN, defaults=True, example=1)] = None
    earthing_system: Annotated[EarthingSystem | None, Field("Earthing system", note="Blank: as the board.")] = None
    cable: Annotated[CableType | None, Field("Cable", needed=DESIGN, defaults=True, example="flat twin and earth")] = (
        None
    )
    insulation: Annotated[Insulation | None, Field("Insulation", needed=DESIGN, defaults=True, example="PVC 70 °C")] = (
        None
    )
    live_size: Annotated[
        Amount | None, Field("Live conductors", "mm²", usual=(2.5, 120), hard=(1, 400), needed=DESIGN, example=6)
    ] = None
    cpc: Annotated[
        ProtectiveConductor | None,
        Field("Protective conductor", needed=DESIGN, defaults=True, example="core of the cable"),
    ] = None
    cpc_size: Annotated[
        Amount | None,
        Field("Size of the protective conductor", "mm²", usual=(1, 120), hard=(0.5, 400), needed=DESIGN, example=2.5),
    ] = None
    method: Annotated[
        Method | None,
        Field("Reference method", note="Worst section of the route.", needed=DESIGN, defaults=True, example="C"),
    ] = None
    length: Annotated[
        Amount | None,
        Field("Length", "m", note="To the metre.", usual=(1, 300), hard=(0.1, 2000), needed=DESIGN, example=14),
    ] = None
    length_by: Annotated[str | None, Field("Length found by", note="E.g. paced, drum marks, plan.", defaults=True)] = (
        None
    )
    grouped: Annotated[
        int | None,
        Field(
            "Circuits grouped",
            note="This one included; 1 for a cable alone.",
            hard=(1, 40),
            needed=DESIGN,
            defaults=True,
            example=1,
        ),
    ] = None
    grouping: Annotated[Grouping | None, Field("How grouped", note="Where more than one.")] = None
    ambient: Annotated[
        Amount | None,
        Field(
            "Ambient or ground temperature",
            "°C",
            usual=(10, 50),
            hard=(-20, 70),
            needed=DESIGN,
            defaults=True,
            example=30,
        ),
    ] = None
    insulation_run: Annotated[
        Amount | None,
        Field(
            "Length within thermal insulation",
            "mm",
            note="0 where none.",
            hard=(0, 100000),
            needed=DESIGN,
            defaults=True,
            example=0,
        ),
    ] = None
    burial_depth: Annotated[Amount | None, Field("Burial depth", "m", usual=(0.4, 1.2), hard=(0.05, 3), decimals=2)] = (
        None
    )
    soil: Annotated[
        Amount | None,
        Field(
            "Thermal resistivity of the soil",
            "K·m/W",
            note="Of a buried route, where it was measured; blank: 2.5, as the tables take it.",
            usual=(0.5, 3),
            hard=(0.3, 10),
            decimals=1,
        ),
    ] = None
    terminal_rating: Annotated[
        Amount | None,
        Field("Terminals rated", "°C", usual=(60, 105), hard=(40, 200), needed=DESIGN, defaults=True, example=70),
    ] = None
    device: Annotated[
        DeviceStandard | None, Field("Device standard", needed=DESIGN, defaults=True, example="BS EN 61009")
    ] = None
    device_type: Annotated[DeviceType | None, Field("Device type", needed=DESIGN, defaults=True, example="B")] = None
    device_rating: Annotated[
        Amount | None, Field("Device rating I_n", "A", usual=(6, 125), hard=(1, 2000), needed=DESIGN, example=40)
    ] = None
    device_poles: Annotated[int | None, Field("Device poles", hard=(1, 4), needed=DESIGN, defaults=True, example=2)] = (
        None
    )
    breaking_capacity: Annotated[
        Amount | None,
        Field("Breaking capacity", "kA", usual=(3, 80), hard=(1, 100), needed=DESIGN, defaults=True, example=6),
    ] = None
    let_through: Annotated[
        Amount | None,
        Field(
            "Let-through energy of the device",
            "A²·s",
            note="At the largest fault current of the board; where the protective conductor asks for it.",
            usual=(1000, 500000),
            hard=(100, 100000000),
        ),
    ] = None
    let_through_own: Annotated[YesNo | None, Field("That figure is of the device's own maker")] = None
    let_through_source: Annotated[str | None, Field("Source of that figure")] = None
    directions: Annotated[Directions | None, Field("Suits current in", note="Matters where power can flow back.")] = (
        None
    )
    switch_rating: Annotated[
        Amount | None, Field("Rated current of switch or contactor", "A", hard=(1, 2000), note="Where there is one.")
    ] = None
    rcd_standard: Annotated[RcdStandard | None, Field("RCD standard", example="BS EN 61009")] = None
    rcd_type: Annotated[RcdType | None, Field("RCD type", example="A")] = None
    rcd_rating: Annotated[
        Amount | None,
        Field("RCD I_Δn", "mA", note="In milliamperes: 30, not 0.03.", usual=(10, 500), hard=(1, 3000), example=30),
    ] = None
    rcd_delay: Annotated[RcdDelay | None, Field("RCD delay", example="none")] = None
    rcd_poles: Annotated[int | None, Field("RCD poles", hard=(1, 4), example=2)] = None
    rcd_for_fault: Annotated[
        YesNo | None, Field("RCD is the fault protection", note="As the designer declares.", defaults=True)
    ] = None
    parallel_path: Annotated[
        YesNo | None,
        Field("Parallel earth path", note="Armour, metal conduit or bonded metalwork beside the cable.", defaults=True),
    ] = None
