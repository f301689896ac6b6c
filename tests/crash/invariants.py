"""What must hold of an outputs folder at any moment, read without a word of the program; one function asks it all.

I1 numbers run from 1, each with one history; I2 what is entered lies whole in the archive, and nothing else does;
I3 every job has its number; I4 no archived byte changes; I5 the end is that of an undisturbed run; I6 the register
continues what it was; I7 a mail of an issued pack is entered before it goes, called accepted only where a server took
it, and never goes again unless it surely has not arrived; I8 the archived record is the reserved one; I9 plain sums
prove a bag; I10 a refusal is plain; I11 no process survives; I12 nothing of a client is left in
scratch at the end.
"""

import hashlib
import json
import os
import shutil
import sqlite3
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

MARK = "HANDOVER_TEST_RUN"
"""In the environment of every program that a run under test starts."""
FOLLOWS = {
    "": {"reserved"},
    "reserved": {"awaiting signature", "void"},
    "awaiting signature": {"issued", "superseded", "withdrawn"},
    "issued": {"superseded", "withdrawn"},
    "superseded": set(),
    "withdrawn": {"superseded"},
    "void": set(),
}
SENDING, ACCEPTED = "sending", "accepted by the mail server"
TRY = {SENDING, "too large for the mail server"}
DECIDED = {"has arrived, as somebody decided", "has not arrived, as somebody decided"}
NOT_GONE = {"refused by the mail server", "not sent: the connection broke off before", "too large for the mail server"}
MAIL_FOLLOWS = {
    "": TRY,
    SENDING: NOT_GONE | DECIDED | {ACCEPTED},
    ACCEPTED: set(),
    "has arrived, as somebody decided": set(),
    "has not arrived, as somebody decided": TRY | DECIDED,
    **dict.fromkeys(NOT_GONE, TRY | DECIDED),
}
ENTERED = ("awaiting signature", "issued", "superseded", "withdrawn")


@dataclass(frozen=True)
class State:
    """An outputs folder as it is found: the register's rows, and each file's sum and right to be written."""

    entries: tuple[dict, ...] = ()
    records: dict[str, bytes] = field(default_factory=dict)
    archive: dict[str, tuple[str, bool]] = field(default_factory=dict)
    packs: dict[str, str] = field(default_factory=dict)
    folders: frozenset[str] = frozenset()

    @property
    def histories(self) -> dict[tuple[str, str], list[str]]:
        """What each pack of each job went through."""
        found: dict[tuple[str, str], list[str]] = {}
        for each in self.entries:
            if each["number"]:
                found.setdefault((name_of(each), each["job"]), []).append(each["kind"])
        return found


def name_of(entry: dict) -> str:
    return f"{entry['number']:04}-{entry['revision']}"


def state_of(outputs: Path) -> State:
    """Read an outputs folder; the register from a copy, so that a half transaction is undone there alone."""
    entries, records = _register(outputs)
    archive = {name: (total, writable) for name, total, writable in _files(outputs / "archive")}
    packs = {name: total for name, total, _ in _files(outputs / "packs")}
    folders = frozenset(each.name for each in _inside(outputs / "archive"))
    return State(entries, records, archive, packs, folders)


def _inside(folder: Path) -> list[Path]:
    return sorted(folder.iterdir()) if folder.is_dir() else []


def _files(folder: Path):
    for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
        if path.is_file():
            total = hashlib.sha256(path.read_bytes()).hexdigest()
            yield path.relative_to(folder).as_posix(), total, bool(path.stat().st_mode & 0o222)


def _register(outputs: Path):
    with tempfile.TemporaryDirectory() as folder:
        for path in outputs.glob("register.sqlite*"):
            shutil.copy(path, folder)
        if not (Path(folder) / "register.sqlite").exists():
            return (), {}
        database = sqlite3.connect(Path(folder) / "register.sqlite")
        database.row_factory = sqlite3.Row
        try:
            if not database.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
                return (), {}
            entries = tuple(dict(row) for row in database.execute("SELECT * FROM entries ORDER BY seq"))
            personal = dict(database.execute("SELECT seq, content FROM personal").fetchall())
        finally:
            database.close()
    kept = {name_of(each): personal[each["seq"]] for each in entries if each["kind"] == "reserved"}
    records = {name: content.rpartition(b"\n")[2] for name, content in kept.items()}  # above it stands the reason
    return entries, records


def broken(outputs: Path, before: State | None = None, *, like: State | None = None, mark: str = "") -> list[str]:
    """What does not hold; `before` is what was there earlier, `like` what an undisturbed run leaves at the end."""
    state = state_of(outputs)
    found = [*_chain(state), *_numbers(state), *_archive(state, outputs, ended=like is not None), *_packs(state, like)]
    found += mail_faults(state)
    if before:
        found += _kept(state, before)
    if like:
        found += _alike(state, like)
        found += [f"I12 {path} is left in scratch" for path, _, _ in _files(outputs / ".work")]
    if mark:
        found += [f"I11 the process {each} survives" for each in survivors(mark)]
    return found


def _chain(state: State):
    link = "0" * 64
    for place, each in enumerate(state.entries, start=1):
        columns = {name: value for name, value in each.items() if name != "sha"}
        sha = hashlib.sha256(json.dumps(columns, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
        if (each["seq"], each["prev"], each["sha"]) != (place, link, sha):
            yield f"I6 entry {place} does not follow"
        link = each["sha"]


def _numbers(state: State):
    pairs = {(each["number"], each["revision"]) for each in state.entries if each["number"]}
    numbers = {number for number, _ in pairs}
    if numbers != set(range(1, len(numbers) + 1)):
        yield f"I1 the numbers are {sorted(numbers)}"
    for number in numbers:
        revisions = sorted(revision for of, revision in pairs if of == number)
        if revisions != list(range(1, len(revisions) + 1)):
            yield f"I1 the revisions of {number} are {revisions}"
        if len({each["job"] for each in state.entries if each["number"] == number}) != 1:
            yield f"I1 {number} belongs to several jobs"
    jobs = [{each["job"] for each in state.entries if each["number"] == number}.pop() for number in numbers]
    if len(set(jobs)) != len(jobs):
        yield "I1 a job has two numbers"
    for (name, _), kinds in state.histories.items():
        for earlier, later in zip(["", *kinds], kinds, strict=False):
            if later not in FOLLOWS[earlier]:
                yield f"I1 {name} went from {earlier or 'nothing'} to {later}"


def _archive(state: State, outputs: Path, *, ended: bool):
    last = {name: kinds[-1] for (name, _), kinds in state.histories.items()}
    wanted: dict[str, dict] = {}
    for each in state.entries:
        body = json.loads(each["body"])
        if each["kind"] == "awaiting signature":
            wanted[name_of(each)] = body["files"]
        if each["kind"] == "issued":
            wanted[f"{name_of(each)}-released"] = body["release"]
    for name in sorted(wanted.keys() - state.folders):
        yield f"I2 {name} is entered and not in the archive"
    for name in sorted(state.folders):
        pack = name.removesuffix("-released")
        begun = last.get(pack) == ("reserved" if pack == name else "awaiting signature")
        if name not in wanted and (ended or not begun):
            yield f"I2 {name} is in the archive and not entered"
        payload = {
            path.removeprefix(f"{name}/data/"): total
            for path, (total, _) in state.archive.items()
            if path.startswith(f"{name}/data/")
        }
        if name in wanted and payload != wanted[name]:
            yield f"I2 {name} is not as it was entered"
        yield from _bag(state, outputs, name)
        record = state.archive.get(f"{pack}/data/{pack}-record.json", ("", False))[0]
        if record != hashlib.sha256(state.records.get(pack, b"")).hexdigest():
            yield f"I8 the record of {pack} is not the one that was reserved"
    if ended and "reserved" in last.values():
        yield f"I2 not every reservation has become a pack: {last}"


def _bag(state: State, outputs: Path, name: str):
    """A bag by its own plain lists, as anybody reads them: sum, blanks, path."""
    listed = {}
    for manifest in ("manifest-sha256.txt", "tagmanifest-sha256.txt"):
        path = outputs / "archive" / name / manifest
        for line in path.read_text().splitlines() if path.exists() else ():
            total, file = line.split(maxsplit=1)
            listed[f"{name}/{file}"] = total
    there = {
        path: total
        for path, (total, _) in state.archive.items()
        if path.startswith(f"{name}/") and path != f"{name}/tagmanifest-sha256.txt"
    }
    if there != listed or not listed:
        yield f"I9 the lists of {name} do not prove it"
    if any(writable for path, (_, writable) in state.archive.items() if path.startswith(f"{name}/")):
        yield f"I4 {name} is not write-protected"


def _packs(state: State, like: State | None):
    names = {path.partition("/")[0] for path in state.packs}
    for name in sorted(names):
        copy = {path: total for path, total in state.packs.items() if path.startswith(f"{name}/")}
        kept = {
            path.replace("/data/", "/"): total
            for path, (total, _) in state.archive.items()
            if path.startswith(f"{name}/data/")
        }
        signed = f"{name}/{name}-signed-handover-pack.pdf"
        if signed in copy:  # it stands in the place of the unsigned one
            kept[signed] = state.archive[f"{name}-released/data/{name}-signed-handover-pack.pdf"][0]
            kept.pop(f"{name}/{name}-handover-pack.pdf")
        if copy != kept:
            yield f"I2 {name} for daily use is not the pack of the archive"
        if next(kinds[-1] for (each, _), kinds in state.histories.items() if each == name) not in ENTERED:
            yield f"I2 {name} can be seen and is not entered"
    if like and state.packs.keys() != like.packs.keys():
        yield f"I5 for daily use there is {sorted(names)}"


def mail_faults(state: State, taken: list[str] | None = None) -> list[str]:
    """What does not hold of the mails; `taken` are the message ids of all that the server took, one for each time."""
    found, packs, last = [], {}, {}
    begun: Counter[str] = Counter()
    for each in state.entries:
        if each["number"]:
            packs[name_of(each)] = each["kind"]
        if each["kind"] != "mail":
            continue
        body = json.loads(each["body"])
        key, step = (body["pack"], body["to"]), body["step"]
        if step not in MAIL_FOLLOWS[last.get(key, "")]:
            found.append(f"I7 {key} went from {last.get(key) or 'nothing'} to {step}")
        if step == SENDING and packs.get(body["pack"]) != "issued":
            found.append(f"I7 {key} was sent, and the pack is {packs.get(body['pack'])}")
        if step == ACCEPTED and taken is not None and body["message"] not in taken:
            found.append(f"I7 {key} is called accepted, and no server took it")
        begun[body["message"]] += step == SENDING
        last[key] = step
    gone = Counter(taken or ())
    return found + [f"I7 {each} went {gone[each]} times, {begun[each]} were begun" for each in gone - begun]


def _kept(state: State, before: State):
    for path, found in before.archive.items():
        if state.archive.get(path) != found:
            yield f"I4 {path} of the archive has changed"
    shas = [each["sha"] for each in state.entries]
    if shas[: len(before.entries)] != [each["sha"] for each in before.entries]:
        yield "I6 the register does not continue what it was"


def _alike(state: State, like: State):
    if state.histories != like.histories:
        yield f"I5 the histories are {state.histories}"
    if {job for _, job in state.histories} != {job for _, job in like.histories}:
        yield "I3 not every job has its number"
    if _payload(state) != _payload(like):
        yield "I5 the packs are other ones than an undisturbed run makes"
    if like.entries[-1]["kind"] == "closed" != state.entries[-1]["kind"]:
        yield f"I5 the last entry is {state.entries[-1]['kind']}"


def _payload(state: State) -> dict[str, str]:
    """The sum of every file of every pack; a signature says when it was made, and is another one each time."""
    files = {path: total for path, (total, _) in state.archive.items() if "/data/" in path}
    return {path: "" if path.endswith("-signed-handover-pack.pdf") else total for path, total in files.items()}


def survivors(mark: str) -> list[int]:
    """Processes that were started under a mark and still run."""
    found = []
    for folder in Path("/proc").glob("[0-9]*") if Path("/proc").is_dir() else ():
        try:
            marked = f"{MARK}={mark}".encode() in (folder / "environ").read_bytes().split(b"\0")
            running = (folder / "stat").read_text().rpartition(")")[2].split()[0] != "Z"
        except OSError:
            continue
        if marked and running and int(folder.name) != os.getpid():
            found.append(int(folder.name))
    return found


def impolite(code: int, said: str, sighed: str) -> list[str]:
    """What is wrong with a refusal: it ends with 3, says what and what to do in a few lines, and shows no trace."""
    lines = [each for each in sighed.splitlines() if each and not each.startswith(("Reading", "Checking", "Pack "))]
    found = [] if code == 3 else [f"I10 it ended with {code}"]
    if "Traceback" in said + sighed:
        found.append("I10 a trace is shown")
    if not 2 <= len(lines) <= 4:
        found.append(f"I10 it says {lines}")
    return found
