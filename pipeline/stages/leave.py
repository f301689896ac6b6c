"""Leave a copy of the workbook in which every finding is marked; the admin's own file is only ever read."""

import json
import re
import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from pipeline.disk import write_durably
from pipeline.errors import MachineError, Slip, WorkbookRefusedError, refused_by_machine
from pipeline.facts.field import Place
from pipeline.facts.findings import Finding, Verdict
from pipeline.facts.questions import Question
from pipeline.stages.commit import Outputs
from pipeline.workbook.corrections.listing import Group
from pipeline.workbook.corrections.mark import marked_copy
from pipeline.workbook.corrections.tabs import PART

ORIGINS = "origins.json"
"""Beside the copies: the folder of the workbook that each one was made from, where its photos lie."""
COPY_NAME = re.compile(r"-corrections(?:-\d+)?$")


def leave_copy(
    content: bytes, source: Path, outputs: Outputs, groups: Sequence[Group], questions: Sequence[Question] = ()
) -> Path:
    """Write the marked copy of a workbook's bytes and give its path; a copy that somebody has worked in is kept.

    Raises MachineError where the copy cannot be made or written.
    """
    try:
        copy = marked_copy(content, groups, questions)
        outputs.copies.mkdir(parents=True, exist_ok=True)
        target = next(_free(outputs.copies, source))
        home = home_of(source)
        write_durably(target, copy)
        _remember(outputs.copies, target.name, home)
    except WorkbookRefusedError as trouble:
        raise MachineError(f"No copy with corrections could be made. {trouble.message}", trouble.remedy) from None
    except OSError as trouble:
        told = refused_by_machine(trouble)
        why = f" {told.message}" if told else ""
        raise MachineError(
            f"The copy with corrections cannot be written.{why}",
            f"Close the workbooks of the folder {outputs.copies}, check that you may write there, or choose another "
            "folder with --out.",
        ) from None
    return target


def leave_refusal(content: bytes, source: Path, outputs: Outputs, refusal: WorkbookRefusedError) -> Path:
    """Write a copy that says why a workbook is refused that could be opened safely."""
    slips = refusal.slips or (Slip("", "", refusal.message, refusal.remedy),)
    told = tuple(
        Finding(
            rule="workbook_has_its_form",
            verdict=Verdict.FAIL,
            job="",
            subject="Workbook",
            message=each.message,
            places=(Place(each.sheet, each.cell),) if each.sheet else (),
            expected="the sheets and headings of a blank workbook",
            remedy=each.remedy,
        )
        for each in slips
    )
    whole = Group("The whole workbook is refused; nothing of it was checked", told)
    return leave_copy(content, source, outputs, [whole])


def home_of(workbook: Path) -> Path:
    """The folder in which a workbook's photos lie: of a copy, that of the workbook it was made from."""
    origins = _origins(workbook.parent)
    home = origins.get(workbook.name)
    if home is None and len(set(origins.values())) == 1:  # the copy was given another name
        home = next(iter(origins.values()))
    return Path(home) if home and Path(home).is_dir() else workbook.parent


def _origins(folder: Path) -> dict[str, str]:
    """What is known of the copies in a folder; nothing where there are none."""
    try:
        known = json.loads((folder / ORIGINS).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(name): str(home) for name, home in known.items()} if isinstance(known, dict) else {}


def _remember(folder: Path, name: str, home: Path) -> None:
    """Note where a copy came from."""
    origins = {**_origins(folder), name: str(home.resolve())}
    write_durably(folder / ORIGINS, json.dumps(origins, ensure_ascii=False, indent=1, sort_keys=True).encode())


def _free(folder: Path, source: Path) -> Iterator[Path]:
    """Names for a copy that may be written: new ones, and those of copies that nobody has saved since."""
    stem, number = COPY_NAME.sub("", source.stem), 1
    while True:
        path = folder / f"{stem}-corrections{f'-{number}' if number > 1 else ''}.xlsx"
        if not path.exists() or (_untouched(path) and not _same(path, source)):
            yield path
        number += 1


def _untouched(path: Path) -> bool:
    """Whether a copy is as this program wrote it: every other program names the parts of a workbook anew."""
    try:
        with zipfile.ZipFile(path) as book:
            return PART in book.namelist()
    except (OSError, zipfile.BadZipFile):
        return False


def _same(path: Path, source: Path) -> bool:
    """Whether two paths are one file."""
    try:
        return path.samefile(source)
    except OSError:
        return False
