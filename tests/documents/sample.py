"""A sample job for the tests of documents, built from the examples that the fields themselves give."""

from datetime import date, datetime
from functools import cache
from typing import Any, TypeVar

from pipeline.documents.rows.findings import BUILDING_RULE, LOOP_LIMIT, LOOP_RULE, OPERATOR_RULE
from pipeline.facts.field import Field, Mark, Place
from pipeline.facts.findings import Calculation, Confidence, Finding, Input, Verdict, WhenMissing
from pipeline.facts.job import Job
from pipeline.facts.quantities import quantity
from pipeline.facts.reading import Reading
from pipeline.facts.record import canonical, record_of
from pipeline.facts.row import Kind, Row
from pipeline.facts.rows.boards import Board
from pipeline.facts.rows.circuits import Circuit
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.firm import Accuracy, Firm, Instrument, Person
from pipeline.facts.rows.inspections import Inspection, InspectionRemark, Photo
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.models import Fixing, Indicator, Model
from pipeline.facts.rows.points import Point
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.rows.sources import OtherSource
from pipeline.facts.rows.supply import Supply
from pipeline.orders import Envelope, Order

EDITION = {"id": "sample_2026", "title": "Sample rules, edition of 2026 (invented)", "sha256": "ab" * 32}
AS_OF = date(2026, 11, 12)
R = TypeVar("R", bound=Row)
ENVELOPE = Envelope("EX-0042", 0, "2026-11-12", "cd" * 32)


def example(kind: type[R], line: int = 3, **typed: str | float | None) -> R:
    """A row with the fields' own examples, except where `typed` gives another text or None."""
    values: dict[str, Any] = {}
    texts: dict[str, str] = {}
    places: dict[str, Place] = {}
    for number, (name, field) in enumerate(kind.fields().items()):
        raw = typed.get(name, field.example or None)
        if raw is None:
            continue
        texts[name] = str(raw)
        places[name] = Place(kind.__name__, f"{chr(65 + number % 26)}{line}")
        values[name] = _value(kind, name, str(raw), field)
    return kind(at=places, typed=texts, **values)


def _value(kind: type[Row], name: str, raw: str, field: Field) -> Any:  # noqa: PLR0911
    """One typed text as its value."""
    choice = kind.choice_type(name)
    match kind.kind(name):
        case Kind.CHOICE:
            return choice(raw)
        case Kind.CHOICES:
            return frozenset(choice(each.strip()) for each in raw.split(","))
        case Kind.DATE:
            return datetime.strptime(raw, "%d/%m/%Y").date()  # noqa: DTZ007 - a day has no zone
        case Kind.INTEGER:
            return int(raw)
        case Kind.AMOUNT:
            return quantity(float(raw), field.unit)
        case Kind.READING:
            return _reading(raw, field)
        case _:
            return raw


def _reading(raw: str, field: Field) -> Reading:
    """A reading as the reader of workbooks makes it."""
    if raw.startswith("LIM"):
        return Reading(typed=raw, mark=Mark.LIMITATION, reason=raw.removeprefix("LIM").strip(": "))
    if raw == "N/A":
        return Reading(typed=raw, mark=Mark.NOT_APPLICABLE)
    mark = Mark(raw[0]) if raw[0] in "<>" else None
    return Reading(typed=raw, mark=mark, quantity=quantity(float(raw.lstrip("<>")), field.unit))


def job(points: int = 2, **typed: str | None) -> Job:
    """A job with everything in it: so many points, two boards, sources, an electrode, an earlier attempt."""
    given = {
        "client_address": "7 Other Street, Anytown",
        "occupier": "Robin Sample",
        "limitations": "Cable behind the kitchen units not seen",
        "departures": "None",
        "previous_document": "Report of 2019",
        "previous_date": "04/05/2019",
        "defects": "Socket-outlet in the shed without RCD",
        "defects_danger": "yes",
        "defects_told": "10/11/2026",
        "next_reason": "Dwelling",
    }
    row = example(JobRow, **(given | typed))
    numbers = range(1, points + 1)
    readings = [example(CircuitReadings, line, circuit=str(line), board="GARAGE", r2=0.07) for line in numbers]
    first = example(CircuitReadings, 99, circuit="1", board="GARAGE", zs="1.52", remarks="Loose terminal found")
    again = example(CircuitReadings, 1, circuit="1", board="GARAGE", attempt=2, remarks="Terminal tightened")
    return Job(
        row=row,
        firm=example(
            Firm, registration_body="Sample Register (invented)", registration_number="S-1", privacy="Kept ten years."
        ),
        people=(example(Person, registration="P-17"),),
        instruments=(
            example(Instrument),
            example(
                Instrument, 4, instrument="TQ1", description="Torque screwdriver", functions="torque", loop_method=None
            ),
        ),
        accuracies=(example(Accuracy), example(Accuracy, 4, function="RCD", percent=5, digits=None)),
        models=(
            example(Model),
            example(
                Model,
                4,
                model="EX-22",
                designation="Sample Point 22",
                phases=3,
                connection="socket-outlet",
                cable_length=None,
            ),
        ),
        fixings=(example(Fixing),),
        indicators=(
            example(Indicator),
            example(Indicator, 4, shows="Flashing red", means="Fault", action="Switch off at the board and call us"),
        ),
        supply=example(Supply, operator_consent="given", consent_reference="OK-12", tn_s_confirmed=None),
        sources=(example(OtherSource, job="EXAMPLE-1"),),
        electrodes=(
            example(
                Electrode, board="GARAGE", supply_earth_stops="At the board", armour_isolated="yes", separation=2.5
            ),
        ),
        schemes=(
            example(
                LoadManagement,
                sensor_place="Meter tails",
                sensor_checked="yes",
                changed_by="Installer",
                tested_points=2,
                limit_held="yes",
                fallback_held="yes",
            ),
        ),
        boards=(
            example(Board),
            example(
                Board,
                4,
                board="GARAGE",
                description="Sub-board",
                place="Garage",
                fed_board="MAIN",
                fed_circuit="1",
                earthing_system="TT",
                rcd_type="A",
                rcd_rating=100,
                rcd_delay="S",
            ),
        ),
        circuits=(
            example(
                Circuit,
                99,
                circuit="1",
                description="To the garage",
                feeds="distribution circuit",
                rcd_type=None,
                rcd_rating=None,
                rcd_standard=None,
                rcd_delay=None,
                rcd_poles=None,
            ),
            *(
                example(Circuit, line, board="GARAGE", circuit=str(line), description=f"Charge point {line}")
                for line in numbers
            ),
        ),
        readings=(example(CircuitReadings, 98, circuit="1"), first, again, *readings[1:]),
        points=tuple(
            example(
                Point,
                line,
                point=f"CP{line}",
                board="GARAGE",
                circuit=str(line),
                serial=f"000000{line}",
                scheme="LM1",
                model="EX-7" if line % 2 else "EX-22",
                place=f"Bay {line}",
                default_hours="yes",
                random_delay=600,
            )
            for line in numbers
        ),
        inspection=example(Inspection, buried="LIM"),
        remarks=(
            example(InspectionRemark, aspect="Buried route seen before backfill", remark="Backfilled before our visit"),
        ),
        photos=(example(Photo), example(Photo, 4, file="board.png", caption="Board inside", shows="board inside")),
        photo_sums={"example.jpg": "12" * 32, "board.png": "34" * 32},
    )


def findings(of: Job) -> list[Finding]:
    """Findings of every verdict, with and without figures."""
    found = [
        Finding(
            "every_reading_is_recorded", Verdict.PASS, of.reference, "Job", "All readings are there.", reference="6.4.3"
        ),
        Finding(
            "cable_route_was_seen",
            Verdict.NOTE,
            of.reference,
            "Circuit MAIN 1",
            "The route was not seen throughout.",
            found="LIM",
            expected="seen",
            remedy="None needed.",
            reference="IEC 60364-5-52, 522.8",
        ),
        Finding(
            "duty_cycle_gives_the_set_limit",
            Verdict.NOT_ASSESSED,
            of.reference,
            "Charge point CP1",
            "Not assessed: Pilot duty cycle missing.",
            remedy="Fill in Pilot duty cycle.",
            when_missing=WhenMissing.PRINT,
        ),
        Finding(
            "surge_protection_is_decided",
            Verdict.NOT_APPLICABLE,
            of.reference,
            "Supply",
            "Nothing to decide.",
            reference="443",
        ),
        Finding(
            OPERATOR_RULE,
            Verdict.NOTE,
            of.reference,
            "Network operator",
            "To be told by 08 Dec 2026.",
            found="connected 10 Nov 2026",
            expected="told by 08 Dec 2026",
            remedy="Send the data printed with the pack.",
            reference="Network operators' common procedure",
        ),
        Finding(
            BUILDING_RULE,
            Verdict.NOTE,
            of.reference,
            "Building control",
            "To be told by 10 Dec 2026.",
            expected="told by 10 Dec 2026",
            remedy="Send the data printed with the pack.",
        ),
    ]
    for circuit in of.circuits:
        reading = of.latest(circuit)
        inputs = (Input("I_n", "40 A"), Input(LOOP_LIMIT, "1.09 Ω (BS 7671, Table 41.3)", confidence=Confidence.MEMORY))
        sums = Calculation("Zs ≤ C_min × U_0 / I_a", "0.39 Ω ≤ 0.95 × 230 V / 200 A", "0.39 Ω", "1.09 Ω", 64.2, inputs)
        found.append(
            Finding(
                LOOP_RULE,
                Verdict.PASS,
                of.reference,
                f"Circuit {circuit.board} {circuit.circuit}",
                "Zs is within its limit.",
                places=reading.where("zs") if reading else (),
                reference="BS 7671, 411.4.4",
                calculation=sums,
            )
        )
    return found


def record(of: Job, found: list[Finding] | None = None) -> dict[str, Any]:
    """The record of a job."""
    return record_of(of, findings(of) if found is None else found, EDITION, AS_OF)


@cache
def photo(width: int = 640, height: int = 400, kind: str = "JPEG") -> bytes:
    """A picture of nothing in particular."""
    import io

    from PIL import Image

    stream = io.BytesIO()
    Image.radial_gradient("L").resize((width, height)).convert("RGB").save(stream, kind)
    return stream.getvalue()


def order(of: Job, templates: dict[str, bytes], envelope: Envelope = ENVELOPE) -> Order:
    """The order for a job's pack."""
    photos = {"example.jpg": photo(), "board.png": photo(300, 500, "PNG")}
    return Order(canonical(record(of)), envelope, templates, photos)
