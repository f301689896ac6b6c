"""Verify: everything given is read, held against everything else, and told; nothing is mended, nothing written."""

import hashlib
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field, replace
from multiprocessing import get_context
from pathlib import Path

from pipeline.audit.bags import PACK_ENDING, Bag, file_sum, read_bag
from pipeline.audit.examine import Task, examine
from pipeline.audit.faults import Fault, Kind
from pipeline.audit.known import Known, known_faults, past_faults, printed_faults
from pipeline.audit.ledger import Ledger, open_ledger
from pipeline.audit.numbers import number_faults, number_rows
from pipeline.audit.places import PACKS, Holding, holdings
from pipeline.audit.results import Evidence, Pack, Verification
from pipeline.audit.sample import drawn, risk_picks
from pipeline.audit.sums import archive_faults, daily_sums, file_faults, line_faults, owners, release_faults
from pipeline.errors import CommandError
from pipeline.progress import Tell, silent
from pipeline.register import name_of

Asked = tuple[Known, ...]


@dataclass(frozen=True, slots=True)
class Options:
    """What a verification was asked for; `word` is the auditor's own, for the draw of the sample."""

    paths: tuple[Path, ...]
    full: bool = True
    known: Asked = ()
    roots: tuple[bytes, ...] = ()
    word: str = ""


@dataclass(slots=True)
class Holder:
    """One holding while it is verified."""

    holding: Holding
    ledger: Ledger | None = None
    bags: list[Bag] = field(default_factory=list)
    loose: list[tuple[Path, str]] = field(default_factory=list)
    unaccounted: set[str] = field(default_factory=set)
    faults: list[Fault] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    packs: list[Pack] = field(default_factory=list)


def verify(options: Options, tell: Tell = silent) -> Verification:
    """Verify all paths; raises CommandError when there is nothing to verify or a check value has no register."""
    found = [Holder(each) for each in holdings(options.paths)]
    if options.known and not any(each.holding.register for each in found):
        raise CommandError("A check value can only be held against a register.", "Give the outputs folder as well.")
    for holder in found:
        _hash(holder, tell)
        _compare(holder, options.known)
    _examine(found, options, tell)
    for holder in found:
        _conclude(holder)
    return _verification(found, options)


def _hash(holder: Holder, tell: Tell) -> None:
    """Read the register, and hash every bag and loose file, at the speed of the disk."""
    holding = holder.holding
    if holding.register:
        holder.ledger = open_ledger(holding.register, str(holding.register))
    with ThreadPoolExecutor(os.cpu_count()) as threads:
        tell(f"hashing {len(holding.bags)} bags")
        holder.bags = list(threads.map(lambda each: read_bag(each, str(each)), holding.bags))
        holder.loose = list(zip(holding.loose, threads.map(_sum_or_nothing, holding.loose), strict=True))


def _sum_or_nothing(path: Path) -> str:
    """The sum of a file, empty when it cannot be read."""
    try:
        return file_sum(path)
    except OSError:
        return ""


def _compare(holder: Holder, known: Asked) -> None:
    """Bags with their lists, the archive with the register, the register with itself and with what is known of it."""
    ledger, bags = holder.ledger, holder.bags
    holder.faults += [fault for bag in bags for fault in bag.faults]
    names = [bag.folder.name for bag in bags]
    holder.faults += [
        Fault(bag.where, Kind.MISSING, "There is no handover pack in this bag.")
        for bag in bags
        if not (bag.pack or bag.of != bag.folder.name or any(each.kind is Kind.MISSING for each in bag.faults))
    ]
    holder.faults += release_faults(bags)
    if ledger is None:
        if holder.holding.whole:
            holder.faults += line_faults(names, str(bags[0].folder.parent) if bags else "archive")
        return
    holder.faults += ledger.faults
    faults, holder.unaccounted, notes = archive_faults(ledger, bags, whole=holder.holding.whole)
    found, continued = known_faults(ledger, known, holder.unaccounted)
    holder.faults += [*faults, *number_faults(ledger), *past_faults(ledger), *found]
    holder.notes += [*notes, *continued]
    holder.faults += _copies(holder, ledger)


def _copies(holder: Holder, ledger: Ledger) -> Iterator[Fault]:
    """Packs for daily use that are not those of the archive; one that is not there can be made again at any time."""
    sums = ledger.sums()
    known = owners(sums)
    for folder in holder.holding.copies:
        where = f"{PACKS}/{folder.name}"
        if folder.name not in sums:
            yield Fault(where, Kind.UNKNOWN, "The register does not know this pack.")
            continue
        found = {path.name: _sum_or_nothing(path) for path in sorted(folder.iterdir()) if path.is_file()}
        wanted, unsigned = daily_sums(sums, folder.name), f"{folder.name}{PACK_ENDING}"
        if unsigned not in wanted and found.get(unsigned, "") == sums[folder.name].get(unsigned):
            del found[unsigned]
            told = "is unsigned, and the pack is signed since: a run was interrupted; the next ends it."
            holder.notes.append(f"{where}/{unsigned} {told}")
        for fault in file_faults(where, found, wanted, known):
            if fault.kind is Kind.MISSING:
                holder.notes.append(f"{fault.where} is not there; the archive has it.")
            else:
                yield fault
    if holder.holding.copies:
        there = {folder.name for folder in holder.holding.copies}
        gone = sorted(name for name in ledger.envelopes() if name in sums and name not in there)
        holder.notes += [f"{PACKS}/{name} is not there; it can be made again from the archive." for name in gone]


def _examine(found: Sequence[Holder], options: Options, tell: Tell) -> None:
    """Examine every pack on all cores, or, in quick mode, say what the hashes alone have shown."""
    tasks = [(holder, task) for holder in found for task in _tasks(holder, options.roots)]
    if not options.full:
        for holder, task in tasks:
            sound = task.proof not in {Evidence.ITSELF, Evidence.NOTHING}
            holder.packs.append(
                Pack(task.name or task.path.name, task.where, evidence=task.proof if sound else Evidence.NOTHING)
            )
        return
    for count, ((holder, _), pack) in enumerate(
        zip(tasks, _examined([task for _, task in tasks]), strict=True), start=1
    ):
        tell(f"pack {pack.name}", count, len(tasks))
        holder.packs.append(pack)


def _tasks(holder: Holder, roots: tuple[bytes, ...]) -> Iterator[Task]:
    """A task for each pack in a bag and each loose one."""
    ledger = holder.ledger
    envelopes, records = (ledger.envelopes(), ledger.records()) if ledger else ({}, {})
    sums = ledger.sums() if ledger else {}
    spoilt = {fault.where for fault in holder.faults}
    for bag in holder.bags:
        if not bag.pack:
            continue
        name, where = bag.of, f"{bag.where}/data/{bag.pack.name}"
        entered = bag.folder.name in sums
        proof = Evidence.REGISTER if entered else Evidence.BAG
        if ledger and not entered:
            proof = Evidence.NOTHING
        if where in spoilt or (proof is Evidence.BAG and bag.faults):
            proof = Evidence.NOTHING
        yield Task(bag.pack, where, proof, name, envelopes.get(name), records.get(name, b""), bag.sums, roots)
    known = owners(sums)
    for path, total in holder.loose:
        name, _, file = known.get(total, "").partition("/")
        if file and not file.endswith(PACK_ENDING):
            holder.packs.append(Pack(file, str(path), total, Evidence.REGISTER))
        else:
            proof = Evidence.REGISTER if file else Evidence.ITSELF
            yield Task(path, str(path), proof, name, envelopes.get(name), records.get(name, b""), {}, roots)


def _examined(tasks: Sequence[Task]) -> Iterator[Pack]:
    """Packs in the order of their tasks; one that kills its reader is tried once more, alone."""
    with _readers(len(tasks)) as pool:
        waiting = [(task, pool.submit(examine, task)) for task in tasks]
        for task, future in waiting:
            try:
                yield future.result()
            except BrokenProcessPool:
                yield _alone(task)


def _readers(count: int) -> ProcessPoolExecutor:
    """At most one process a core, each started fresh: a copy of this one could inherit a lock that nobody opens."""
    return ProcessPoolExecutor(min(max(count, 1), os.cpu_count() or 1), get_context("spawn"))


def _alone(task: Task) -> Pack:
    """One pack in a process of its own."""
    with _readers(1) as pool:
        try:
            return pool.submit(examine, task).result()
        except BrokenProcessPool:
            fault = Fault(task.where, Kind.DAMAGED, "Reading it broke the program, twice.")
            return Pack(task.name or task.path.name, task.where, faults=(fault,))


def _conclude(holder: Holder) -> None:
    """What only shows once all packs have been read: check values on pages, packs that the register has otherwise."""
    ledger = holder.ledger
    if ledger is None:
        return
    printed = [(pack.name, pack.check_value) for pack in holder.packs]
    holder.faults += printed_faults(ledger, printed, holder.unaccounted)
    sums, loose = ledger.sums(), {str(path) for path, _ in holder.loose}
    for place, pack in enumerate(holder.packs):
        if pack.where not in loose or pack.evidence is Evidence.REGISTER:
            continue
        name = next((each for each in sums if pack.name == each or pack.name.startswith(f"{each}-")), "")
        kind, told = (
            (Kind.DAMAGED, f"It is not the pack {name} that the register entered: its sum is another one.")
            if name
            else (Kind.UNKNOWN, "The register does not know this pack.")
        )
        fault = Fault(pack.where, kind, told, f"found {pack.sha256[:16]}…" if pack.sha256 else "")
        holder.packs[place] = replace(pack, evidence=Evidence.NOTHING, faults=(*pack.faults, fault))


def _verification(found: Sequence[Holder], options: Options) -> Verification:
    """All holdings as one result, in a fixed order, with the sample and the risk picks."""
    packs = tuple(sorted((pack for holder in found for pack in holder.packs), key=lambda each: (each.name, each.where)))
    faults = sorted({fault for holder in found for fault in holder.faults} | {f for pack in packs for f in pack.faults})
    ledgers = [holder.ledger for holder in found if holder.ledger]
    rows = tuple(row for ledger in ledgers for row in number_rows(ledger))
    value = ledgers[0].check_value if len(ledgers) == 1 else ""
    seed = f"{value or _sum_of_sums(packs)} {options.word}".strip()
    states = {name_of(*key): state for ledger in ledgers for key, state in ledger.states().items()}
    return Verification(
        options.paths,
        options.full,
        packs,
        tuple(faults),
        tuple(dict.fromkeys(note for holder in found for note in holder.notes)),
        numbers=rows,
        bags=sum(len(holder.bags) for holder in found),
        check_value=value,
        seed=seed,
        word=options.word,
        sample=tuple(drawn(packs, states, seed)),
        risks=tuple(risk_picks(packs, rows)),
    )


def _sum_of_sums(packs: Sequence[Pack]) -> str:
    """What stands in for a check value where no register was given."""
    return hashlib.sha256("".join(pack.sha256 for pack in packs).encode()).hexdigest()[:20]
