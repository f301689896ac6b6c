"""Make packs from orders: render, convert, assemble, inspect. Pure: knows no register and no outputs folder."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

from pipeline.documents.layouts import LAYOUTS, SECOND_WAVE
from pipeline.errors import PipelineError
from pipeline.orders import Made, Order
from pipeline.pack.merging import sources
from pipeline.progress import Tell, silent
from pipeline.stages.assemble import assemble, page_counts
from pipeline.stages.convert import convert, settle, settled
from pipeline.stages.inspection import inspect_document, inspect_pack
from pipeline.stages.render import documents_of, every_document, first_wave, paper, second_wave

if TYPE_CHECKING:
    from pipeline.tools.libreoffice import Office

CHUNK = 24
PACK = "handover-pack"
RECORD = "record.json"


@dataclass(slots=True)
class Work:
    """One order on its way: what has been rendered and converted so far, or the trouble that ended it."""

    order: Order
    docx: dict[str, bytes] = field(default_factory=dict)
    pdfs: dict[str, bytes] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    trouble: str = ""
    remedy: str = ""

    def end(self, trouble: str, remedy: str) -> None:
        """Give up this order; the others go on."""
        self.trouble, self.remedy = self.trouble or trouble, self.remedy or remedy


def draft(orders: Sequence[Order], office: "Office | None", tell: Tell = silent) -> Iterator[Made]:
    """Make orders that carry a mark in the place of a number, or only their Word files where nothing can convert."""
    if office:
        yield from make(orders, office, tell)
        return
    for order in orders:
        work = Work(order)
        _render(work, every_document)
        yield Made(order.envelope, _word_files(work), trouble=work.trouble, remedy=work.remedy)


def single_papers(document: str, orders: Sequence[Order], office: "Office | None") -> Iterator[Made]:
    """One document of each order, outside a pack; a PDF that does not say what its record says is left out.

    Without an office the Word files alone.
    """
    docx = {str(number): paper(order, document) for number, order in enumerate(orders)}
    converted = convert(docx, office) if docx and office else {}
    for number, order in enumerate(orders):
        files, pdf = {f"{document}.docx": docx[str(number)]}, converted.get(str(number), b"")
        if not isinstance(pdf, bytes):
            yield Made(order.envelope, files, trouble=pdf.message, remedy=pdf.remedy)
            continue
        layout = LAYOUTS[document]
        single = settle(pdf, layout.title, order.envelope.issue_date, layout.locale) if pdf else b""
        problems = inspect_document(single, order, document) if single else []
        whole = files if problems or not single else files | {f"{document}.pdf": single}
        yield Made(order.envelope, whole, trouble="; ".join(problems[:1]))


def make(orders: Sequence[Order], office: "Office", tell: Tell = silent) -> Iterator[Made]:
    """Make orders chunk by chunk, since conversion is only fast in batches; a pack at fault drops out alone."""
    for start in range(0, len(orders), CHUNK):
        works = [Work(order) for order in orders[start : start + CHUNK]]
        tell(f"writing the Word files of {len(works)} pack{'s' * (len(works) > 1)}")
        for work in works:
            _render(work, first_wave)
        _convert(works, office, tell)
        for guess in (SECOND_WAVE, {}):
            for work in works:
                _number(work, guess)
            _convert(works, office, tell)
        for work in works:
            yield _finish(work)


def _number(work: Work, guess: Mapping[str, int]) -> None:
    """Fill what prints page numbers of the pack, unless it stands with the right ones already.

    `guess` are the pages of documents that were not converted yet.
    """
    if work.trouble:  # a document of it has no page to be counted
        return
    counted = {**guess, **page_counts(work.pdfs)}
    counts = {name: counted[name] for name in documents_of(work.order)}
    if counts != work.counts:
        work.counts = counts
        _render(work, partial(second_wave, counts=counts))


def _render(work: Work, wave: Callable[[Order], Mapping[str, bytes]]) -> None:
    """Fill the templates of one wave; what it renders anew loses its old PDF."""
    if work.trouble:
        return
    try:
        fresh = wave(work.order)
    except PipelineError as trouble:
        work.end(trouble.message, trouble.remedy)
        return
    work.docx.update(fresh)
    for name in fresh:
        work.pdfs[name] = b""


def _convert(works: Sequence[Work], office: "Office", tell: Tell) -> None:
    """Convert whatever has no PDF yet, over all orders at once."""
    waiting = {
        # drafts have no number of their own by which a message could name them
        f"{f'draft {place}' if work.order.envelope.draft else work.order.envelope.name}-{name}": (work, name)
        for place, work in enumerate(works, start=1)
        if not work.trouble
        for name, pdf in work.pdfs.items()
        if not pdf
    }
    if waiting:
        tell(f"turning {len(waiting)} Word file{'s' * (len(waiting) > 1)} into PDFs")
    done = convert({key: work.docx[name] for key, (work, name) in waiting.items()}, office)
    for key, (work, name) in waiting.items():
        result = done[key]
        if isinstance(result, bytes):
            work.pdfs[name] = result
        else:
            work.end(result.message, result.remedy)


def _finish(work: Work) -> Made:
    """Put the pack together, hold it against its record, and name its files."""
    envelope = work.order.envelope
    if work.trouble:
        return Made(envelope, trouble=work.trouble, remedy=work.remedy)
    names = documents_of(work.order)
    work.docx = {name: work.docx[name] for name in names}
    titles = {name: LAYOUTS[name].title for name in names}
    try:
        with sources({name: work.pdfs[name] for name in names}) as documents:
            pack, claim = assemble(work.order, documents, work.docx, titles)
            singles = {
                f"{envelope.stem}-{name}.pdf": settled(
                    source, titles[name], envelope.issue_date, LAYOUTS[name].locale, envelope.draft, claim
                )
                for name, source in documents.items()
            }
        problems = inspect_pack(pack, work.order, names)
    except PipelineError as trouble:
        return Made(envelope, trouble=trouble.message, remedy=trouble.remedy)
    if problems:
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        return Made(
            envelope,
            trouble=problems[0] + more,
            remedy="The templates or fonts were changed: restore them and build again.",
        )
    files = {f"{envelope.stem}-{PACK}.pdf": pack}
    if not envelope.draft:
        files[f"{envelope.stem}-{RECORD}"] = work.order.record
    return Made(envelope, files | _word_files(work) | singles, work.counts)


def _word_files(work: Work) -> dict[str, bytes]:
    """The Word files by name."""
    return {f"{work.order.envelope.stem}-{name}.docx": content for name, content in work.docx.items()}
