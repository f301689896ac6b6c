"""What travels between the phases plan, make and commit: plain bytes and texts, so that any worker can take it."""

from dataclasses import dataclass, field
from typing import Any

Json = dict[str, Any]

DRAFT = "DRAFT – NOT FOR ISSUE"
"""The mark on every page of a draft, in the place of its number."""


@dataclass(frozen=True, slots=True)
class Envelope:
    """What is frozen when a number is reserved; it stays outside the record."""

    number: str
    revision: int
    issue_date: str
    check_value_before: str
    supersedes: str = ""
    reason: str = ""
    draft: str = ""

    @property
    def name(self) -> str:
        """The pair of number and revision as file and folder names write it."""
        return f"{self.number}-{self.revision}"

    @property
    def stem(self) -> str:
        """How the names of its files begin; those of a draft carry no number."""
        return "draft" if self.draft else self.name


@dataclass(frozen=True, slots=True)
class Order:
    """One pack to make: the record's canonical bytes, the envelope, photos by file name, templates by document.

    `workbook_rows` are the job's rows as typed, as a small workbook for the attachments.
    """

    record: bytes
    envelope: Envelope
    templates: dict[str, bytes] = field(repr=False)
    photos: dict[str, bytes] = field(default_factory=dict, repr=False)
    workbook_rows: bytes = field(default=b"", repr=False)


@dataclass(frozen=True, slots=True)
class Made:
    """What making an order gave: files by name, pages by document, or the one trouble that stopped it."""

    envelope: Envelope
    files: dict[str, bytes] = field(default_factory=dict, repr=False)
    pages: dict[str, int] = field(default_factory=dict)
    trouble: str = ""
    remedy: str = ""
