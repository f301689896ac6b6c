"""The jobs of the week, one row each."""

from datetime import date
from typing import Annotated

from pipeline.facts.choices import (
    Adequacy,
    Asbestos,
    Charging,
    ClientLanguage,
    JobState,
    Nation,
    Premises,
    Role,
    RuleFamily,
    WorkKind,
    YesNo,
)
from pipeline.facts.field import Field, Needed
from pipeline.facts.row import Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


class JobRow(Row):
    """What a job is, for whom, by whom and when."""

    job: Annotated[
        str | None,
        Field(
            "Job",
            note="The firm's own reference: letters, digits, hyphens, at most 24.",
            needed=DESIGN,
            key=True,
            example="EXAMPLE-1",
        ),
    ] = None
    state: Annotated[JobState | None, Field("State", needed=DESIGN, example="tested")] = None
    family: Annotated[RuleFamily | None, Field("Rules", needed=DESIGN, defaults=True, example="uk")] = None
    nation: Annotated[Nation | None, Field("Nation", needed=DESIGN, defaults=True, example="England")] = None
    client: Annotated[str | None, Field("Client", needed=DESIGN, private=True, example="Sam Sample")] = None
    client_address: Annotated[
        str | None, Field("Client's address", note="Only where it is not the site.", private=True)
    ] = None
    client_email: Annotated[
        str | None,
        Field(
            "Client's e-mail", note="Blank where the client wants paper only.", private=True, example="sam@example.com"
        ),
    ] = None
    client_telephone: Annotated[str | None, Field("Client's telephone", private=True)] = None
    client_language: Annotated[
        ClientLanguage | None,
        Field(
            "Client's language",
            note="English where blank. In another one cover, user instructions and notices are added as a translation.",
            defaults=True,
        ),
    ] = None
    site: Annotated[
        str | None, Field("Site address", needed=DESIGN, private=True, example="2 Sample Road, Anytown")
    ] = None
    occupier: Annotated[str | None, Field("Occupier", private=True)] = None
    work: Annotated[WorkKind | None, Field("Kind of work", needed=DESIGN, defaults=True, example="new circuit")] = None
    premises: Annotated[Premises | None, Field("Premises", needed=DESIGN, defaults=True, example="dwelling")] = None
    charging: Annotated[Charging | None, Field("Charging", needed=DESIGN, defaults=True, example="private")] = None
    extent: Annotated[
        str | None,
        Field(
            "Extent of the work",
            note="What was done and where it ends.",
            needed=DESIGN,
            defaults=True,
            example="One charge point and its circuit from the intake",
        ),
    ] = None
    limitations: Annotated[
        str | None, Field("Limitations", note="What could not be inspected or tested, why, agreed with whom.")
    ] = None
    departures: Annotated[str | None, Field("Departures", note="From the rules, with the clause.")] = None
    departures_reason: Annotated[str | None, Field("Reason for the departures")] = None
    previous_document: Annotated[str | None, Field("Previous certificate or report", note="Number, if seen.")] = None
    previous_date: Annotated[date | None, Field("Date of the previous document")] = None
    existing_adequate: Annotated[
        Adequacy | None,
        Field("Existing earthing and bonding", note="State of what was there before.", needed=TEST, example="adequate"),
    ] = None
    defects: Annotated[str | None, Field("Other defects seen")] = None
    defects_danger: Annotated[YesNo | None, Field("Is any of them a danger")] = None
    defects_told: Annotated[date | None, Field("Client told of the danger on")] = None
    surveyed: Annotated[date | None, Field("Survey date", example="02/11/2026")] = None
    designed: Annotated[
        date | None, Field("Design date", note="Chooses the edition of the rules.", needed=DESIGN, example="03/11/2026")
    ] = None
    worked: Annotated[date | None, Field("Work finished", needed=TEST, example="10/11/2026")] = None
    dead_tested: Annotated[date | None, Field("Dead tests", needed=TEST, example="10/11/2026")] = None
    energised: Annotated[date | None, Field("Energised", needed=TEST, example="10/11/2026")] = None
    live_tested: Annotated[date | None, Field("Live tests", needed=TEST, example="10/11/2026")] = None
    next_inspection: Annotated[date | None, Field("Next inspection proposed", needed=TEST, example="10/11/2036")] = None
    next_reason: Annotated[str | None, Field("Reason for that date", defaults=True)] = None
    designer: Annotated[
        str | None,
        Field("Designer", refers="People", able=frozenset({Role.DESIGN}), needed=DESIGN, defaults=True, example="PEX"),
    ] = None
    installer: Annotated[
        str | None,
        Field(
            "Installer",
            note="Answers for construction.",
            refers="People",
            able=frozenset({Role.CONSTRUCTION}),
            needed=TEST,
            defaults=True,
            example="PEX",
        ),
    ] = None
    tester: Annotated[
        str | None,
        Field(
            "Tester",
            note="Answers for inspection and testing.",
            refers="People",
            able=frozenset({Role.TESTING}),
            needed=TEST,
            defaults=True,
            example="PEX",
        ),
    ] = None
    supervisor: Annotated[
        str | None,
        Field(
            "Supervisor",
            note="Qualified supervisor who releases the pack.",
            refers="People",
            able=frozenset({Role.SUPERVISOR}),
            needed=TEST,
            defaults=True,
            example="PEX",
        ),
    ] = None
    circuits_total: Annotated[
        int | None,
        Field(
            "Number of circuits",
            note="Control total, counted on the site sheet.",
            hard=(1, 500),
            needed=DESIGN,
            example=1,
        ),
    ] = None
    points_total: Annotated[
        int | None, Field("Number of charge points", note="Control total.", hard=(0, 500), needed=DESIGN, example=1)
    ] = None
    client_shown: Annotated[
        str | None,
        Field(
            "Shown to",
            note="Who was shown the use and the RCD button.",
            needed=TEST,
            private=True,
            example="Sam Sample",
        ),
    ] = None
    asbestos: Annotated[Asbestos | None, Field("Asbestos", note="For the site sheet.")] = None
    buried_services: Annotated[str | None, Field("Buried or hidden services")] = None
    may_isolate: Annotated[str | None, Field("Who may de-energise")] = None
    built: Annotated[
        int | None,
        Field("Built in", note="Year of the building; blank counts as old. For the site sheet.", hard=(1000, 2200)),
    ] = None
    access: Annotated[
        str | None, Field("Access", note="Who lets in, keys, hours, parking. For the site sheet.", private=True)
    ] = None
    emergency: Annotated[
        str | None,
        Field("Emergency number there", note="Fire and rescue at the site, where the firm's own does not hold there."),
    ] = None
