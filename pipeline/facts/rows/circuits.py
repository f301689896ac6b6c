"""Boards and circuits, chained from the origin."""

from typing import Annotated

from pipeline.facts.choices import (
    CableType,
    CircuitKind,
    Confirmed,
    DeviceStandard,
    DeviceType,
    Directions,
    EarthingSystem,
    Grouping,
    HalfTest,
    Insulation,
    Method,
    NewOrExisting,
    ProtectiveConductor,
    RcdDelay,
    RcdStandard,
    RcdType,
    SwitchStandard,
    Works,
    YesNo,
    ZsSource,
)
from pipeline.facts.field import LIMITED, OVER, UNDER, Field, Needed
from pipeline.facts.reading import Reading
from pipeline.facts.row import Amount, Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


class Board(Row):
    """A distribution board; fed from the origin when `fed_board` and `fed_circuit` are blank."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True, example="EXAMPLE-1")] = None
    board: Annotated[str | None, Field("Board", needed=DESIGN, key=True, example="MAIN")] = None
    description: Annotated[str | None, Field("Description", needed=DESIGN, defaults=True, example="Consumer unit")] = (
        None
    )
    place: Annotated[str | None, Field("Where it is", needed=DESIGN, example="Hall cupboard")] = None
    fed_board: Annotated[str | None, Field("Fed from board", note="Blank: from the intake.")] = None
    fed_circuit: Annotated[str | None, Field("Fed from circuit")] = None
    phases: Annotated[int | None, Field("Phases", hard=(1, 3), needed=DESIGN, defaults=True, example=1)] = None
    earthing_system: Annotated[EarthingSystem | None, Field("Earthing system", note="Blank: as what feeds it.")] = None
    main_switch_rating: Annotated[
        Amount | None, Field("Main switch rating", "A", usual=(40, 250), hard=(6, 4000), needed=DESIGN, example=100)
    ] = None
    main_switch_standard: Annotated[
        SwitchStandard | None, Field("Main switch standard", needed=DESIGN, defaults=True, example="BS EN 60947-3")
    ] = None
    main_switch_poles: Annotated[
        int | None, Field("Main switch poles", hard=(1, 4), needed=DESIGN, defaults=True, example=2)
    ] = None
    rcd_type: Annotated[
        RcdType | None, Field("Upstream RCD type", note="An RCD in this board that stands before several circuits.")
    ] = None
    rcd_rating: Annotated[Amount | None, Field("Upstream RCD I_Δn", "mA", usual=(30, 500), hard=(1, 3000))] = None
    rcd_delay: Annotated[RcdDelay | None, Field("Upstream RCD delay")] = None
    rcd_declaration: Annotated[
        str | None,
        Field("Maker's declaration for that RCD", note="Where a maker states that it may stand before points."),
    ] = None
    conditional_rating: Annotated[
        Amount | None,
        Field(
            "Conditional rating of the assembly",
            "kA",
            note="As the board's maker declares it, with its back-up.",
            usual=(6, 25),
            hard=(1, 100),
        ),
    ] = None
    conditional_source: Annotated[str | None, Field("Source of that rating")] = None
    mixed_makes: Annotated[YesNo | None, Field("Devices of mixed makes", defaults=True, example="no")] = None
    fault_current: Annotated[
        Reading | None,
        Field(
            "Largest fault current at the board",
            "kA",
            usual=(0.1, 25),
            hard=(0, 80),
            allows=UNDER,
            decimals=2,
            example=1.0,
        ),
    ] = None
    board_zs: Annotated[
        Reading | None,
        Field("Loop impedance at the board", "Ω", usual=(0.02, 250), hard=(0, 2000), allows=UNDER, decimals=2),
    ] = None
    insulation: Annotated[
        Reading | None, Field("Insulation of the whole board", "MΩ", hard=(0, 100000), allows=OVER)
    ] = None


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


class CircuitReadings(Row):
    """One attempt at testing a circuit; the first failed attempt stays when a second is made."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True, example="EXAMPLE-1")] = None
    board: Annotated[str | None, Field("Board", needed=DESIGN, key=True, example="MAIN")] = None
    circuit: Annotated[str | None, Field("Circuit", needed=DESIGN, key=True, example="9")] = None
    attempt: Annotated[
        int | None,
        Field(
            "Attempt",
            note="1 for the first; the last one counts.",
            hard=(1, 9),
            needed=DESIGN,
            key=True,
            defaults=True,
            example=1,
        ),
    ] = None
    r1_r2: Annotated[
        Reading | None, Field("R1+R2", "Ω", usual=(0.005, 5), hard=(0, 20), allows=UNDER, decimals=2, example=0.15)
    ] = None
    r2: Annotated[Reading | None, Field("R2", "Ω", usual=(0.005, 5), hard=(0, 20), allows=UNDER, decimals=2)] = None
    insulation_voltage: Annotated[
        Amount | None, Field("Insulation test voltage", "V", hard=(50, 5000), needed=TEST, example=500)
    ] = None
    insulation_ll: Annotated[
        Reading | None,
        Field("Insulation, live to live", "MΩ", hard=(0, 100000), allows=OVER, needed=TEST, example=">999"),
    ] = None
    insulation_le: Annotated[
        Reading | None,
        Field("Insulation, live to earth", "MΩ", hard=(0, 100000), allows=OVER, needed=TEST, example=">999"),
    ] = None
    point_connected: Annotated[
        YesNo | None,
        Field(
            "Point connected during it",
            note="no: tested before the point was connected.",
            needed=TEST,
            defaults=True,
            example="no",
        ),
    ] = None
    polarity: Annotated[Confirmed | None, Field("Polarity", needed=TEST, example="confirmed")] = None
    zs: Annotated[
        Reading | None,
        Field("Zs", "Ω", usual=(0.05, 250), hard=(0, 2000), allows=UNDER, needed=TEST, decimals=2, example=0.39),
    ] = None
    zs_source: Annotated[ZsSource | None, Field("Zs is", needed=TEST, example="measured")] = None
    rcd_time: Annotated[
        Reading | None,
        Field("RCD time at I_Δn, 0°", "ms", usual=(5, 300), hard=(0, 2000), allows=LIMITED, decimals=0, example=24),
    ] = None
    rcd_time_180: Annotated[
        Reading | None,
        Field("RCD time at I_Δn, 180°", "ms", usual=(5, 300), hard=(0, 2000), allows=LIMITED, example=21),
    ] = None
    rcd_time_5: Annotated[
        Reading | None, Field("RCD time at 5 I_Δn", "ms", usual=(5, 40), hard=(0, 2000), allows=LIMITED)
    ] = None
    rcd_half: Annotated[HalfTest | None, Field("RCD at ½ I_Δn", note="It must hold; where the test was made.")] = None
    rcd_button: Annotated[Works | None, Field("RCD test button", example="works")] = None
    sequence: Annotated[Confirmed | None, Field("Phase sequence", note="Three-phase circuits.", example="N/A")] = None
    ambient: Annotated[
        Amount | None, Field("Temperature at test", "°C", usual=(-5, 40), hard=(-30, 60), example=15)
    ] = None
    ring_r1: Annotated[
        Reading | None,
        Field("Ring, line end to end", "Ω", note="Where a ring exists.", hard=(0, 20), allows=LIMITED, decimals=2),
    ] = None
    ring_rn: Annotated[
        Reading | None, Field("Ring, neutral end to end", "Ω", hard=(0, 20), allows=LIMITED, decimals=2)
    ] = None
    ring_r2: Annotated[
        Reading | None, Field("Ring, protective end to end", "Ω", hard=(0, 20), allows=LIMITED, decimals=2)
    ] = None
    limitation_reason: Annotated[str | None, Field("Reason for LIM")] = None
    instrument: Annotated[
        str | None, Field("Instrument", refers="Instruments", needed=TEST, defaults=True, example="T1")
    ] = None
    second_instrument: Annotated[str | None, Field("Second instrument", refers="Instruments")] = None
    remarks: Annotated[str | None, Field("Remarks")] = None
