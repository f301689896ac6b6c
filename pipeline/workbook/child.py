"""The process that opens a stranger's workbook: bytes in, plain JSON out, bounded in memory and time.

`python -m pipeline.workbook.child MEGABYTES SECONDS < workbook > answer`: the answer holds either the cells
or the refusal. Whatever else happens to it, its parent refuses the file.
"""

import json
import os
import select
import sys
import threading
from contextlib import suppress
from typing import Any

from pipeline.errors import WorkbookRefusedError
from pipeline.workbook.cell_xml import CellMaker
from pipeline.workbook.cells import SheetCells, to_plain
from pipeline.workbook.comments import comments_of
from pipeline.workbook.container import Container
from pipeline.workbook.corrections.unmark import remove_marks
from pipeline.workbook.formulas import refuse_acting
from pipeline.workbook.parts import TYPES, Book, SheetPart, book, check_pointers, main_part, relations, target
from pipeline.workbook.sheet_xml import read_sheet
from pipeline.workbook.styles import Style, styles_of
from pipeline.workbook.texts import shared_texts


def main() -> None:
    """Read the workbook on the standard input and print the answer."""
    limit(int(sys.argv[1]), int(sys.argv[2]))
    threading.Thread(target=end_with_parent, daemon=True).start()
    try:
        answer = open_workbook(sys.stdin.buffer.read())
    except WorkbookRefusedError as refusal:
        answer = {"refused": [refusal.message, refusal.remedy]}
    json.dump(answer, sys.stdout)


def end_with_parent() -> None:
    """End at once when nobody is there any more to hear the answer; where that cannot be known, the limits bound it."""
    if hasattr(select, "poll"):
        answer = select.poll()
        answer.register(sys.stdout, 0)  # only its breaking off is told
        answer.poll()
        os._exit(1)


def limit(megabytes: int, seconds: int) -> None:
    """Bound this process; where the system has no such limits, the parent's clock alone bounds it."""
    try:
        import resource  # noqa: PLC0415 - POSIX only
    except ImportError:
        return
    bounds = {resource.RLIMIT_AS: megabytes << 20, resource.RLIMIT_CPU: seconds, resource.RLIMIT_CORE: 0}
    for what, bound in bounds.items():
        # some systems know the name and refuse the limit
        with suppress(ValueError, OSError):
            resource.setrlimit(what, (bound, bound))


def open_workbook(content: bytes) -> dict[str, Any]:
    """The cells of a workbook as plain JSON, marks left out; raises WorkbookRefusedError for a file of no use."""
    container = Container(remove_marks(content))
    main = main_part(container)
    check_pointers(container)
    whole = book(container, main)
    for formula in whole.formulas:
        refuse_acting(formula)
    used = _used(container, main, whole)
    hurt = container.check_parts(used)
    maker = maker_of(container, whole)
    sheets = [_sheet(container, each, maker) for each in whole.sheets if _is_sheet(each, whole)]
    return to_plain(sheets, hurt)


def _used(container: Container, main: str, whole: Book) -> frozenset[str]:
    """The parts that bear on what is read: damage there refuses the file."""
    parts = {TYPES, main, *(name for name in container.names if name.endswith(".rels"))}
    parts |= {sheet.part for sheet in whole.sheets}
    parts |= {target(whole.relations, "sharedStrings"), target(whole.relations, "styles")}
    parts |= {name for name in container.names if "comment" in name.casefold()}
    return frozenset(parts)


def maker_of(container: Container, whole: Book) -> CellMaker:
    """Shared texts, styles and calendar of the workbook."""
    texts, styles = target(whole.relations, "sharedStrings"), target(whole.relations, "styles")
    return CellMaker(
        texts=shared_texts(container.pieces(texts), texts) if texts else [],
        styles=styles_of(container.part(styles), styles) if styles else [Style()],
        epoch_1904=whole.epoch_1904,
    )


def _is_sheet(sheet: SheetPart, whole: Book) -> bool:
    """Whether an entry of the list is a sheet of cells, not a chart."""
    return any(each.target == sheet.part and each.kind.endswith("/worksheet") for each in whole.relations.values())


def _sheet(container: Container, sheet: SheetPart, maker: CellMaker) -> SheetCells:
    """One sheet with what lies over its cells."""
    found = read_sheet(container.pieces(sheet.part), sheet.part, maker)
    return SheetCells(
        title=sheet.title,
        rows=found.rows,
        merged=tuple(found.merged),
        comments=comments_of(container, relations(container, sheet.part)),
        hidden=sheet.hidden,
        hidden_columns=tuple(found.hidden_columns),
        hidden_rows=frozenset(found.hidden_rows & found.rows.keys()),
    )


if __name__ == "__main__":
    main()
