"""Sources besides the public supply."""

from typing import Annotated

from pipeline.facts.choices import (
    Consent,
    SourceKind,
    YesNo,
)
from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Amount, Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


class OtherSource(Row):
    """A source besides the public supply."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True)] = None
    source: Annotated[SourceKind | None, Field("Source", needed=DESIGN, key=True, example="solar")] = None
    rating: Annotated[Amount | None, Field("Rating", "kW", hard=(0, 2000), needed=DESIGN, decimals=1, example=3.6)] = (
        None
    )
    phases: Annotated[int | None, Field("Phases", hard=(1, 3), needed=DESIGN, example=1)] = None
    board: Annotated[str | None, Field("Connected to board", needed=DESIGN, example="MAIN")] = None
    consent: Annotated[Consent | None, Field("Consent", example="given")] = None
    island_mode: Annotated[YesNo | None, Field("Runs without the grid", needed=DESIGN, example="no")] = None
    isolator_place: Annotated[
        str | None, Field("Where it is isolated", needed=TEST, example="Loft, beside the inverter")
    ] = None
    notices_fitted: Annotated[YesNo | None, Field("Two-supply notices fitted", needed=TEST, example="yes")] = None
