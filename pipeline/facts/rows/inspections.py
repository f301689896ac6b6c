"""Inspection outcomes in the order in which an inspector walks, remarks on them, and photos.

The aspects are those of IEC 60364-6:2016, 6.4.2.3, in our words, and what a charge point adds.
"""

from datetime import date
from typing import Annotated

from pipeline.facts.choices import Outcome, PhotoShows
from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST
Aspect = Outcome | None


class Inspection(Row):
    """Outcome of each aspect, one row a job. An aspect's note names its part of the walk and its clause."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True, example="EXAMPLE-1")] = None
    intake: Annotated[
        Aspect,
        Field("State of the intake", note="Intake · IEC 60364-6, 6.4.2.3 (general)", needed=TEST, example="pass"),
    ] = None
    other_sources: Annotated[
        Aspect,
        Field("Other sources of supply", note="Intake · IEC 60364-8-2 (from memory)", needed=TEST, example="N/A"),
    ] = None
    bonding: Annotated[
        Aspect,
        Field(
            "Protective and bonding conductors present and adequate",
            note="Intake · 6.4.2.3 m)",
            needed=TEST,
            example="pass",
        ),
    ] = None
    surge: Annotated[Aspect, Field("Surge protection", note="Board · 6.4.2.3 e)", needed=TEST, example="pass")] = None
    disconnection: Annotated[
        Aspect, Field("Protection by automatic disconnection", note="Board · 6.4.2.3 a)", needed=TEST, example="pass")
    ] = None
    enclosures: Annotated[
        Aspect, Field("Basic protection and enclosures", note="Board · 6.4.2.3 a)", needed=TEST, example="pass")
    ] = None
    devices: Annotated[
        Aspect,
        Field(
            "Protective and monitoring devices: choice, setting, selectivity",
            note="Board · 6.4.2.3 d)",
            needed=TEST,
            example="pass",
        ),
    ] = None
    isolation: Annotated[
        Aspect, Field("Isolating and switching devices", note="Board · 6.4.2.3 f)", needed=TEST, example="pass")
    ] = None
    identification: Annotated[
        Aspect,
        Field("Neutral and protective conductors identified", note="Board · 6.4.2.3 h)", needed=TEST, example="pass"),
    ] = None
    circuits_named: Annotated[
        Aspect, Field("Circuits and terminals identified", note="Board · 6.4.2.3 k)", needed=TEST, example="pass")
    ] = None
    connections: Annotated[
        Aspect, Field("Connections suitable and tight", note="Board · 6.4.2.3 l)", needed=TEST, example="pass")
    ] = None
    conductors: Annotated[
        Aspect,
        Field("Conductors chosen for current and voltage drop", note="Route · 6.4.2.3 c)", needed=TEST, example="pass"),
    ] = None
    fire: Annotated[
        Aspect,
        Field(
            "Protection against fire and heat, penetrations sealed",
            note="Route · 6.4.2.3 b)",
            needed=TEST,
            example="pass",
        ),
    ] = None
    buried: Annotated[
        Aspect,
        Field("Buried route seen before backfill", note="Route · IEC 60364-5-52, 522.8", needed=TEST, example="N/A"),
    ] = None
    influences: Annotated[
        Aspect, Field("Suitable for external influences", note="Charge point · 6.4.2.3 g)", needed=TEST, example="pass")
    ] = None
    point_rcd: Annotated[
        Aspect,
        Field(
            "Residual current protection of each point, its type, d.c. detection",
            note="Charge point · IEC 60364-7-722, 722.531",
            needed=TEST,
            example="pass",
        ),
    ] = None
    open_pen: Annotated[
        Aspect,
        Field(
            "Measure against an open PEN conductor",
            note="Charge point · IEC 60364-7-722, 722.411.4 (from memory); BS 7671, 722.411.4.1",
            needed=TEST,
            example="pass",
        ),
    ] = None
    load_management: Annotated[
        Aspect,
        Field(
            "Load management where declared", note="Charge point · IEC 60364-7-722, 722.311", needed=TEST, example="N/A"
        ),
    ] = None
    emergency_switching: Annotated[
        Aspect,
        Field("Emergency switching where required", note="Charge point · 6.4.2.3 f)", needed=TEST, example="N/A"),
    ] = None
    mounting: Annotated[
        Aspect,
        Field(
            "Mounting height, impact and parking protection",
            note="Surroundings · IEC 60364-7-722, 722.512",
            needed=TEST,
            example="pass",
        ),
    ] = None
    reach: Annotated[
        Aspect,
        Field("Cable reach without trip hazard", note="Surroundings · common practice", needed=TEST, example="pass"),
    ] = None
    access: Annotated[
        Aspect,
        Field("Access for operation and maintenance", note="Surroundings · 6.4.2.3 n)", needed=TEST, example="pass"),
    ] = None
    notices: Annotated[
        Aspect, Field("Diagrams, notices and labels", note="Papers · 6.4.2.3 i), j)", needed=TEST, example="pass")
    ] = None


class InspectionRemark(Row):
    """Why an aspect was limited or not satisfactory."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True)] = None
    aspect: Annotated[
        str | None, Field("Aspect", note="The heading of its column on the Inspections sheet.", needed=DESIGN, key=True)
    ] = None
    remark: Annotated[str | None, Field("Remark", needed=DESIGN)] = None


class Photo(Row):
    """A photo of the job; the file lies in the folder `photos` beside the workbook."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True, example="EXAMPLE-1")] = None
    file: Annotated[
        str | None,
        Field(
            "File",
            note="Name of a .jpg or .png in the folder 'photos' beside this workbook.",
            needed=DESIGN,
            key=True,
            example="example.jpg",
        ),
    ] = None
    caption: Annotated[str | None, Field("Caption", needed=DESIGN, example="Charge point, finished")] = None
    shows: Annotated[PhotoShows | None, Field("Shows", needed=DESIGN, example="finished charge point")] = None
    taken: Annotated[date | None, Field("Taken on", example="10/11/2026")] = None
