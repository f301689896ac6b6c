"""Check values that left the house, against the register of today: it continues them, or it was turned back."""

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from pipeline.audit.faults import Fault
from pipeline.audit.faults import Kind as Word
from pipeline.audit.ledger import Ledger
from pipeline.errors import CommandError
from pipeline.register import CHECK_VALUE_DIGITS, Kind, check_value_of, name_of

_FORM = re.compile(rf"(?:(\d{{1,9}})-)?((?:[0-9a-f]{{4}}-){{{CHECK_VALUE_DIGITS // 4 - 1}}}[0-9a-f]{{4}})")


@dataclass(frozen=True, slots=True)
class Known:
    """A check value from outside: its digits, and how many entries it was taken over where that was noted too."""

    digits: str
    count: int | None = None

    def __str__(self) -> str:
        """As people note it down."""
        grouped = check_value_of(self.count or 0, self.digits)
        return grouped if self.count is not None else grouped.partition("-")[2]


def known_value(text: str) -> Known:
    """A check value as it stands on a pack, in a mail or under a verification; raises CommandError for another form."""
    found = _FORM.fullmatch(text.strip().lower())
    if not found:
        raise CommandError(
            f"{text} is no check value.",
            "Give it as it is printed: five groups of four, such as 1a2b-3c4d-5e6f-7a8b-9c0d, perhaps a count before.",
        )
    return Known(found[2].replace("-", ""), int(found[1]) if found[1] else None)


def known_faults(ledger: Ledger, known: Iterable[Known], unaccounted: Collection[str]) -> tuple[list[Fault], list[str]]:
    """What check values from outside say of a register, as faults and as notes.

    `unaccounted` are packs that are there and that the register does not know.
    """
    faults, notes = [], []
    for each in known:
        after = _entry_of(ledger, each.digits)
        if after and each.count in {None, after}:
            at = ledger.entries[after - 1]["at"]
            notes.append(f"The register continues {each}: it stood after entry {after}, {at}.")
        else:
            faults.append(_broken(ledger, each, unaccounted))
    return faults, notes


def _entry_of(ledger: Ledger, digits: str) -> int:
    """After which entry the check value was this; 0 for none."""
    return next((place for place, each in enumerate(ledger.entries, 1) if each["sha"].startswith(digits)), 0)


def _broken(ledger: Ledger, known: Known, unaccounted: Collection[str]) -> Fault:
    """In which way a register does not continue a value."""
    count, now = known.count, f"today {ledger.check_value}"
    if count is not None and count <= len(ledger.entries):
        told = f"After entry {count} its check value was {known}; the register of today has another past."
        return Fault(ledger.where, Word.REWRITTEN, told, now)
    if unaccounted:
        beyond = ", ".join(sorted(unaccounted))
        told = f"The register does not reach {known}, and packs lie beyond its end: {beyond}."
        return Fault(ledger.where, Word.CUT, told, now)
    if count is not None:
        told = (
            f"{known} was taken over {count} entries; the register of today has {len(ledger.entries)} and no pack more."
        )
        return Fault(ledger.where, Word.ROLLED_BACK, told, now)
    if any(past_faults(ledger)):
        return Fault(ledger.where, Word.REWRITTEN, f"The register does not continue {known}.", now)
    told = (
        f"The register does not continue {known}: an earlier copy of everything was put back, or its past was "
        "written anew as a whole. A check value noted with its count of entries would tell which."
    )
    return Fault(ledger.where, Word.ROLLED_BACK, told, now)


def past_faults(ledger: Ledger) -> list[Fault]:
    """Reservations over a register that this one does not continue: each froze the check value from before its run."""
    found, before = [], set()
    for each in ledger.entries:
        frozen = each["body"].get("envelope", {}).get("check_value_before", "") if each["kind"] == Kind.RESERVED else ""
        if frozen and each["number"] and _digits(str(frozen)) not in before:
            name = name_of(each["number"], each["revision"])
            told = f"{name} was reserved over a register with the check value {frozen}, which this one never had."
            found.append(Fault(f"{ledger.where}, entry {each['seq']}", Word.REWRITTEN, told))
        before.add(each["sha"][:CHECK_VALUE_DIGITS])
    return found


def printed_faults(ledger: Ledger, printed: Iterable[tuple[str, str]], unaccounted: Collection[str]) -> list[Fault]:
    """Check values printed on packs that this register never had; each pack gives its name and the value."""
    values = {each["sha"][:CHECK_VALUE_DIGITS] for each in ledger.entries}
    found = []
    for name, value in printed:
        if value and _digits(value) not in values:
            kind = Word.CUT if name in unaccounted else Word.REWRITTEN
            told = f"{name} prints the check value {value} of the register before it, which this register never had."
            found.append(Fault(ledger.where, kind, told))
    return found


def _digits(value: str) -> str:
    """The digits of a printed value, whether or not a count stands before them."""
    return value.replace("-", "")[-CHECK_VALUE_DIGITS:]
