"""The job, its papers, its people and instruments, and the supply at the origin."""

from pipeline.documents.rows.circuits import board_words
from pipeline.documents.rows.findings import demand_after
from pipeline.documents.rows.limitations import adequacy
from pipeline.documents.rows.users import emergency, further_rcd, lowered
from pipeline.documents.texts import BLANK, Json, Texts, counted, day, given, joined, plain, shown
from pipeline.facts.choices import SourceKind
from pipeline.facts.field import Field
from pipeline.facts.rows.electrodes import Electrode
from pipeline.facts.rows.firm import Firm, Instrument, Person
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.facts.rows.sources import OtherSource
from pipeline.facts.rows.supply import Supply
from pipeline.orders import Envelope

# nominal voltage between lines by that between line and neutral (IEC 60038, Table 1; from memory)
BETWEEN_LINES = {"230": "400", "277": "480", "120": "208"}
WIRES = {
    "1": "line and neutral, two wires, a.c.",
    "2": "two lines and neutral, three wires, a.c.",
    "3": "three lines and neutral, four wires, a.c.",
}
# attribute of the job → the role in which that person answers
ROLES = {
    "designer": "Design",
    "installer": "Construction",
    "tester": "Inspection and testing",
    "supervisor": "Release of the pack as qualified supervisor",
}
AWAITING = "awaiting signature"
# opening its way leaves cable and charge point connected to a vehicle that feeds back
UNPLUG = "unplug it and keep it unplugged"
# the roles that rely on figures which nobody confirmed, and what they state of those
RELYING = ("designer", "tester")
SETTLED = (
    "the figures that the calculation record prints for this part and marks as carried over or from memory "
    "agree with the printed standard."
)

FIELDS: dict[str, dict[str, Field]] = {
    "job": {
        **JobRow.fields(),
        "client_at": Field("Client's address"),
        "points_named": Field("Charge points"),
        "existing": Field("Earlier certificate or report"),
        "tester_name": Field("Tested by"),
        "sources_named": Field("All sources of supply"),
        "sharing": Field("Load management"),
        "lowered": Field("Lower limits for now"),
        "further_rcds": Field("RCDs before several circuits"),
    },
    "firm": {
        **Firm.fields(),
        "registered": Field("Registered with"),
        "privacy": Field("How we keep your data"),
    },
    "certificate": {
        "name": Field("Certificate and revision"),
        "number": Field("Certificate number"),
        "revision": Field("Revision"),
        "issued": Field("Date of issue"),
        "status": Field("State of this pack"),
        "replaces": Field("Replaces"),
        "reason": Field("Reason for this revision"),
        "edition": Field("Rules applied"),
        "statement": Field("How sure these rules are"),
        "edition_sum": Field("Fingerprint of the rules (SHA-256)"),
        "as_of": Field("Judged as of"),
        "record_sum": Field("Fingerprint of the record (SHA-256)"),
        "register_sum": Field("Check value of the register before this entry"),
    },
    "supply": {
        **Supply.fields(),
        "wires": Field("Live conductors"),
        "voltage_lines": Field("Nominal voltage between lines", "V"),
        "demand_after": Field("Largest demand with this work"),
    },
    "signing": {
        **Person.fields(),
        "role": Field("Answers for"),
        "firm": Field("Of"),
        "signature": Field("Signature"),
        "signed_on": Field("Date"),
    },
    "instruments": {**Instrument.fields(), "accuracy": Field("Accuracy as stated by the maker")},
    "sources": OtherSource.fields(),
    "electrodes": {**Electrode.fields(), "serves": Field("Serves")},
    "schemes": {**LoadManagement.fields(), "points": Field("Charge points limited")},
}
FIELDS["releasing"] = FIELDS["signing"]
FIELDS["settling"] = {
    "matter": Field("To be settled before signing"),
    "signature": Field("Settled (signature)"),
    "signed_on": Field("Date"),
}
FIELDS["source_places"] = FIELDS["island_places"] = {"place": Field("Fix at")}
FIELDS["main_electrodes"] = FIELDS["electrodes"]


def origin_single(record: Json, envelope: Envelope, record_sum: str) -> dict[str, Texts]:
    """The single rows: job, firm, certificate, supply; `record_sum` is the record's fingerprint."""
    return {
        "job": _job(record["job"]),
        "firm": _firm(record["job"]),
        "certificate": _certificate(record, envelope, record_sum),
        "supply": _supply(record),
    }


def origin_lists(job: Json) -> dict[str, tuple[Texts, ...]]:
    """People who sign, instruments, other sources, electrodes, schemes of load management."""
    signing = tuple(_signing(job))
    electrodes = tuple(_electrode(shown(each)) for each in job["electrodes"])
    return {
        "signing": signing,
        "releasing": signing[-1:],
        "instruments": tuple(shown(each) | {"accuracy": _accuracy(job, each)} for each in job["instruments"]),
        "sources": tuple(map(shown, job["sources"])),
        "electrodes": electrodes,
        "main_electrodes": tuple(each for each in electrodes if not given(each["board"])),
        "source_places": _source_places(job),
        "island_places": _island_places(job),
        "settling": tuple(
            {"matter": f"{ROLES[each]}: {SETTLED}", "signature": "", "signed_on": ""} for each in RELYING
        ),
        "schemes": tuple(_scheme(shown(each), job) for each in job["schemes"]),
    }


def _job(job: Json) -> Texts:
    """The job, with the client's address where it differs from the site, and the points by name."""
    texts = shown(job["row"])
    people = {each["person"]["shown"]: plain(each["name"]["shown"]) for each in job["people"]}
    return texts | {
        "tester_name": people.get(job["row"]["tester"]["shown"], BLANK),
        "client_at": joined([texts["client_address"], texts["site"]][: 1 if given(texts["client_address"]) else 2]),
        "points_named": _points_named(job),
        "existing": joined([texts["previous_document"], texts["previous_date"]]),
        "existing_adequate": adequacy(job),
        "lowered": joined(map(lowered, map(shown, job["points"])), "; "),
        "further_rcds": joined(map(further_rcd, map(shown, job["boards"])), "; "),
        "sources_named": sources_named(job),
        "sharing": joined(map(_sharing, map(shown, job["schemes"])), " "),
    }


def _points_named(job: Json) -> str:
    """The charge points by name, model by model."""
    models = {each["model"]["shown"]: plain(each["designation"]["shown"]) for each in job["models"]}
    groups: dict[str, list[str]] = {}
    for each in job["points"]:
        groups.setdefault(models.get(each["model"]["shown"], BLANK), []).append(plain(each["point"]["shown"]))
    named = [f"{', '.join(points)} ({model})" for model, points in groups.items()]
    return f"{counted(len(job['points']), 'charge point')}: {'; '.join(named)}" if named else BLANK


def sources_named(job: Json) -> str:
    """Every source of supply with the place where it is isolated."""
    intake = plain(job["supply"]["intake_place"]["shown"])
    found = [joined(["public supply, isolate at", intake if given(intake) else "the intake"], " ")]
    for each in map(shown, job["sources"]):
        rating = f"{each['rating']} kW" if given(each["rating"]) else BLANK
        unplug = UNPLUG if each["source"] == SourceKind.VEHICLE else BLANK
        where = f"isolate at {each['isolator_place']}" if given(each["isolator_place"]) else BLANK
        found.append(joined([joined([each["source"], rating], " "), unplug, where]))
    return "; ".join(found)


def _sharing(scheme: Texts) -> str:
    """A scheme of load management in words for those who charge."""
    return (
        f"The charge points share {scheme['group_limit']} A in each phase. "
        f"If the link between them fails, each falls back to {scheme['fallback']} A."
    )


def _source_places(job: Json) -> tuple[Texts, ...]:
    """Where a notice of several sources is fixed: intake, the boards in question, each place of isolation."""
    if not job["sources"]:
        return ()
    places = [f"the intake and meter ({plain(job['supply']['intake_place']['shown'])})"]
    places += [board_words(each["board"]["shown"], job) for each in job["sources"]]
    places += [plain(each["isolator_place"]["shown"]) for each in job["sources"]]
    return tuple({"place": f"Fix at: {place}"} for place in dict.fromkeys(places) if given(place))


def _island_places(job: Json) -> tuple[Texts, ...]:
    """Where the notice of a TT island is fixed: electrode, charge points, and where the supply's earth stops."""
    places: list[str] = []
    for row in job["electrodes"]:
        each = shown(row)
        if not given(each["supply_earth_stops"]):
            continue
        points = [
            f"charge point {plain(point['point']['shown'])}"
            for point in job["points"]
            if plain(point["board"]["shown"]) == each["board"]
            and each["circuit"] in (BLANK, plain(point["circuit"]["shown"]))
        ]
        stops = f"where the supply's earth stops ({each['supply_earth_stops']})"
        places += [f"the earth electrode ({each['place']})", *points, stops]
    return tuple({"place": f"Fix at: {place}"} for place in dict.fromkeys(places))


def _firm(job: Json) -> Texts:
    """The firm, its registration in one line."""
    texts = shown(job["firm"])
    registered = joined([texts["registration_body"], texts["registration_number"]], ", number ")
    return texts | {
        "registered": joined([registered, texts["registration_covers"]], "; covers "),
        "emergency": emergency(shown(job["row"]), texts["emergency"]),
    }


def _certificate(record: Json, envelope: Envelope, record_sum: str) -> Texts:
    """What was frozen when the number was reserved, and by what the record is known."""
    edition = record["edition"]
    return {
        "name": plain(envelope.draft or envelope.name),
        "number": plain(envelope.draft or envelope.number),
        "revision": BLANK if envelope.draft else str(envelope.revision),
        "issued": day(envelope.issue_date),
        "status": plain(envelope.draft or AWAITING),
        "replaces": plain(envelope.supersedes),
        "reason": plain(envelope.reason),
        "edition": plain(edition.get("title", "")),
        "statement": plain(edition.get("statement", "")),
        "edition_sum": plain(edition.get("sha256", "")),
        "as_of": day(record["as_of"]),
        "record_sum": record_sum,
        "register_sum": plain(envelope.check_value_before),
    }


def _supply(record: Json) -> Texts:
    """The supply, its live conductors in words, and the demand after the work."""
    texts = shown(record["job"]["supply"])
    between = BETWEEN_LINES.get(texts["voltage"], BLANK) if texts["phases"] in ("2", "3") else BLANK
    wires = WIRES.get(texts["phases"], BLANK)
    return texts | {"wires": wires, "voltage_lines": between, "demand_after": demand_after(record)}


def _signing(job: Json) -> list[Texts]:
    """One line per role, whoever fills several."""
    people = {each["person"]["shown"]: shown(each) for each in job["people"]}
    nobody = dict.fromkeys(Person.fields(), BLANK)
    firm = plain(job["firm"]["name"]["shown"])
    return [
        people.get(job["row"][attribute]["shown"], nobody)
        | {"role": role, "firm": firm, "signature": "", "signed_on": ""}
        for attribute, role in ROLES.items()
    ]


def _accuracy(job: Json, instrument: Json) -> str:
    """What the maker states per function, in one line."""
    found = []
    for row in job["accuracies"]:
        if row["instrument"]["shown"] != instrument["instrument"]["shown"]:
            continue
        texts = shown(row)
        percent = f"± {texts['percent']} %" if given(texts["percent"]) else BLANK
        digits = f"± {texts['digits']} digits of {texts['last_place']}" if given(texts["digits"]) else BLANK
        found.append(f"{texts['function']}: {joined([percent, digits])}")
    return joined(found, "; ")


def _electrode(texts: dict[str, str]) -> Texts:
    """An electrode and what it serves: the installation, a board, or a circuit."""
    circuit = f"circuit {texts['circuit']}" if given(texts["circuit"]) else BLANK
    serves = joined([texts["board"], circuit])
    return texts | {"serves": serves if given(serves) else "whole installation"}


def _scheme(texts: dict[str, str], job: Json) -> Texts:
    """A scheme of load management and the points that it limits."""
    limited = [
        plain(each["point"]["shown"]) for each in job["points"] if plain(each["scheme"]["shown"]) == texts["scheme"]
    ]
    board = texts["board"] if given(texts["board"]) else "intake"
    return texts | {"points": joined(limited), "board": board}
