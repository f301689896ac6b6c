"""Readings of circuits, attempt by attempt."""

from typing import Annotated

from pipeline.facts.choices import (
    ELECTRICAL,
    Confirmed,
    Function,
    HalfTest,
    Works,
    YesNo,
    ZsSource,
)
from pipeline.facts.field import LIMITED, OVER, UNDER, Field, Needed
from pipeline.facts.reading import Reading
from pipeline.facts.row import Amount, Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


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
        str | None,
        Field("Instrument", refers="Instruments", able=ELECTRICAL, needed=TEST, defaults=True, example="T1"),
    ] = None
    second_instrument: Annotated[
        str | None, Field("Second instrument", refers="Instruments", able=ELECTRICAL | {Function.PILOT})
    ] = None
    remarks: Annotated[str | None, Field("Remarks")] = None
