"""The report of a verification on disk: a workbook with everything, and a letter of one page, then the exceptions."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.audit.letter import letter
from pipeline.audit.results import Verification
from pipeline.audit.words import NOT_PROVED, QUICK, meanings, risk_rows, sample_words, summary
from pipeline.errors import CommandError, MachineError

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

WORKBOOK, WORD, PDF = "verification.xlsx", "verification.docx", "verification.pdf"
_WIDEST = 90
_UNPRINTABLE = dict.fromkeys(each for each in range(32) if each not in {9, 10})


def refuse_inside(folder: Path, paths: Iterable[Path]) -> None:
    """Raise CommandError for a report that would be written into what is verified."""
    for path in paths:
        if folder.resolve().is_relative_to(path.resolve()):
            raise CommandError(
                f"The report would be written into {path}, which is being verified.", "Give a folder elsewhere."
            )


def write_report(found: Verification, folder: Path) -> list[Path]:
    """Write the workbook and the letter; raises MachineError without LibreOffice, the letter then stays a Word file."""
    folder.mkdir(parents=True, exist_ok=True)
    _workbook(found).save(folder / WORKBOOK)
    (folder / WORD).write_bytes(letter(found))
    (folder / PDF).write_bytes(_converted((folder / WORD).read_bytes()))
    return [folder / name for name in (WORKBOOK, WORD, PDF)]


def _converted(word: bytes) -> bytes:
    """The letter as PDF."""
    from pipeline.tools.libreoffice import Office  # noqa: PLC0415

    with Office(workers=1) as office:
        content = office.convert({"verification": word})["verification"]
    if not isinstance(content, bytes):
        raise MachineError(content.message, content.remedy)
    return content


def _workbook(found: Verification) -> Any:
    """Everything as a workbook; each cell is a text, so that no file name can become a formula."""
    from openpyxl import Workbook  # noqa: PLC0415

    book = Workbook()
    book.remove(book.worksheets[0])
    about = [
        *summary(found),
        *(("Not proved", each) for each in _not_proved(found)),
        *(("Note", n) for n in found.notes),
    ]
    _sheet(book.create_sheet("Summary"), ("Line", "Result"), about)
    _sheet(
        book.create_sheet("Exceptions"),
        ("Word", "Where", "What is the case", "Evidence"),
        [(str(each.kind), each.where, each.message, each.evidence) for each in found.faults],
    )
    _sheet(book.create_sheet("Words"), ("Word", "What it means", "Who may act on it"), meanings(found.faults))
    _sheet(
        book.create_sheet("Packs"),
        ("Pack", "Proved", "Judged again", "Discrepancies", "Job", "Outcome", "Rules", "Tested by", "Tested",
         "Issued", "Circuits", "Signed by", "Check value printed", "SHA-256", "Where"),
        [
            (pack.name, str(pack.evidence), pack.recheck, str(len(pack.faults)), pack.essence.job, pack.essence.outcome,
             pack.essence.edition, pack.essence.tester, pack.essence.tested, pack.essence.released,
             str(len(pack.essence.circuits)), "; ".join(pack.signed_by), pack.check_value, pack.sha256, pack.where)
            for pack in found.packs
        ],
    )  # fmt: skip
    _sheet(
        book.create_sheet("Numbers"),
        ("Pack", "State", "Job", "Since", "Entries", "Reason"),
        [
            (row["name"], row["state"], row["job"], row["at"], str(row["entries"]), row["reason"])
            for row in found.numbers
        ],
    )
    drawn = [(str(place), each.pack, each.board, each.circuit, "", "") for place, each in enumerate(found.sample, 1)]
    page = book.create_sheet("Sample")
    _sheet(page, ("Drawn", "Pack", "Board", "Circuit", "As found on site", "Checked by and on"), drawn)
    page.append(["", sample_words(found)])
    _sheet(book.create_sheet("Risk picks"), ("Pack", "Why"), risk_rows(found))
    return book


def _not_proved(found: Verification) -> tuple[str, ...]:
    """What this verification does not prove."""
    return NOT_PROVED if found.full else (QUICK, *NOT_PROVED)


def _sheet(page: "Worksheet", head: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Fill a sheet: a heading that stays in view, texts alone, columns as wide as what is in them."""
    from openpyxl.styles import Alignment, Font  # noqa: PLC0415
    from openpyxl.utils import get_column_letter  # noqa: PLC0415

    page.append(list(head))
    for row in rows:
        page.append([text.translate(_UNPRINTABLE) for text in row])
    for cells in page.iter_rows():
        for cell in cells:
            cell.data_type, cell.number_format = "s", "@"
            cell.alignment = Alignment(wrap_text=True, vertical="top")
            cell.font = Font(name="Liberation Sans", bold=cell.row == 1)
    for place, cells in enumerate(page.iter_cols(), start=1):
        widest = max(len(str(cell.value or "")) for cell in cells)
        page.column_dimensions[get_column_letter(place)].width = min(widest + 2, _WIDEST)
    page.freeze_panes = "A2"
