"""Papers without a number: drafts of jobs that hold up, and do-not-use notices of jobs that are held.

Each page says what it is not; nothing here touches the register, and a held job has no document but its notice.
"""

import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.disk import write_durably
from pipeline.documents.layouts import LAYOUTS
from pipeline.documents.view import view_of
from pipeline.issue import Workshop, record_bytes
from pipeline.orders import DRAFT, Envelope, Order
from pipeline.rules import RING
from pipeline.stages.decide import Decision, Status
from pipeline.stages.order import order_of, read_photos

if TYPE_CHECKING:
    from pipeline.tools.libreoffice import Office

HELD = "HELD – NOT A CERTIFICATE"
DO_NOT_USE = "do-not-use"


def make_drafts(
    decisions: Sequence[Decision], shop: Workshop, office: "Office | None"
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Drafts of every job that holds up, each page marked; without LibreOffice the Word files alone.

    Gives the files' paths below the outputs, and the troubles of jobs that could have none.
    """
    from pipeline.stages.make import draft  # noqa: PLC0415 - only where documents are made

    shutil.rmtree(shop.outputs.drafts, ignore_errors=True)
    chosen = [each for each in decisions if each.status is Status.TO_MAKE]
    orders = [unnumbered(each, shop, DRAFT, read_photos(shop.photos, each.judged.job.photo_sums)) for each in chosen]
    files: list[str] = []
    troubles: list[str] = []
    for each, made in zip(chosen, draft(orders, office, shop.tell), strict=True):
        files += write_papers(shop.outputs.drafts / row_name(each), made.files)
        if made.trouble:
            troubles.append(f"{each.reference}: {made.trouble} {made.remedy}".strip())
    return tuple(files), tuple(troubles)


def warn_off(decisions: Sequence[Decision], shop: Workshop, office: "Office") -> None:
    """A notice for each held job whose point may be live and has failed, in the client's language too."""
    from pipeline.stages.make import single_papers  # noqa: PLC0415 - only where documents are made

    chosen = [
        each
        for each in decisions
        if each.status is Status.HELD and each.judged.job.tested and each.judged.edition and _has_failed(each)
    ]
    shutil.rmtree(shop.outputs.held, ignore_errors=True)  # a row may be that of another job by now
    orders = [unnumbered(each, shop, HELD, {}) for each in chosen]
    for layout in LAYOUTS.values():
        if DO_NOT_USE in (layout.document, layout.original):
            readers = [
                (each, order)
                for each, order in zip(chosen, orders, strict=True)
                if layout.needed(view_of(order.record, order.envelope))
            ]
            papers = single_papers(layout.document, [order for _, order in readers], office)
            for (each, _), made in zip(readers, papers, strict=True):
                write_papers(shop.outputs.held / row_name(each), made.files)
                if made.trouble:
                    shop.tell(f"{row_name(each)}: only the Word file of {layout.document} was made. {made.trouble}")


def _has_failed(decision: Decision) -> bool:
    """Whether a safety check of the job failed, typing mistakes left out."""
    return any(each.message.startswith(RING) for each in decision.judged.holding)


def unnumbered(decision: Decision, shop: Workshop, mark: str, photos: dict[str, bytes]) -> Order:
    """An order that carries a mark in the place of a number."""
    envelope = Envelope("0000", 0, shop.as_of.isoformat(), "", draft=mark)
    return order_of(record_bytes(decision, shop.as_of), envelope, photos, dict(shop.templates))


def row_name(decision: Decision) -> str:
    """A folder name for a job without a number: its row on the Jobs sheet, since a reference appears in no path."""
    cell = decision.judged.job.row.at["job"].cell
    return f"jobs-row-{''.join(filter(str.isdigit, cell))}"


def write_papers(folder: Path, files: Mapping[str, bytes]) -> list[str]:
    """Write files into a folder; gives their paths below the outputs."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        write_durably(folder / name, content)
    return [f"{folder.parent.name}/{folder.name}/{name}" for name in files]
