"""The only list of the workbook's sheets, in the order in which they are filled in."""

from dataclasses import dataclass
from enum import Enum

from pipeline.facts.row import Row
from pipeline.facts.rows.answers import Answer
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.firm import Accuracy, Default, Firm, Instrument, Person
from pipeline.facts.rows.inspections import Inspection, InspectionRemark, Photo
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.models import Fixing, Indicator, Model
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.sources import OtherSource
from pipeline.facts.rows.supply import Supply

WORKBOOK_VERSION = "1"
START = "Start here"
LISTS = "Lists"
VERSION_CELL = "B3"
FIRM_FILE_CELL = "B4"
"""On the first sheet: the file name of a second workbook that holds the sheets that change rarely."""
HEADING_ROW = 1
EXAMPLE_ROW = 2
FIRST_ROW = 3
EXAMPLE_MARK = "example"


class Belongs(Enum):
    """To what the rows of a sheet belong."""

    WEEK = "the firm"
    JOB = "a job"
    OFFICE = "the office"


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: its title, the type of its rows, a line for the introduction, and the attribute of `Job` it fills."""

    title: str
    row: type[Row]
    about: str
    part: str
    belongs: Belongs = Belongs.JOB


SHEETS: tuple[Sheet, ...] = (
    Sheet("Firm", Firm, "Your firm, once.", "firm", Belongs.WEEK),
    Sheet(
        "Defaults", Default, "Values that fill blank cells, so that a plain job is typed in minutes.", "", Belongs.WEEK
    ),
    Sheet("People", Person, "Everyone who designs, installs, tests or supervises.", "people", Belongs.WEEK),
    Sheet("Instruments", Instrument, "Test instruments, torque tools, pilot adapters.", "instruments", Belongs.WEEK),
    Sheet("Accuracies", Accuracy, "What an instrument's maker states, per function.", "accuracies", Belongs.WEEK),
    Sheet("Models", Model, "Charge-point models as their makers' instructions describe them.", "models", Belongs.WEEK),
    Sheet("Fixings", Fixing, "The sets of fixings that a model's instructions give.", "fixings", Belongs.WEEK),
    Sheet("Indicators", Indicator, "What a model's indicator shows and means.", "indicators", Belongs.WEEK),
    Sheet("Jobs", JobRow, "One row a job.", "row"),
    Sheet("Supplies", Supply, "One row a job: the intake and its earthing.", "supply"),
    Sheet("Other sources", OtherSource, "Solar, battery, generator; one row each.", "sources"),
    Sheet("Earth electrodes", Electrode, "One row an electrode.", "electrodes"),
    Sheet("Load management", LoadManagement, "One row a scheme.", "schemes"),
    Sheet("Boards", Board, "One row a board, the one at the intake first.", "boards"),
    Sheet("Circuits", Circuit, "One row a circuit: the design.", "circuits"),
    Sheet("Readings", CircuitReadings, "One row a circuit and attempt: the tests.", "readings"),
    Sheet("Charge points", Point, "One row a charge point: mounting and commissioning.", "points"),
    Sheet("Inspections", Inspection, "One row a job: the outcome of each aspect.", "inspection"),
    Sheet("Inspection remarks", InspectionRemark, "Why an aspect was limited or not satisfactory.", "remarks"),
    Sheet("Photos", Photo, "One row a photo.", "photos"),
    Sheet("Answers", Answer, "Who accepts a query, and why; the check adds the rows.", "", Belongs.OFFICE),
)

SHARED = ("Firm", "People", "Instruments", "Accuracies", "Models", "Fixings", "Indicators")
"""The sheets that a second workbook may hold, each after those that it refers to."""

BY_TITLE: dict[str, Sheet] = {sheet.title: sheet for sheet in SHEETS}
BY_ROW: dict[type[Row], Sheet] = {sheet.row: sheet for sheet in SHEETS}
