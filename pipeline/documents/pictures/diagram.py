"""The single-line diagram of a job: intake, boards, devices, cables, charge points, other sources, earthing."""

from pipeline.documents.catalogue import text
from pipeline.documents.pictures import intake, panels, symbols, ways, wording
from pipeline.documents.pictures.canvas import THIN, Canvas
from pipeline.documents.pictures.intake import TRUNK
from pipeline.documents.pictures.lettering import Lettering
from pipeline.documents.pictures.network import Block, blocks_of, shown
from pipeline.documents.pictures.notes import HEIGHT, PITCH, WIDTH, Notes
from pipeline.documents.pictures.panels import FRAME, HEADING, LEAD_IN, Head
from pipeline.documents.pictures.picture import Picture
from pipeline.documents.pictures.sheets import FOOT, GAP, Index, Placed, Sheet, index_of, laid_out
from pipeline.documents.pictures.symbols import BESIDE, LENGTH, Track
from pipeline.documents.pictures.ways import ABOVE, BELOW, END, END_LIMIT, END_TEXT, Row
from pipeline.documents.texts import Json
from pipeline.facts.choices import NewOrExisting, WorkKind

RISER = 54.0  # where the intake's line branches to further boards
LANES = (254.0, 256.5, 259.0)  # where lines to boards below run down
KEY_COLUMNS, KEY_PITCH = 8, 8.2


def single_line_diagram(record: Json) -> list[Picture]:
    """The diagram in as many pictures as legible texts need, whole texts of shortened ones last."""
    notes, job = Notes(), record["job"]
    models = {shown(row, "model"): row for row in job["models"]}
    boards = [
        (
            panels.prepared(block, job["supply"], notes, new=_is_new(block, job)),
            [ways.prepared(way, models, notes) for way in block.ways],
        )
        for block in blocks_of(record)
    ]
    sheets = laid_out(boards, intake.prepared(job, notes))
    _add_key(sheets, boards, job)
    drawn = [_drawn(sheet, sheets, notes) for sheet in sheets]
    return drawn + notes.pictures(text("diagram.full"))


def _is_new(block: Block, job: Json) -> bool:
    """Whether a board came with this work: its feeder is new, or the whole installation is."""
    feeders = (each for each in job["circuits"] if (shown(each, "board"), shown(each, "circuit")) == block.fed_by)
    if block.at_origin:
        return shown(job["row"], "work") == WorkKind.NEW_INSTALLATION
    return any(shown(each, "new") == NewOrExisting.NEW for each in feeders)


def _add_key(sheets: list[Sheet], boards: list[tuple[Head, list[Row]]], job: Json) -> None:
    """Explain the symbols that were used, below the last panel or on a picture of their own."""
    found = {"public supply", "fuse", "energy meter", "earthing terminal"}
    found |= {"earth electrode"} if job["electrodes"] else set()
    found |= {"isolator"} if shown(job["supply"], "isolator") == "yes" else set()
    found |= {"current sensor"} if job["schemes"] else set()
    for head, rows in boards:
        found = found.union(panels.used(head), *(ways.used(row.way) for row in rows))
    if len(sheets) > 1:
        found.add("goes on elsewhere")
    key = tuple(name for name in symbols.KEY if name in found)
    if sheets[-1].bottom + _key_height(key) > HEIGHT:
        sheets.append(Sheet(len(sheets) + 1))
    sheets[-1].key = key


def _key_height(key: tuple[str, ...]) -> float:
    """Room below the drawing for the key of symbols and the picture's number, or the number alone."""
    return -(-len(key) // KEY_COLUMNS) * KEY_PITCH + PITCH + 4 if key else FOOT


def _drawn(sheet: Sheet, sheets: list[Sheet], notes: Notes) -> Picture:
    """One picture of the diagram."""
    canvas = Canvas(WIDTH)
    index = index_of(sheets)
    if sheet.column:
        _draw_intake(canvas, sheet)
    for placed in sheet.placed:
        origin = notes.fit(_origin(placed.board, sheet, index), END_LIMIT - FRAME)
        panels.draw(canvas, placed.panel, placed.top, origin, more=placed.more)
    _draw_feeds(canvas, sheet, index, notes)
    _draw_key(canvas, sheet)
    height = round(sheet.bottom + _key_height(sheet.key), 2)
    number = f"{text('diagram.title')} {sheet.number} / {len(sheets)}"
    canvas.text((WIDTH, height - 1.2), number, Lettering(anchor="right"))
    return canvas.picture(height, _alt(sheet, number))


def _draw_intake(canvas: Canvas, sheet: Sheet) -> None:
    """The intake and its lines to the boards of this picture that it feeds."""
    if not sheet.column:
        return
    fed = [each.line for each in sheet.starts() if each.board.at_origin]
    line = fed[0] if fed else HEADING + LEAD_IN
    intake.draw(canvas, sheet.column, 3.4, fed or [line])
    canvas.line((TRUNK, line), (FRAME if fed else RISER, line))
    for other in fed[1:]:
        canvas.polyline(((RISER, line), (RISER, other), (FRAME, other)))


def _origin(block: Block, sheet: Sheet, index: Index) -> str:
    """Where a board is fed from, with the picture if it is another one."""
    board, circuit = block.fed_by
    if not block.row:
        return "Named by other rows only; where it is fed from is not on the record"
    if not board:
        return "Fed from the intake" + ("" if sheet.number == 1 else " (picture 1)")
    where = index.feeders.get(block.fed_by)
    other = "" if where == sheet.number else f" (picture {where})" if where else " (not on the record)"
    return f"Fed from board {wording.listed((board, wording.after('circuit', circuit)))}{other}"


def _draw_feeds(canvas: Canvas, sheet: Sheet, index: Index, notes: Notes) -> None:
    """The lines from distribution circuits to their boards, or flags where those are on other pictures."""
    lanes, below = list(LANES), {each.board.name: each for each in reversed(sheet.starts())}
    joined: set[float] = set()
    for placed in sheet.placed:
        for row, y in zip(placed.panel.rows, placed.panel.lines(placed.top), strict=True):
            away = []
            for name in row.way.feeds:
                target = below.get(name)
                if lanes and target and target.top > placed.top:
                    _draw_lane(canvas, y, lanes.pop(0), target)
                    joined.add(target.top)
                else:
                    away.append(name)
            if away:
                _draw_flag(canvas, y + row.depths()[-1], away, index, notes)
    for start in sheet.starts():
        if start.board.row and start.top not in joined and not (start.board.at_origin and sheet.column):
            symbols.onward(Track(canvas, (FRAME - (11 if start.board.schemes else 7), start.line)))
            canvas.line((FRAME - 4, start.line), (FRAME, start.line))


def _draw_lane(canvas: Canvas, y: float, lane: float, target: Placed) -> None:
    """A line from the end of a circuit down to the board below that it feeds."""
    gap, left = target.top - GAP / 2, FRAME - 3.5
    corners = ((END, y), (lane, y), (lane, gap), (left, gap), (left, target.line), (FRAME, target.line))
    canvas.polyline(corners, target.panel.head.pen)
    beside = ((END, y), (lane - BESIDE, y), (lane - BESIDE, gap), (left - BESIDE, gap), (left - BESIDE, target.line))
    symbols.protective(canvas, *((x, height + BESIDE) for x, height in beside), (FRAME, target.line + BESIDE))


def _draw_flag(canvas: Canvas, y: float, names: list[str], index: Index, notes: Notes) -> None:
    """A flag at the end of a circuit and where its boards are drawn."""
    symbols.onward(Track(canvas, (END, y)))
    numbers = sorted({index.boards[name] for name in names})
    where = f"picture {', '.join(map(str, numbers))}"
    canvas.text((END_TEXT, y + BELOW), notes.fit(where, END_LIMIT - END_TEXT))


def _draw_key(canvas: Canvas, sheet: Sheet) -> None:
    """The symbols that were used with their names."""
    if not sheet.key:
        return
    top, column = sheet.bottom + 2.4, WIDTH / KEY_COLUMNS
    canvas.line((0, top), (WIDTH, top), THIN)
    for index, name in enumerate(sheet.key):
        x, y = index % KEY_COLUMNS * column, top + KEY_PITCH * (index // KEY_COLUMNS + 0.6)
        symbols.KEY[name](Track(canvas, (x, y)))
        canvas.text((x + LENGTH + 1, y + ABOVE), name)
    canvas.text((0, sheet.bottom + _key_height(sheet.key) - 1.2), text("diagram.lines"))


def _alt(sheet: Sheet, number: str) -> str:
    """The picture in words."""
    start = "The intake feeds the boards at the origin." if sheet.column else ""
    boards = [
        wording.spoken(Block(each.board.name, each.board.row, [row.way for row in each.panel.rows]))
        for each in sheet.placed
    ]
    return wording.listed((f"{number}.", start, *boards, "Key of symbols." if sheet.key else ""), " ")
