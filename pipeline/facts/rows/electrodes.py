"""Earth electrodes, for an installation or for a TT island."""

from datetime import date
from typing import Annotated

from pipeline.facts.choices import (
    EarthRun,
    ElectrodeKind,
    Function,
    YesNo,
)
from pipeline.facts.field import LIMITED, Field, Needed
from pipeline.facts.reading import Reading
from pipeline.facts.row import Amount, Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


class Electrode(Row):
    """An earth electrode: for the whole installation, or for one board or circuit (a TT island)."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True)] = None
    board: Annotated[str | None, Field("Board", note="Blank: the whole installation.", key=True)] = None
    circuit: Annotated[str | None, Field("Circuit", note="Blank: the whole board.", key=True)] = None
    electrode: Annotated[ElectrodeKind | None, Field("Kind", needed=DESIGN, example="rod")] = None
    place: Annotated[str | None, Field("Where it is", needed=TEST, example="Flower bed beside the garage")] = None
    resistance: Annotated[
        Reading | None,
        Field(
            "R_A",
            "Ω",
            note="Resistance of the electrode and its conductor.",
            usual=(1, 200),
            hard=(0, 5000),
            allows=LIMITED,
            needed=TEST,
            decimals=1,
            example=68.5,
        ),
    ] = None
    expected: Annotated[
        Amount | None, Field("Expected R_A", "Ω", note="Designer's estimate.", hard=(0, 5000), example=80)
    ] = None
    rod_length: Annotated[
        Amount | None, Field("Driven length of the rod", "m", note="For an estimate.", hard=(0.3, 30), decimals=1)
    ] = None
    rod_diameter: Annotated[Amount | None, Field("Diameter of the rod", "mm", hard=(5, 100))] = None
    soil: Annotated[
        Amount | None,
        Field("Resistivity of the soil", "Ω·m", note="Measured, or usual for such ground.", hard=(1, 10000)),
    ] = None
    conductor_size: Annotated[
        Amount | None,
        Field(
            "Conductor to the electrode",
            "mm²",
            note="Copper. Blank for the whole installation: the earthing conductor of the sheet Supplies.",
            usual=(2.5, 50),
            hard=(1, 240),
            example=16,
        ),
    ] = None
    conductor_run: Annotated[
        EarthRun | None,
        Field("That conductor lies", needed=TEST, example="buried, protected against corrosion only"),
    ] = None
    measured_on: Annotated[date | None, Field("Measured on")] = None
    instrument: Annotated[
        str | None, Field("Instrument", refers="Instruments", able=frozenset({Function.ELECTRODE}))
    ] = None
    supply_earth_stops: Annotated[
        str | None, Field("Supply's protective conductor stops", note="For a TT island: where.")
    ] = None
    armour_isolated: Annotated[YesNo | None, Field("Armour isolated at the far end", note="For a TT island.")] = None
    separation: Annotated[
        Amount | None, Field("Separation from metalwork on the supply's earth", "m", hard=(0, 100), decimals=1)
    ] = None
