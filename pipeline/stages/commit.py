"""Bring a finished pack home: bag it, move it into the archive, enter it, publish it; nothing is ever replaced."""

from collections.abc import Mapping
from pathlib import Path

from pipeline.disk import move_new, remove_scratch, sync_tree, write_durably, write_protect
from pipeline.facts.record import fingerprint
from pipeline.orders import Envelope, Made
from pipeline.register import Register, Reservation


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
        self.work = root / ".work"
        self.photos = self.work / "photos"
        self.lock = root / ".lock"
        self.index = root / "index.html"
        self.corrections = root / "corrections.txt"
        self.copies = root / "corrections"


def commit(made: Made, reservation: Reservation, register: Register, outputs: Outputs, now: str) -> None:
    """Bag, move, enter, publish; a run that dies in between finds the whole bag or none."""
    target = outputs.archive / made.envelope.name
    if not is_whole(target):
        outputs.archive.mkdir(parents=True, exist_ok=True)
        move_new(bagged(target.name, made.files, made.envelope.issue_date, outputs), target)
    finish(reservation, register, outputs, now, made.pages)


def finish(
    reservation: Reservation, register: Register, outputs: Outputs, now: str, pages: dict[str, int] | None = None
) -> None:
    """Enter and publish a pack whose whole bag lies in the archive."""
    payload = sorted((outputs.archive / reservation.envelope.name / "data").iterdir())
    sums = {path.name: fingerprint(path.read_bytes()) for path in payload}
    register.awaiting(reservation, sums, pages or {}, now)
    publish(reservation.envelope, outputs)


def is_whole(bag: Path) -> bool:
    """Whether a bag is there and every byte of it is as its manifest says."""
    import bagit  # noqa: PLC0415 - only where something is archived

    try:
        return bool(bagit.Bag(str(bag)).validate()) if bag.is_dir() else False
    except bagit.BagError:
        return False


def publish(envelope: Envelope, outputs: Outputs) -> None:
    """Copy a bag's payload to the packs for daily use; it can be made again at any time."""
    folder = outputs.packs / envelope.name
    folder.mkdir(parents=True, exist_ok=True)
    for path in sorted((outputs.archive / envelope.name / "data").iterdir()):
        write_durably(folder / path.name, path.read_bytes())


def bagged(name: str, files: Mapping[str, bytes], day: str, outputs: Outputs) -> Path:
    """Build a bag (RFC 8493) in the scratch folder, durable and write-protected; gives the folder to be moved."""
    import bagit  # noqa: PLC0415 - only where something is archived

    folder = outputs.work / f"bag-{name}"
    remove_scratch(folder)
    folder.mkdir(parents=True)
    for file, content in files.items():
        (folder / file).write_bytes(content)
    about = {
        "External-Identifier": name,
        "External-Description": "Handover pack of a charge-point installation",
        "Bagging-Date": day,
    }
    bagit.make_bag(str(folder), bag_info=about, checksums=["sha256"])
    write_protect(folder)
    sync_tree(folder)
    return folder
