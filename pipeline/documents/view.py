"""The texts that documents print, from a job's record and its envelope alone: selected, joined and worded, not judged.

Whoever holds a pack can take the record out of it, make this view again and hold it against the pages.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from pipeline.documents.catalogue import LANGUAGE
from pipeline.documents.languages import translated
from pipeline.documents.rows.answers import answer_lists
from pipeline.documents.rows.circuits import circuit_lists
from pipeline.documents.rows.findings import finding_lists, outcome
from pipeline.documents.rows.limitations import limited, unseen
from pipeline.documents.rows.origin import AWAITING, origin_lists, origin_single
from pipeline.documents.rows.points import point_lists
from pipeline.documents.rows.visit import visit_lists
from pipeline.documents.texts import Json, Texts, given
from pipeline.facts.choices import (
    Charging,
    ClientLanguage,
    Nation,
    Premises,
    RcdPlace,
    SourceKind,
    WorkKind,
    YesNo,
)
from pipeline.facts.record import canonical, fingerprint
from pipeline.orders import Envelope

# where whoever charges also looks after the installation
HOUSEHOLDS = (Premises.DWELLING, Premises.RENTED_DWELLING)


@dataclass(frozen=True, slots=True)
class View:
    """Rows of texts: single ones by name, and lists of them by name; the fields are those of `fields.FIELDS`."""

    single: Mapping[str, Texts]
    lists: Mapping[str, tuple[Texts, ...]]

    def has(self, name: str) -> bool:
        """Whether a list has rows."""
        return bool(self.lists[name])

    def in_language(self, language: str) -> "View":
        """The same view with what our own words say in another language; what people typed stays as it is."""
        if language == LANGUAGE:
            return self
        single = {name: translated(name, row, language) for name, row in self.single.items()}
        lists = {name: tuple(translated(name, row, language) for row in rows) for name, rows in self.lists.items()}
        return View(single, lists)

    def with_lists(self, **lists: tuple[Texts, ...]) -> "View":
        """The same view with further lists."""
        return replace(self, lists={**self.lists, **lists})


@lru_cache(maxsize=64)  # a pack's is asked for when it is filled, filled again and inspected
def view_of(record: bytes, envelope: Envelope) -> View:
    """All rows that the documents of a job print, from the record's canonical bytes."""
    return view(json.loads(record), envelope, fingerprint(record))


def view(record: Json, envelope: Envelope, record_sum: str = "") -> View:
    """All rows that the documents of a job print; the record's fingerprint is worked out where it is not given."""
    record_sum = record_sum or fingerprint(canonical(record))
    lists = {
        **origin_lists(record["job"]),
        **circuit_lists(record),
        **point_lists(record["job"]),
        **finding_lists(record),
        **answer_lists(record),
        **visit_lists(record),
        "limited": limited(record["job"]),
    }
    told = outcome(record) | {"unseen": unseen(lists["limited"], lists["not_assessed"])}
    single = origin_single(record, envelope, record_sum) | {"outcome": told}
    return View(single, lists | _marks(single, lists))


def _marks(single: Mapping[str, Texts], lists: Mapping[str, tuple[Texts, ...]]) -> dict[str, tuple[Texts, ...]]:
    """Lists that only say whether a document or a part of one is wanted: the job itself, or nothing."""
    job = single["job"]
    minor, household = job["work"] == WorkKind.NO_NEW_CIRCUIT, job["premises"] in HOUSEHOLDS
    final, sound = single["certificate"]["status"] == AWAITING, single["outcome"]["fails"] == "0"
    wanted = {
        "minor_works": minor,
        "installation_works": not minor,
        "household": household,
        "managed_site": not household,
        "public_site": job["charging"] == Charging.PUBLIC,
        "solar": any(each["source"] == SourceKind.SOLAR for each in lists["sources"]),
        "vehicle_feeds": any(each["source"] == SourceKind.VEHICLE for each in lists["sources"]),
        "nothing_failed": sound and final and not given(single["outcome"]["unseen"]),
        "nothing_failed_seen": sound and final and given(single["outcome"]["unseen"]),
        "something_failed": not sound and final,
        "is_draft": not final,
        "is_final": final,
        "notes_any": single["outcome"]["notes"] != "0",
        "further_rcds": given(job["further_rcds"]),
        "in_scotland": job["nation"] == Nation.SCOTLAND,
        "in_northern_ireland": job["nation"] == Nation.NORTHERN_IRELAND,
        "several_phases": single["supply"]["phases"] in ("2", "3"),
        "rcd_inside": any(each["rcd_place"] == RcdPlace.INSIDE for each in lists["points"]),
        "rcd_at_board": any(each["rcd_place"] != RcdPlace.INSIDE for each in lists["points"]),
        "client_reads_de": job["client_language"] == ClientLanguage.GERMAN,
        "through_registration": single["firm"]["self_certifies"] == YesNo.YES
        and any(each["message"].startswith("To be told") for each in lists["building_notices"]),
    }
    return {name: (job,) if wish else () for name, wish in wanted.items()}
