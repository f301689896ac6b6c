"""Sheets that change rarely: the firm, its defaults, its people and its instruments."""

from datetime import date
from typing import Annotated

from pipeline.facts.choices import Function, LoopMethod, Role, Signs, YesNo
from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Amount, Row

ALWAYS = Needed.DESIGN


class Firm(Row):
    """The firm that installs; one row."""

    name: Annotated[str | None, Field("Firm", needed=ALWAYS, key=True, example="Example Charge Works (invented)")] = (
        None
    )
    address: Annotated[str | None, Field("Address", needed=ALWAYS, example="1 Sample Yard, Anytown AA1 1AA")] = None
    telephone: Annotated[str | None, Field("Telephone", needed=ALWAYS, example="01632 960000")] = None
    email: Annotated[str | None, Field("E-mail", needed=ALWAYS, example="office@example.com")] = None
    registration_body: Annotated[
        str | None, Field("Registration body", note="The body that registers the firm, if any.")
    ] = None
    registration_number: Annotated[str | None, Field("Registration number")] = None
    registration_covers: Annotated[str | None, Field("Registration covers", note="Kinds of work it covers.")] = None
    self_certifies: Annotated[
        YesNo | None,
        Field(
            "Registered to certify to building control",
            note="yes: the firm tells building control itself after the work; no: it must be notified beforehand.",
            needed=ALWAYS,
            example="yes",
        ),
    ] = None
    prefix: Annotated[
        str | None, Field("Certificate prefix", note="Up to 6 letters before the number; may stay empty.", example="EX")
    ] = None
    complaints: Annotated[str | None, Field("Complaints to", example="office@example.com")] = None
    privacy: Annotated[str | None, Field("Privacy line", note="One line on how client data are kept.")] = None
    emergency: Annotated[
        str | None,
        Field(
            "Emergency number", note="Fire and rescue, as people there know it.", needed=ALWAYS, example="999 or 112"
        ),
    ] = None
    colour: Annotated[
        str | None, Field("Colour", note="Six hexadecimal digits for the firm's colour, e.g. 1F4E5F.", example="1F4E5F")
    ] = None
    building_email: Annotated[
        str | None,
        Field(
            "E-mail for building control",
            note="Of the registration body where the firm is registered to certify, else of the authority.",
            example="notices@example.com",
        ),
    ] = None
    logo: Annotated[
        str | None, Field("Logo", note="File name of a .jpg or .png in the folder photos; printed on the cover.")
    ] = None


class Default(Row):
    """A value that fills blank cells of one column; never a reading or an inspection outcome."""

    sheet: Annotated[str | None, Field("Sheet", needed=ALWAYS, key=True, example="Supplies")] = None
    column: Annotated[
        str | None,
        Field("Column", note="Heading, with or without the unit.", needed=ALWAYS, key=True, example="Frequency"),
    ] = None
    value: Annotated[str | None, Field("Value", needed=ALWAYS, example="50")] = None


class Person(Row):
    """Someone who designs, installs, tests or supervises."""

    person: Annotated[
        str | None, Field("Person", note="Short name used on the other sheets.", needed=ALWAYS, key=True, example="PEX")
    ] = None
    name: Annotated[str | None, Field("Full name", needed=ALWAYS, example="Pat Example")] = None
    roles: Annotated[
        frozenset[Role] | None,
        Field(
            "Roles",
            note="What this person may sign, separated by commas.",
            needed=ALWAYS,
            example="design, construction",
        ),
    ] = None
    qualification: Annotated[str | None, Field("Qualification", example="Qualified electrician")] = None
    registration: Annotated[str | None, Field("Registration number")] = None
    valid_from: Annotated[date | None, Field("Authorised from", needed=ALWAYS, example="01/01/2026")] = None
    valid_to: Annotated[date | None, Field("Authorised to", needed=ALWAYS, example="31/12/2027")] = None
    email: Annotated[str | None, Field("E-mail", private=True)] = None
    signs: Annotated[Signs | None, Field("Signs by", example="ink")] = None


class Instrument(Row):
    """A test instrument; torque tools and pilot adapters are instruments too."""

    instrument: Annotated[
        str | None,
        Field("Instrument", note="Short name used on the other sheets.", needed=ALWAYS, key=True, example="T1"),
    ] = None
    description: Annotated[str | None, Field("Description", needed=ALWAYS, example="Multifunction tester")] = None
    serial: Annotated[str | None, Field("Serial number", needed=ALWAYS, example="SN-0001")] = None
    functions: Annotated[
        frozenset[Function] | None,
        Field("Functions", note="What it is used for, separated by commas.", needed=ALWAYS, example="continuity, RCD"),
    ] = None
    loop_method: Annotated[LoopMethod | None, Field("Loop test method", example="no-trip")] = None
    certificate: Annotated[str | None, Field("Calibration certificate", example="CAL-0001")] = None
    calibrated: Annotated[date | None, Field("Calibrated on", needed=ALWAYS, example="10/01/2026")] = None
    due: Annotated[date | None, Field("Calibration due", needed=ALWAYS, example="10/01/2027")] = None


class Accuracy(Row):
    """Accuracy that the maker states for one function of an instrument; where none is stated, none is invented."""

    instrument: Annotated[
        str | None, Field("Instrument", refers="Instruments", needed=ALWAYS, key=True, example="T1")
    ] = None
    function: Annotated[Function | None, Field("Function", needed=ALWAYS, key=True, example="continuity")] = None
    percent: Annotated[
        Amount | None, Field("Of reading", "%", note="± per cent of the reading.", hard=(0, 50), example=3)
    ] = None
    digits: Annotated[int | None, Field("Digits", note="± digits of the last place.", hard=(0, 50), example=2)] = None
    last_place: Annotated[
        str | None,
        Field("Last place", note="The smallest step on the display with its unit, e.g. 0.01 Ω.", example="0.01 Ω"),
    ] = None
