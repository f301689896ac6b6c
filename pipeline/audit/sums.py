"""Sums of files held against what the register entered: which are right, damaged, moved, missing or unknown."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence

from pipeline.audit.bags import PACK_ENDING, Bag
from pipeline.audit.faults import Fault
from pipeline.audit.faults import Kind as Word
from pipeline.audit.ledger import Ledger
from pipeline.audit.places import ARCHIVE
from pipeline.register import RELEASED, Kind, name_of

# a pack by its number and revision
_NAME = re.compile(r"([0-9]{1,9})-([0-9]{1,9})")

Sums = Mapping[str, Mapping[str, str]]


def owners(sums: Sums) -> dict[str, str]:
    """Which file of which pack has a sum."""
    return {each: f"{name}/{file}" for name, files in sums.items() for file, each in files.items()}


def file_faults(
    where: str, found: Mapping[str, str], wanted: Mapping[str, str], known: Mapping[str, str]
) -> list[Fault]:
    """Files against the sums they must have; `known` tells to which pack any other sum belongs.

    A file that could not be read has an empty sum and was told before.
    """
    faults = []
    for name in sorted({*found, *wanted}):
        place, ours, theirs = f"{where}/{name}", found.get(name), wanted.get(name)
        if ours is None:
            faults.append(Fault(place, Word.MISSING, "It was entered, but it is not there.", f"SHA-256 {theirs}"))
        elif theirs is None:
            faults.append(Fault(place, Word.UNKNOWN, "Nothing was ever entered for it.", f"SHA-256 {ours}"))
        elif ours and ours != theirs:
            evidence = f"expected {theirs[:16]}…, found {ours[:16]}…"
            if ours in known:
                faults.append(Fault(place, Word.SWAPPED, f"It has the content of {known[ours]}.", evidence))
            else:
                faults.append(Fault(place, Word.DAMAGED, "It is not the file that was entered.", evidence))
    return faults


def daily_sums(sums: Sums, name: str) -> dict[str, str]:
    """The files that lie in the folder for daily use: a pack that was signed by key takes the place of the unsigned."""
    released = sums.get(f"{name}{RELEASED}", {})
    signed = {file: each for file, each in released.items() if file.endswith(PACK_ENDING)}
    unsigned = f"{name}{PACK_ENDING}" if signed else ""
    return {file: each for file, each in sums[name].items() if file != unsigned} | signed


def archive_faults(ledger: Ledger, bags: Sequence[Bag], *, whole: bool) -> tuple[list[Fault], set[str], list[str]]:
    """The archive against the register: faults, bags that it does not reach, and notes."""
    sums, states = ledger.sums(), {name_of(*key): state for key, state in ledger.states().items()}
    known, unaccounted = owners(sums), set()
    faults: list[Fault] = []
    notes: list[str] = []
    for bag in bags:
        name = bag.folder.name
        if name in sums:
            told = {(each.where, each.kind) for each in bag.faults}
            found = {f"data/{file}": each for file, each in bag.sums.items()}
            wanted = {f"data/{file}": each for file, each in sums[name].items()}
            differing = file_faults(bag.where, found, wanted, known)
            faults += [each for each in differing if (each.where, each.kind) not in told]
        elif states.get(name) == Kind.RESERVED:
            unaccounted.add(name)
            notes.append(f"{name} lies in the archive and is not entered yet: a run was interrupted; the next ends it.")
        elif bag.of != name and states.get(bag.of) == Kind.AWAITING:
            unaccounted.add(name)
            notes.append(f"{name} lies in the archive and is not entered yet: a release was interrupted.")
        else:
            unaccounted.add(name)
            faults.append(Fault(bag.where, Word.UNKNOWN, "The register does not know this pack."))
    if whole:
        there = {bag.folder.name for bag in bags}
        faults += [
            Fault(f"{ARCHIVE}/{name}", Word.MISSING, "The register knows this pack, but the archive does not have it.")
            for name in sorted(sums.keys() - there)
            if states.get(name) != Kind.VOID
        ]
    return faults, unaccounted, notes


def release_faults(bags: Sequence[Bag]) -> Iterator[Fault]:
    """Releases of other files than those that lie in the bags of their packs; a bag that is spoilt was told before."""
    sums = {bag.folder.name: bag.sums for bag in bags}
    for bag in bags:
        told = bag.folder / "data" / f"{bag.of}-release.json"
        if bag.of != bag.folder.name and bag.of in sums and told.name in bag.sums and not bag.faults:
            released = json.loads(told.read_bytes())["files"]
            for name in sorted(released.keys() & sums[bag.of].keys()):
                if sums[bag.of][name] != released[name]:
                    yield Fault(bag.where, Word.ALTERED, f"What was released was another {name} than the one here.")


def line_faults(names: Sequence[str], where: str) -> Iterator[Fault]:
    """Gaps in an archive without its register, which alone could say whether a number is void or its pack is gone."""
    pairs = {(int(found[1]), int(found[2])) for name in names if (found := _NAME.fullmatch(name))}
    numbers = {number for number, _ in pairs}
    for number in sorted(set(range(1, max(numbers, default=0))) - numbers):
        told = f"There is no pack {number:04}; only the register can say whether the number is void."
        yield Fault(where, Word.GAP, told)
    for number in sorted(numbers):
        for revision in range(1, max(each for of, each in pairs if of == number)):
            if (number, revision) not in pairs:
                yield Fault(where, Word.SUPERSESSION, f"The revision {name_of(number, revision)} is not there.")
