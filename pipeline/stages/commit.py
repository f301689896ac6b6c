"""Bring a finished pack home: bag it, move it into the archive, enter it, publish it; nothing is ever replaced."""

import logging
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pipeline import points
from pipeline.disk import move_new, remove_scratch, sync_tree, write_protect
from pipeline.errors import MachineError
from pipeline.facts.record import fingerprint
from pipeline.orders import Made
from pipeline.points import Point
from pipeline.register import RELEASED, STANDING, Register, Reservation

OLDER = "An older register was put back, or a folder came from elsewhere. Put back the newest one; see: handover verify"


class Outputs:
    """Where things lie in the outputs folder: the only place that names its parts."""

    def __init__(self, root: Path) -> None:
        """The outputs folder; its parts are made when they are needed."""
        self.root = root
        self.register = root / "register.sqlite"
        self.archive = root / "archive"
        self.packs = root / "packs"
        self.drafts = root / "drafts"
        self.held = root / "held"
        self.watched = root / "watched"
        self.mail = root / "mail"
        self.sitesheets = root / "sitesheets"
        self.work = root / ".work"
        self.photos = self.work / "photos"
        self.lock = root / ".lock"
        self.index = root / "index.html"
        self.corrections = root / "corrections.txt"
        self.copies = root / "corrections"


def commit(made: Made, reservation: Reservation, register: Register, outputs: Outputs, now: str) -> None:
    """Bag, move, enter, publish; a run that dies in between finds the whole bag or none."""
    target = outputs.archive / made.envelope.name
    if not lies_there(reservation, outputs):
        move_new(bagged(target.name, made.files, made.envelope.issue_date, outputs), target)
        points.passed(Point.MOVED)
    finish(reservation, register, outputs, now, made.pages)


def finish(
    reservation: Reservation, register: Register, outputs: Outputs, now: str, pages: dict[str, int] | None = None
) -> None:
    """Enter and publish a pack whose whole bag lies in the archive."""
    payload = sorted((outputs.archive / reservation.envelope.name / "data").iterdir())
    sums = {path.name: fingerprint(path.read_bytes()) for path in payload}
    register.awaiting(reservation, sums, pages or {}, now)
    points.passed(Point.ENTERED)
    publish(reservation.envelope.name, outputs)


def lies_there(reservation: Reservation, outputs: Outputs) -> bool:
    """Whether the whole bag of a reservation lies in the archive; raises MachineError for that of another pack."""
    name = reservation.envelope.name
    bag = outputs.archive / name
    if not is_whole(bag):
        return False
    record = bag / "data" / f"{name}-record.json"
    if not record.is_file() or record.read_bytes() != reservation.record:
        raise MachineError(
            f"The archive holds another pack under the number {name} than the one that it is reserved for.", OLDER
        )
    return True


def refuse_unknown(register: Register, outputs: Outputs) -> None:
    """Raise MachineError where the archive has packs that the register does not know: nothing is numbered over them."""
    known = {each.name for each in register.standings()}
    folders = sorted(outputs.archive.iterdir()) if outputs.archive.is_dir() else []
    strange = [each.name for each in folders if each.name.removesuffix(RELEASED) not in known]
    if strange:
        raise MachineError(f"The archive has what the register does not know: {', '.join(strange[:5])}.", OLDER)


def is_whole(bag: Path) -> bool:
    """Whether a bag is there and every byte of it is as its manifest says."""
    bagit = _bags()
    try:
        return bool(bagit.Bag(str(bag)).validate()) if bag.is_dir() else False
    except bagit.BagError:
        return False


def publish(name: str, outputs: Outputs) -> None:
    """Copy a bag's payload to the packs for daily use, as a whole; it can be made again at any time."""
    if (outputs.packs / name).exists():
        return
    folder = outputs.work / f"copy-{name}"
    remove_scratch(folder)
    folder.mkdir(parents=True)
    for path in sorted((outputs.archive / name / "data").iterdir()):
        (folder / path.name).write_bytes(path.read_bytes())
    sync_tree(folder)
    points.passed(Point.COPIED)
    move_new(folder, outputs.packs / name)
    points.passed(Point.PUBLISHED)


def clear_scratch(register: Register, outputs: Outputs) -> None:
    """Remove what was kept for packs under way once there are none: it is clients' data, and nothing needs it then."""
    if not register.unfinished():
        for folder in (outputs.photos, *outputs.work.glob("bag-*"), *outputs.work.glob("copy-*")):
            remove_scratch(folder)
    points.passed(Point.CLEARED)


def publish_missing(register: Register, outputs: Outputs) -> None:
    """Publish packs that stand and are not there for daily use, as after a run that died before it did so."""
    for each in register.standings():
        lacks = each.state in STANDING and not (outputs.packs / each.name).exists()
        if lacks and is_whole(outputs.archive / each.name):
            publish(each.name, outputs)


def bagged(name: str, files: Mapping[str, bytes], day: str, outputs: Outputs) -> Path:
    """Build a bag (RFC 8493) in the scratch folder, durable and write-protected; gives the folder to be moved."""
    bagit = _bags()
    folder = outputs.work / f"bag-{name}"
    remove_scratch(folder)
    folder.mkdir(parents=True)
    for file, content in files.items():
        (folder / file).write_bytes(content)
    points.passed(Point.WRITTEN)
    about = {
        "External-Identifier": name,
        "External-Description": "Handover pack of a charge-point installation",
        "Bagging-Date": day,
    }
    try:
        bagit.make_bag(str(folder), bag_info=about, checksums=["sha256"])
    except bagit.BagError as trouble:
        raise MachineError(
            f"No archive folder could be made of {name} ({trouble}).", "Check the disk, then run the command again."
        ) from trouble
    write_protect(folder)
    sync_tree(folder)
    points.passed(Point.BAGGED)
    return folder


def _bags() -> Any:
    """The library for bags, silent: what it would print is told as an error of ours."""
    import bagit  # noqa: PLC0415 - only where something is archived

    logging.getLogger("bagit").setLevel(logging.CRITICAL)
    return bagit
