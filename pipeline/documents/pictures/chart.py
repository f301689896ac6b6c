"""The margin chart of a job: each check that has a margin as a bar, in per cent of its limit."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from pipeline.documents.catalogue import text
from pipeline.documents.pictures.canvas import THICK, THIN, Box, Canvas, Pen
from pipeline.documents.pictures.lettering import BLACK, BOLD, PLAIN, Lettering, fits, grey
from pipeline.documents.pictures.network import blocks_of
from pipeline.documents.pictures.notes import HEIGHT, WIDTH, Notes
from pipeline.documents.pictures.picture import Picture
from pipeline.documents.rows.findings import named
from pipeline.documents.texts import Json, given, plain
from pipeline.facts.findings import Verdict

ROWS = 42  # bars and headings of one picture
TOP, ROW, FOOT = 10.0, 3.4, 5.0  # millimetres
# columns, in millimetres from the left edge
CHECK, AXIS, LIMIT_LINE, AXIS_END, SHARE, RESULT, LIMIT, WORD = 2.0, 72.0, 122.0, 134.0, 148.0, 151.0, 172.0, 242.0
CHECK_ROOM = AXIS - CHECK - 3
MM_PER_PERCENT = (LIMIT_LINE - AXIS) / 100

BEYOND = 10_000.0  # per cent: nothing at all of what is needed
# the end of a sentence: a full stop before a capital, but not that of "d.c."
_SENTENCE = re.compile(r"(?<!\.\w)\. (?=[A-Z])")
_FIGURE = re.compile(r"-?\d+(?:\.\d+)?")
_UNIT = re.compile(r"^\W*\d+(?:\.\d+)? (\S+)")
_RIGHT = Lettering(anchor="right")
_MIDDLE = Lettering(anchor="middle")
_HATCH = Pen(0.2)
_GRID = Pen(0.1, grey(160))


@dataclass(frozen=True, slots=True)
class Bar:
    """One check: where it stands in the order of the work, and its texts."""

    order: int
    subject: str
    check: str
    share: float
    result: str
    limit: str
    verdict: str

    @property
    def hard(self) -> bool:
        """Whether it keeps the job from being issued."""
        return self.verdict in (Verdict.FAIL, Verdict.QUERY)


def margin_chart(record: Json) -> list[Picture]:
    """All checks with a margin in the order of the work, page by page; none where no check has one."""
    lines = _lines(_bars(record))
    notes = Notes()
    pages = list(_pages(lines))
    title = text("chart.title")
    drawn = [_drawn(page, f"{title} {number} / {len(pages)}", notes) for number, page in enumerate(pages, 1)]
    return drawn + notes.pictures(text("chart.full"))


def _bars(record: Json) -> list[Bar]:
    """The bars, subject by subject as a walk from the intake to the points meets them, in each by what was typed."""
    places = {cell: order for order, cell in enumerate(_cells(record))}
    bars = [_bar(each, places) for each in record["findings"] if _margin(each) is not None]
    subjects = list(dict.fromkeys(bar.subject for bar in sorted(bars, key=lambda each: each.order)))
    return sorted(bars, key=lambda each: (subjects.index(each.subject), each.order))


def _bar(finding: Json, places: dict[str, int]) -> Bar:
    """One finding as a bar; it comes after the last of the cells that it looks at."""
    calculation = finding["calculation"]
    return Bar(
        order=max((places.get(each, -1) for each in finding["places"]), default=-1),
        subject=plain(finding["subject"]),
        check=_check(finding),
        share=_share(calculation),
        result=plain(calculation["result"]),
        limit=plain(calculation["limit"]),
        verdict=str(finding["verdict"]),
    )


def _share(calculation: Json) -> float:
    """How much of its limit a result uses up, in per cent: result / limit, or limit / result of a least value.

    The margin is the distance in per cent of the limit either way; which way, the two figures tell.
    """
    margin = float(calculation["margin"])
    if not _is_least(calculation, margin):
        return max(0.0, 100 - margin)
    return 10_000 / (100 + margin) if margin > -100 else BEYOND


def _is_least(calculation: Json, margin: float) -> bool:
    """Whether a limit is a least value: what holds is above it, what does not is below."""
    if plain(calculation["limit"]).startswith("at least"):
        return True
    figures = [_FIGURE.search(plain(calculation[name]).replace("−", "-")) for name in ("result", "limit")]
    units = [_UNIT.search(plain(calculation[name])) for name in ("result", "limit")]
    if not (figures[0] and figures[1] and units[0] and units[1] and units[0][1] == units[1][1]):
        return False
    above = float(figures[0][0]) - float(figures[1][0])
    return above * margin > 0


def _check(finding: Json) -> str:
    """What a finding says first, where that fits on a line, else the name of its rule."""
    sentence = _SENTENCE.split(plain(finding["message"]))[0].removesuffix(".")
    return sentence if given(sentence) and fits(sentence, CHECK_ROOM) else named(finding["rule"])


def _margin(finding: Json) -> float | None:
    """The margin of a finding, where it has one."""
    calculation = finding["calculation"]
    return calculation["margin"] if calculation else None


def _cells(record: Json) -> Iterator[str]:
    """Every cell of the job in the order of the work: intake, then each board with its circuits and points."""
    job = record["job"]
    for row in (job["row"], job["supply"], *job["sources"], *job["electrodes"], *job["schemes"]):
        yield from _addresses(row)
    for block in blocks_of(record):
        yield from _addresses(block.row)
        for way in block.ways:
            circuit = way.circuit or {}
            yield from _addresses(circuit)
            for row in job["readings"] if circuit else ():
                if all(row[key]["shown"] == circuit[key]["shown"] for key in ("board", "circuit")):
                    yield from _addresses(row)
            for point in way.points:
                yield from _addresses(point)


def _addresses(row: Json) -> Iterator[str]:
    """The addresses of a row's cells."""
    return (cell["cell"] for cell in row.values() if "cell" in cell)


def _lines(bars: list[Bar]) -> list[Bar | str]:
    """Bars with the heading of their subject before them."""
    found: list[Bar | str] = []
    for subject, group in groupby(bars, key=lambda each: each.subject):
        found += [subject, *group]
    return found


def _pages(lines: list[Bar | str]) -> Iterator[list[Bar | str]]:
    """Lines in pages; no heading stands last, and a page that starts inside a subject repeats its heading."""
    page: list[Bar | str] = []
    subject = ""
    for line in lines:
        last = isinstance(line, str) and len(page) == ROWS - 1
        if len(page) == ROWS or last:
            yield page
            page = [] if isinstance(line, str) else [f"{subject} {text('chart.continued')}"]
        subject = line if isinstance(line, str) else subject
        page.append(line)
    if page:
        yield page


def _drawn(page: list[Bar | str], number: str, notes: Notes) -> Picture:
    """One picture of the chart."""
    canvas = Canvas(WIDTH)
    bottom = TOP + len(page) * ROW
    _draw_axis(canvas, bottom)
    for index, line in enumerate(page):
        y = TOP + index * ROW
        if isinstance(line, str):
            canvas.text((0, y + 2.6), notes.fit(line, AXIS - 3, BOLD), BOLD)
        else:
            _draw_bar(canvas, line, y, notes)
    canvas.line((LIMIT_LINE, TOP - 1), (LIMIT_LINE, bottom), THICK)
    canvas.text((0, bottom + FOOT - 1.2), text("chart.meaning"))
    canvas.text((WIDTH, bottom + FOOT - 1.2), number, _RIGHT)
    return canvas.picture(min(HEIGHT, bottom + FOOT), _alt(page, number))


def _draw_axis(canvas: Canvas, bottom: float) -> None:
    """Headings of the columns and the scale."""
    for x, title, style in (
        (CHECK, text("chart.check"), PLAIN),
        (SHARE, text("chart.share"), _RIGHT),
        (RESULT, text("chart.result"), PLAIN),
        (LIMIT, text("chart.limit"), PLAIN),
        (WORD, text("chart.verdict"), PLAIN),
    ):
        canvas.text((x, 3.5), title, style)
    canvas.text(((AXIS + LIMIT_LINE) / 2, 3.5), text("chart.scale"), _MIDDLE)
    for percent in (0, 25, 50, 75, 100):
        x = AXIS + percent * MM_PER_PERCENT
        canvas.text((x, 7.8), f"{percent} %" if percent < 100 else text("chart.whole"), _MIDDLE)
        canvas.line((x, TOP - 1), (x, bottom), _GRID)
    canvas.line((0, TOP - 1), (WIDTH, TOP - 1), THIN)


def _draw_bar(canvas: Canvas, bar: Bar, y: float, notes: Notes) -> None:
    """One bar with its texts; what runs off the scale ends in an arrow head."""
    base = y + 2.6
    canvas.text((CHECK, base), notes.fit(bar.check, CHECK_ROOM))
    length = min(bar.share * MM_PER_PERCENT, AXIS_END - AXIS)
    box = Box(AXIS, y + 0.6, length, 2.2)
    if bar.hard:
        canvas.hatch(box, 1.1, _HATCH)
    canvas.rectangle(box, THIN, None if bar.hard else grey(170))
    if bar.share * MM_PER_PERCENT > AXIS_END - AXIS:
        middle = box.y + box.height / 2
        canvas.polygon(((box.right, box.y), (box.right + 2, middle), (box.right, box.bottom)), THIN, BLACK)
    canvas.text((SHARE, base), _percent(bar.share), _RIGHT)
    canvas.text((RESULT, base), notes.fit(bar.result, LIMIT - RESULT - 2))
    canvas.text((LIMIT, base), notes.fit(_limit(bar.limit, WORD - LIMIT - 2), WORD - LIMIT - 2))
    if bar.hard:
        canvas.polygon(((WORD - 0.2, base), (WORD + 2, base), (WORD + 0.9, base - 2.2)), THIN, BLACK)
    canvas.text((WORD + 3, base), _word(bar), BOLD if bar.hard else PLAIN)


def _limit(words: str, room: float) -> str:
    """A limit; where that is too long, with the first of its sources alone; the calculation record gives all."""
    shorter = re.sub(r"; [^()]*\)$", "; …)", words)
    return next((each for each in (words, shorter) if fits(each, room)), re.sub(r" \(.*\)$", "", words))


def _word(bar: Bar) -> str:
    """The verdict, loud where it holds the job."""
    return bar.verdict.upper() if bar.hard else bar.verdict


def _percent(share: float) -> str:
    """A share as text that fits its column."""
    if 0 < share < 1:
        return "< 1 %"
    return f"{share:.0f} %" if share < 1000 else "> 999 %"


def _alt(page: list[Bar | str], number: str) -> str:
    """The picture in words."""
    parts = [
        f"{line}:" if isinstance(line, str) else f"{line.check}, {_percent(line.share)} of its limit, {line.verdict};"
        for line in page
    ]
    return " ".join((f"{number}.", *parts))
