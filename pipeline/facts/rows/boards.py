"""Distribution boards, chained from the origin."""

from typing import Annotated

from pipeline.facts.choices import (
    EarthingSystem,
    RcdDelay,
    RcdType,
    SwitchStandard,
    YesNo,
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
    rcd_time: Annotated[
        Reading | None,
        Field("Upstream RCD time at I_Δn", "ms", usual=(5, 500), hard=(0, 2000), allows=LIMITED),
    ] = None
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
