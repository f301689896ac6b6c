"""Charge points as mounted and commissioned."""

from typing import Annotated

from pipeline.facts.choices import (
    ChargeKind,
    DataLink,
    DcTest,
    Done,
    Exposure,
    Function,
    OpenPenMeasure,
    PilotState,
    RcdPlace,
    RcdType,
    Works,
    YesNo,
)
from pipeline.facts.field import LIMITED, Field, Needed
from pipeline.facts.reading import Reading
from pipeline.facts.row import Amount, Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


class Point(Row):
    """One connecting point, on its own final circuit."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True, example="EXAMPLE-1")] = None
    point: Annotated[str | None, Field("Charge point", needed=DESIGN, key=True, example="CP1")] = None
    board: Annotated[str | None, Field("Board", needed=DESIGN, example="MAIN")] = None
    circuit: Annotated[str | None, Field("Circuit", needed=DESIGN, example="9")] = None
    model: Annotated[str | None, Field("Model", refers="Models", needed=DESIGN, defaults=True, example="EX-7")] = None
    serial: Annotated[str | None, Field("Serial number", needed=TEST, example="0000001")] = None
    place: Annotated[str | None, Field("Where it is", needed=DESIGN, example="Drive, left of the garage door")] = None
    indoors: Annotated[
        Exposure | None, Field("Indoors or outdoors", needed=DESIGN, defaults=True, example="outdoors")
    ] = None
    vehicle_outdoors: Annotated[
        YesNo | None,
        Field(
            "Can a vehicle be charged outdoors from it",
            note="With any cable that reaches; blank counts as yes.",
            defaults=True,
            example="yes",
        ),
    ] = None
    open_pen: Annotated[
        OpenPenMeasure | None,
        Field("Measure against an open PEN", note="Where a PEN conductor supplies it.", example="separate device"),
    ] = None
    open_pen_evidence: Annotated[
        str | None,
        Field(
            "Evidence of that measure",
            note="Device and serial number, or calculation number.",
            example="Serial 0000002",
        ),
    ] = None
    open_pen_phases: Annotated[int | None, Field("Phases of that device", hard=(1, 3), example=1)] = None
    rcd_place: Annotated[
        RcdPlace | None, Field("Its own RCD is", needed=DESIGN, defaults=True, example="at the board")
    ] = None
    rcd_type: Annotated[RcdType | None, Field("RCD inside, type")] = None
    rcd_rating: Annotated[Amount | None, Field("RCD inside, I_Δn", "mA", usual=(6, 30), hard=(1, 3000))] = None
    rcd_poles: Annotated[int | None, Field("RCD inside, poles", hard=(1, 4))] = None
    current_limit: Annotated[
        Amount | None, Field("Current limit set", "A", usual=(6, 80), hard=(1, 400), needed=DESIGN, example=32)
    ] = None
    limit_locked: Annotated[
        str | None, Field("Limit locked by", note="What keeps users from raising it.", example="Installer PIN")
    ] = None
    scheme: Annotated[str | None, Field("Load management scheme", note="Where one limits this point.")] = None
    height: Annotated[
        Amount | None,
        Field(
            "Mounting height",
            "m",
            note="Lowest edge to finished ground.",
            usual=(0.5, 1.5),
            hard=(0, 5),
            needed=TEST,
            decimals=2,
            example=1.05,
        ),
    ] = None
    level: Annotated[Done | None, Field("Levelled", example="done")] = None
    fixings: Annotated[YesNo | None, Field("Fixings as the maker's instructions", needed=TEST, example="yes")] = None
    fixings_other: Annotated[str | None, Field("Other fixings used", note="Which and why, where not.")] = None
    torque: Annotated[
        Reading | None,
        Field("Terminal torque applied", "N·m", usual=(0.4, 10), hard=(0, 50), allows=LIMITED, decimals=1, example=2),
    ] = None
    order_kept: Annotated[
        YesNo | None,
        Field(
            "Order of connecting kept",
            note="Protective conductor, neutral, then the lines in phase order.",
            example="yes",
        ),
    ] = None
    torque_tool: Annotated[
        str | None, Field("Torque tool", refers="Instruments", able=frozenset({Function.TORQUE}), example="TQ1")
    ] = None
    cable_diameter: Annotated[Amount | None, Field("Cable diameter at the entry", "mm", hard=(2, 80), example=13)] = (
        None
    )
    strain_relief: Annotated[Done | None, Field("Strain relief", needed=TEST, example="done")] = None
    entry_sealed: Annotated[Done | None, Field("Entry sealed", needed=TEST, example="done")] = None
    covers: Annotated[Done | None, Field("Covers and seals refitted", needed=TEST, example="done")] = None
    reaches: Annotated[YesNo | None, Field("Cable reaches the inlet with slack", needed=TEST, example="yes")] = None
    trip_hazard: Annotated[YesNo | None, Field("Trip hazard", needed=TEST, example="no")] = None
    isolator_place: Annotated[
        str | None, Field("Where to switch it off", needed=TEST, example="Consumer unit, way 9")
    ] = None
    data_link: Annotated[DataLink | None, Field("Data link used", example="wireless")] = None
    link_test: Annotated[Works | None, Field("Data link test", example="works")] = None
    firmware: Annotated[str | None, Field("Firmware", example="1.0.0")] = None
    pilot_states: Annotated[PilotState | None, Field("Pilot states", needed=TEST, example="A, B, C in turn")] = None
    duty_cycle: Annotated[
        Reading | None,
        Field(
            "Pilot duty cycle",
            "%",
            note="If a duty meter was there.",
            usual=(8, 97),
            hard=(0, 100),
            allows=LIMITED,
            decimals=1,
        ),
    ] = None
    proximity: Annotated[
        Reading | None, Field("Proximity resistor", "Ω", usual=(75, 2200), hard=(0, 10000), allows=LIMITED)
    ] = None
    dc_test: Annotated[DcTest | None, Field("Test of the d.c. detection", example="passed")] = None
    dc_trip: Annotated[
        Reading | None,
        Field(
            "D.c. detection opened at", "mA", note="Where it was measured.", usual=(3, 6), hard=(0, 300), allows=LIMITED
        ),
    ] = None
    self_test: Annotated[Works | None, Field("RCD by the point's own test", example="N/A")] = None
    socket_lock: Annotated[Works | None, Field("Socket lock", example="N/A")] = None
    emergency_stop: Annotated[Works | None, Field("Emergency stop", example="N/A")] = None
    indicator: Annotated[str | None, Field("Indicator at power-up", needed=TEST, example="Steady white")] = None
    charge_by: Annotated[ChargeKind | None, Field("Charge made with", needed=TEST, example="vehicle")] = None
    charge_power: Annotated[
        Reading | None,
        Field(
            "Charging power", "kW", usual=(1, 25), hard=(0, 400), allows=LIMITED, needed=TEST, decimals=1, example=7.1
        ),
    ] = None
    charge_minutes: Annotated[
        Reading | None,
        Field("Charged for", "min", usual=(1, 240), hard=(0, 1440), allows=LIMITED, needed=TEST, example=10),
    ] = None
    default_hours: Annotated[
        YesNo | None, Field("Default charging hours set", note="Private points in Great Britain.")
    ] = None
    random_delay: Annotated[
        Amount | None,
        Field("Random delay", "s", note="Private points in Great Britain.", usual=(0, 1800), hard=(0, 7200)),
    ] = None
    temporary_limit: Annotated[
        Amount | None,
        Field("Energised with a lower limit", "A", note="Where it runs below its setting for now.", hard=(1, 400)),
    ] = None
    temporary_reason: Annotated[str | None, Field("Until when and why")] = None
    reach_to: Annotated[
        str | None, Field("Where the cable must reach", note="Inlet of the vehicle as it parks. For the site sheet.")
    ] = None
