"""The pages of a pack as people read them, held against its record by two readers that had no part in writing them."""

import io
import json
import re
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from pipeline.audit.faults import Fault, Kind
from pipeline.documents.fields import label
from pipeline.documents.layouts import pack_of
from pipeline.documents.texts import BLANK
from pipeline.documents.view import View, view
from pipeline.facts.recall import completed
from pipeline.facts.record import Json, canonical, fingerprint
from pipeline.orders import Envelope
from pipeline.pack.comparing import differences
from pipeline.pack.expecting import expected
from pipeline.pack.metadata import PRODUCER
from pipeline.pack.reading import Reading, flat
from pipeline.stages.inspection import page_problems

if TYPE_CHECKING:
    import pikepdf

# at the foot of every page: number and revision, then the title
_FOOT = re.compile(r"^(\d{4,}-\d+) ·")
# what may lie over a page: a link, and the widget of a signature
_MAY_LIE_OVER = frozenset({"/Link", "/Widget"})
# how a difference of values begins, as against a place that only one version prints
_SAYS_OTHERWISE = "the page prints "
_NAME = "name"
_PRINTED = {
    "issued": "issue_date",
    "register_sum": "check_value_before",
    "replaces": "supersedes",
    "reason": "reason",
}


@dataclass(frozen=True, slots=True)
class Opened:
    """A pack as its readers see it: the bytes, the structure, the texts."""

    content: bytes = field(repr=False)
    pdf: "pikepdf.Pdf"
    reading: Reading


def shown_by(record: Json, envelope: Envelope) -> View:
    """What today's documents would print of a record; a field that came later is blank in an older one."""
    seen = view(completed(record), envelope)
    certificate = {**seen.single["certificate"], "record_sum": fingerprint(canonical(record))}
    return View({**seen.single, "certificate": certificate}, seen.lists)


def printed_envelope(reading: Reading) -> Envelope | None:
    """The envelope as the pages print it; None where they print no number."""
    wanted = {flat(label("certificate", name)): name for name in (_NAME, *_PRINTED)}
    found: dict[str, str] = {}
    for section in reading.in_order():
        for lines in section.lines():
            for line in lines:
                for column, text in enumerate(line.texts):
                    if text in wanted and line.cell(column + 1).text:
                        found.setdefault(wanted[text], line.cell(column + 1).shown)
    number, _, revision = found.get(_NAME, "").rpartition("-")
    if not number or not revision.isdecimal():
        return None
    texts = {name: "" if found.get(key, BLANK) == BLANK else found[key] for key, name in _PRINTED.items()}
    try:
        day = datetime.strptime(texts["issue_date"], "%d %b %Y").date().isoformat()  # noqa: DTZ007 - a day has no zone
    except ValueError:
        day = ""
    return Envelope(number, int(revision), day, texts["check_value_before"], texts["supersedes"], texts["reason"])


def page_faults(pack: Opened, record: bytes, envelope: Envelope, where: str) -> Iterator[Fault]:
    """Where the pages do not say what the record says, belong to another pack, or read in two ways."""
    yield from _strange_pages(pack.reading, envelope.name, where)
    seen = shown_by(json.loads(record), envelope)
    if made_today(pack.pdf):
        problems = page_problems(pack.content, record, envelope, [each.document for each in pack_of(seen)])
    else:
        problems = list(_values(pack.reading, seen))
    yield from (Fault(where, Kind.PAGE, each) for each in problems)
    yield from _covered(pack.pdf, where)
    yield from _second_reader(pack, where)


def without_pages(seen: View) -> View:
    """What is printed of a record apart from the contents of the pack, which count its pages."""
    return seen.with_lists(contents=(), attached=())


def made_today(pdf: "pikepdf.Pdf") -> bool:
    """Whether a pack was laid out by this very version, so that its pages must be as this version prints them."""
    return str(pdf.docinfo.get("/Producer", "")) == PRODUCER


def _values(reading: Reading, seen: View) -> Iterator[str]:
    """Values that differ from the record in a pack of another version, which may lay out other fields than this one."""
    titles = {layout.title: layout for layout in pack_of(seen)}
    for (title, _), section in zip(reading.starts, reading.in_order(), strict=False):
        if title in titles:
            for problem in differences(section, expected(titles[title], without_pages(seen))):
                if _SAYS_OTHERWISE in problem:
                    yield f"{title}: {problem}"


def _strange_pages(reading: Reading, name: str, where: str) -> Iterator[Fault]:
    """Pages whose foot names another pack."""
    for piece in reading.artifacts:
        foot = _FOOT.match(" ".join(piece.text.split()))
        if foot and foot[1] != name:
            yield Fault(where, Kind.SWAPPED, f"Page {piece.page + 1} is a page of pack {foot[1]}, not of {name}.")


def _covered(pdf: "pikepdf.Pdf", where: str) -> Iterator[Fault]:
    """Pages over which something lies that could hide or replace what is printed."""
    for number, page in enumerate(pdf.pages, start=1):
        annotations: Any = page.obj.get("/Annots", [])
        for kind in sorted({str(each.get("/Subtype", "")) for each in annotations} - _MAY_LIE_OVER):
            yield Fault(
                where, Kind.PAGE, f"Over page {number} lies a note or picture ({kind[1:]}) that nobody made for it."
            )


def _second_reader(pack: Opened, where: str) -> Iterator[Fault]:
    """Pages on which a second reader finds other characters than the first."""
    import pypdf  # noqa: PLC0415

    first: dict[int, list[str]] = defaultdict(list)
    reading = pack.reading
    for piece in [*(piece for section in reading.in_order() for piece in section.pieces), *reading.artifacts]:
        first[piece.page].append(piece.text)
    for number, page in enumerate(pypdf.PdfReader(io.BytesIO(pack.content)).pages):
        one, other = Counter(flat("".join(first[number]))), Counter(flat(page.extract_text()))
        if one != other:
            signs = "".join(sorted(((one - other) + (other - one)).keys()))[:20]
            yield Fault(where, Kind.PAGE, f"Page {number + 1} reads in two ways: two readers differ in {signs!r}.")
