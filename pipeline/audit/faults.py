"""What a verification can find, each in its own word, with what it means and who may act on it."""

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """The words for what is wrong."""

    DAMAGED = "damaged"
    MISSING = "missing"
    UNKNOWN = "unknown"
    UNREADABLE = "unreadable now"
    SWAPPED = "moved or swapped"
    ALTERED = "altered record"
    UNEXPLAINED = "differs without a reason"
    PAGE = "page differs from record"
    ATTACHMENT = "wrong attachment"
    CLAIM = "not what it claims to be"
    APPENDED = "appended update"
    SIGNATURE = "broken signature"
    STRANGER = "stranger's signature"
    CHAIN = "chain broken"
    GAP = "gap in numbers"
    SUPERSESSION = "supersession broken"
    ROLLED_BACK = "rolled back"
    CUT = "tail cut off"
    REWRITTEN = "past rewritten"


OFFICE = "the office, from another copy of the same file"
PROGRAM = "whoever looks after the program"
AUDITOR = "nobody alone: auditor and office together, on evidence from outside"

MEANING: dict[Kind, tuple[str, str]] = {
    Kind.DAMAGED: ("The file is not the one that was archived: at least one byte differs.", OFFICE),
    Kind.MISSING: ("Something that must be there is not.", OFFICE),
    Kind.UNKNOWN: ("Something is there that nothing accounts for.", AUDITOR),
    Kind.UNREADABLE: ("It could not be read now, which says nothing of its content.", OFFICE),
    Kind.SWAPPED: ("Whole or in part it belongs to another pack.", OFFICE),
    Kind.ALTERED: ("The record was changed after it was made.", AUDITOR),
    Kind.UNEXPLAINED: (
        "Judged again, the record gives other findings, and no correction of the rules says why.",
        AUDITOR,
    ),
    Kind.PAGE: ("What people read is not what the record says.", AUDITOR),
    Kind.ATTACHMENT: ("A file inside the pack is missing, surplus, or says something else than the record.", AUDITOR),
    Kind.CLAIM: ("The file says of itself what does not hold.", PROGRAM),
    Kind.APPENDED: ("Something was added to the file after it was finished.", AUDITOR),
    Kind.SIGNATURE: ("The signature does not prove the file.", AUDITOR),
    Kind.STRANGER: ("Somebody signed whom none of the given authorities vouches for.", AUDITOR),
    Kind.CHAIN: ("The register was changed from outside the program.", AUDITOR),
    Kind.GAP: ("Numbers do not run from 1 without a gap, each once.", AUDITOR),
    Kind.SUPERSESSION: ("Which revision replaces which is not one line.", PROGRAM),
    Kind.ROLLED_BACK: ("The register is an earlier one, as after an old copy was put back.", AUDITOR),
    Kind.CUT: ("The register ends before things that it must have known.", AUDITOR),
    Kind.REWRITTEN: ("The register's past is another one than that which was made known.", AUDITOR),
}


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One discrepancy: where, its word, what is the case, and the evidence (what was expected, what was found)."""

    where: str
    kind: Kind
    message: str
    evidence: str = ""
