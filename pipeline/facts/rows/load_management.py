"""Schemes that hold the current of charge points down."""

from typing import Annotated

from pipeline.facts.choices import (
    YesNo,
)
from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Amount, Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


class LoadManagement(Row):
    """A scheme that keeps the current of several points, or of one point and the house, below a limit."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True)] = None
    scheme: Annotated[str | None, Field("Scheme", needed=DESIGN, key=True, example="LM1")] = None
    board: Annotated[
        str | None,
        Field("Measures at board", note="The board whose incoming line the sensor is on. Blank: at the intake."),
    ] = None
    group_limit: Annotated[
        Amount | None, Field("Limit of the group per phase", "A", hard=(1, 4000), needed=DESIGN, example=80)
    ] = None
    fallback: Annotated[
        Amount | None,
        Field(
            "On loss of signal, per point and phase",
            "A",
            note="Current that each point falls back to.",
            hard=(0, 400),
            needed=DESIGN,
            example=6,
        ),
    ] = None
    sensor_place: Annotated[str | None, Field("Where the sensor is", needed=TEST)] = None
    sensor_checked: Annotated[YesNo | None, Field("Sensor direction checked", needed=TEST)] = None
    changed_by: Annotated[str | None, Field("Who can change it", needed=DESIGN)] = None
    tested_points: Annotated[int | None, Field("Points charging in the test", hard=(0, 500), needed=TEST)] = None
    limit_held: Annotated[YesNo | None, Field("Limit held in the test", needed=TEST)] = None
    fallback_held: Annotated[YesNo | None, Field("Fallback held in the test", needed=TEST)] = None
