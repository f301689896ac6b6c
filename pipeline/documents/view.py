"""The texts that documents print, from a job's record and its envelope alone: selected, joined and worded, not judged.

Whoever holds a pack can take the record out of it, make this view again and hold it against the pages.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from pipeline.documents.rows.circuits import circuit_lists
from pipeline.documents.rows.findings import finding_lists, outcome
from pipeline.documents.rows.origin import origin_lists, origin_single
from pipeline.documents.rows.points import point_lists
from pipeline.documents.texts import Json, Texts
from pipeline.facts.choices import WorkKind
from pipeline.orders import Envelope


@dataclass(frozen=True, slots=True)
class View:
    """Rows of texts: single ones by name, and lists of them by name; the fields are those of `fields.FIELDS`."""

    single: Mapping[str, Texts]
    lists: Mapping[str, tuple[Texts, ...]]

    def has(self, name: str) -> bool:
        """Whether a list has rows."""
        return bool(self.lists[name])

    def with_lists(self, **lists: tuple[Texts, ...]) -> "View":
        """The same view with further lists."""
        return replace(self, lists={**self.lists, **lists})


def view(record: Json, envelope: Envelope) -> View:
    """All rows that the documents of a job print."""
    single = origin_single(record, envelope) | {"outcome": outcome(record)}
    lists = {
        **origin_lists(record["job"]),
        **circuit_lists(record),
        **point_lists(record["job"]),
        **finding_lists(record),
    }
    return View(single, lists | _marks(single["job"], envelope))


def _marks(job: Texts, envelope: Envelope) -> dict[str, tuple[Texts, ...]]:
    """Lists that only say whether a document or a part of one is wanted: the job itself, or nothing."""
    minor = job["work"] == WorkKind.NO_NEW_CIRCUIT
    return {
        "minor_works": (job,) if minor else (),
        "installation_works": () if minor else (job,),
        "draft": (job,) if envelope.draft else (),
    }
