"""Charge-point models as their makers' instructions describe them."""

from typing import Annotated

from pipeline.facts.choices import Connection, DataLink, DcDetection, OpenPenInside, RcdType, YesNo
from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Amount, Row

ALWAYS = Needed.DESIGN


class Model(Row):
    """A model of charge point; every figure from the maker's instructions, none from memory."""

    model: Annotated[
        str | None, Field("Model", note="Short name used on the other sheets.", needed=ALWAYS, key=True, example="EX-7")
    ] = None
    maker: Annotated[str | None, Field("Maker", needed=ALWAYS, example="Example Maker (invented)")] = None
    designation: Annotated[str | None, Field("Designation", needed=ALWAYS, example="Sample Point 7")] = None
    instructions: Annotated[
        str | None, Field("Edition of the instructions", needed=ALWAYS, example="Issue 1, 2026-01")
    ] = None
    connection: Annotated[Connection | None, Field("Connection", needed=ALWAYS, example="tethered cable")] = None
    phases: Annotated[int | None, Field("Phases", hard=(1, 3), needed=ALWAYS, example=1)] = None
    rated_current: Annotated[
        Amount | None,
        Field(
            "Rated current per phase",
            "A",
            note="Not the kW figure divided by 230.",
            usual=(6, 80),
            hard=(1, 400),
            needed=ALWAYS,
            example=32,
        ),
    ] = None
    rated_power: Annotated[Amount | None, Field("Rated power", "kW", usual=(1, 50), hard=(0.1, 400), example=7.4)] = (
        None
    )
    lowest_limit: Annotated[Amount | None, Field("Lowest settable limit", "A", hard=(1, 400), example=6)] = None
    highest_limit: Annotated[Amount | None, Field("Highest settable limit", "A", hard=(1, 400), example=32)] = None
    terminal_smallest: Annotated[
        Amount | None, Field("Smallest terminal size", "mm²", hard=(0.5, 120), example=2.5)
    ] = None
    terminal_largest: Annotated[Amount | None, Field("Largest terminal size", "mm²", hard=(0.5, 120), example=10)] = (
        None
    )
    terminal_rating: Annotated[
        Amount | None, Field("Terminal temperature rating", "°C", usual=(60, 105), hard=(40, 200), example=70)
    ] = None
    stripping: Annotated[Amount | None, Field("Stripping length", "mm", usual=(5, 25), hard=(1, 60), example=12)] = None
    torque: Annotated[
        Amount | None, Field("Terminal torque", "N·m", usual=(0.4, 10), hard=(0.1, 50), decimals=1, example=2)
    ] = None
    torque_tolerance: Annotated[
        Amount | None, Field("Torque tolerance", "%", note="± of the terminal torque.", hard=(0, 50), example=10)
    ] = None
    height_lowest: Annotated[
        Amount | None, Field("Lowest mounting height", "m", hard=(0, 3), decimals=2, example=0.75)
    ] = None
    height_highest: Annotated[
        Amount | None, Field("Highest mounting height", "m", hard=(0, 3), decimals=2, example=1.2)
    ] = None
    mass: Annotated[Amount | None, Field("Mass", "kg", hard=(0.1, 500), example=5)] = None
    cable_length: Annotated[
        Amount | None, Field("Length of the charging cable", "m", note="Tethered models only.", hard=(1, 30), example=5)
    ] = None
    entry_smallest: Annotated[Amount | None, Field("Smallest cable diameter", "mm", hard=(2, 80), example=9)] = None
    entry_largest: Annotated[Amount | None, Field("Largest cable diameter", "mm", hard=(2, 80), example=18)] = None
    ip: Annotated[str | None, Field("IP rating", needed=ALWAYS, example="IP54")] = None
    ik: Annotated[str | None, Field("IK rating", example="IK08")] = None
    coldest: Annotated[Amount | None, Field("Lowest temperature", "°C", hard=(-60, 30), example=-25)] = None
    hottest: Annotated[Amount | None, Field("Highest temperature", "°C", hard=(20, 90), example=45)] = None
    dc_detection: Annotated[
        DcDetection | None, Field("Residual d.c. detection", needed=ALWAYS, example="6 mA device")
    ] = None
    dc_testable: Annotated[YesNo | None, Field("Test of the d.c. detection offered", example="yes")] = None
    rcd_inside: Annotated[YesNo | None, Field("RCD inside", needed=ALWAYS, example="no")] = None
    open_pen_inside: Annotated[
        OpenPenInside | None, Field("Open-PEN protection inside", needed=ALWAYS, example="none")
    ] = None
    upstream_rcd: Annotated[RcdType | None, Field("Upstream RCD type asked for", example="A")] = None
    upstream_device: Annotated[str | None, Field("Upstream device asked for", example="40 A, type B or C")] = None
    insulation_test: Annotated[YesNo | None, Field("May be insulation-tested connected", example="no")] = None
    insulation_voltage: Annotated[
        Amount | None, Field("Insulation test voltage when connected", "V", hard=(100, 1000), example=250)
    ] = None
    data_links: Annotated[frozenset[DataLink] | None, Field("Data links", example="wireless, wired")] = None
    returns_power: Annotated[YesNo | None, Field("Power back to the grid", needed=ALWAYS, example="no")] = None
    start_steps: Annotated[
        str | None,
        Field(
            "How to start",
            note="For the user instructions, in plain words.",
            needed=ALWAYS,
            example="Plug the cable into the car. Charging starts by itself.",
        ),
    ] = None
    stop_steps: Annotated[
        str | None, Field("How to stop", needed=ALWAYS, example="Unlock the car, then pull out the plug.")
    ] = None


class Fixing(Row):
    """One set of fixings that the maker gives for a model."""

    model: Annotated[str | None, Field("Model", refers="Models", needed=ALWAYS, key=True, example="EX-7")] = None
    place: Annotated[str | None, Field("Fixing place", needed=ALWAYS, key=True, example="wall plate")] = None
    count: Annotated[int | None, Field("Number", hard=(1, 40), needed=ALWAYS, example=4)] = None
    screw_diameter: Annotated[Amount | None, Field("Screw diameter", "mm", hard=(2, 20), example=5)] = None
    screw_length: Annotated[Amount | None, Field("Screw length", "mm", hard=(10, 300), example=60)] = None
    plug_diameter: Annotated[Amount | None, Field("Plug diameter", "mm", hard=(3, 30), example=8)] = None
    plug_length: Annotated[Amount | None, Field("Plug length", "mm", hard=(10, 200), example=40)] = None
    hole_diameter: Annotated[Amount | None, Field("Hole diameter", "mm", hard=(3, 40), example=8)] = None
    hole_depth: Annotated[Amount | None, Field("Hole depth", "mm", hard=(10, 300), example=55)] = None
    proud: Annotated[
        Amount | None, Field("Screw stays proud", "mm", note="Only where a part hangs on the screw.", hard=(0, 60))
    ] = None


class Indicator(Row):
    """One thing that a model's indicator can show."""

    model: Annotated[str | None, Field("Model", refers="Models", needed=ALWAYS, key=True, example="EX-7")] = None
    shows: Annotated[str | None, Field("Shows", needed=ALWAYS, key=True, example="Steady white")] = None
    means: Annotated[str | None, Field("Means", needed=ALWAYS, example="Ready")] = None
    action: Annotated[str | None, Field("What to do", needed=ALWAYS, example="Nothing")] = None
