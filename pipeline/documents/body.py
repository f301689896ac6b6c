"""Turn blocks into the body of a Word template.

The tags are those of docxtpl: `{{ row.field }}`, `{%p … %}` for a paragraph, `{%tr … %}` for a table row.
"""

import re

from pipeline.documents.blocks import (
    EACH,
    Block,
    Each,
    Grid,
    Heading,
    Notice,
    Pairs,
    Photo,
    Picture,
    Signatures,
    Steps,
    Text,
    When,
)
from pipeline.documents.catalogue import LANGUAGE, text
from pipeline.documents.fields import FIELDS, label
from pipeline.documents.wordml import cell, heading, paragraph, repeat, row, table, tag

_PLACE = re.compile(r"\{(\w+\.\w+)\}")
SIGNATURE_HEIGHT = 14  # mm
SYMBOL_WIDTH = 36  # mm
NUMBER_WIDTH, TICK_WIDTH = 9, 36  # mm
KEPT = "<w:keepNext/>"
# figures of a column stand with their decimal points below one another, so far into the cell in twentieths of a point
POINT = '<w:tabs><w:tab w:val="decimal" w:pos="390"/></w:tabs>'
LABEL_SHARE = {1: 0.29, 2: 0.55, 3: 0.55}


class Body:
    """Turns blocks into markup for a text of a given width in millimetres and language."""

    def __init__(self, width: int, language: str = LANGUAGE) -> None:
        """Remember the width and the language."""
        self.width = width
        self.language = language

    def tagged(self, key: str) -> str:
        """A catalogue text with its places as tags of the merge."""
        return _PLACE.sub(r"{{ \1 }}", text(key, self.language))

    def label(self, row: str, field: str) -> str:
        """A label in the language of the document."""
        return label(row, field, self.language)

    def blocks(self, blocks: tuple[Block, ...], around: str) -> str:
        """Several blocks, inside the `Each` over the list `around` or none; a text stays with the table after it."""
        following = (*blocks[1:], None)
        return "".join(
            paragraph(self.tagged(block.key), "Normal", KEPT)
            if isinstance(block, Text) and not block.bullet and isinstance(after, Pairs | Grid | Signatures | When)
            else self.block(block, around)
            for block, after in zip(blocks, following, strict=True)
        )

    def block(self, block: Block, around: str) -> str:  # noqa: PLR0911 - one return a kind reads best
        """One block."""
        match block:
            case Heading(key, level, new_page):
                return heading(self.tagged(key), level, new_page=new_page)
            case Text(key, bullet):
                return paragraph(self.tagged(key), "Bullet" if bullet else "Normal")
            case Pairs():
                return self._pairs(block, around)
            case Grid():
                return self._grid(block)
            case Steps():
                return self._steps(block)
            case Signatures(rows, columns):
                return self._lines(Grid(rows, columns, kept=True, height=SIGNATURE_HEIGHT))
            case Picture() | Photo() | Notice():
                return self._pictured(block)
            case Each() | When():
                return self._several(block, around)

    def _pairs(self, pairs: Pairs, around: str) -> str:
        """Label and value, side by side; the last value fills what is left of its row."""
        share = self.width / pairs.columns
        first = round(share * LABEL_SHARE[pairs.columns], 1)
        widths = [first, round(share - first, 1)] * pairs.columns
        rows = []
        for start in range(0, len(pairs.fields), pairs.columns):
            names = pairs.fields[start : start + pairs.columns]
            last = start + pairs.columns >= len(pairs.fields)
            kept = "" if last else KEPT
            cells = []
            for place, name in enumerate(names):
                missing = pairs.columns - len(names) if place == len(names) - 1 else 0
                rest = sum(widths[1 : 2 + 2 * missing])
                title = self.label(around if pairs.row == EACH else pairs.row, name)
                cells.append(cell(paragraph(title, "Label", kept), first))
                cells.append(cell(paragraph(f"{{{{ {pairs.row}.{name} }}}}", "Cell", kept), rest, span=1 + 2 * missing))
            rows.append(row(cells))
        return table(rows, widths)

    def _steps(self, steps: Steps) -> str:
        """Number, step, and the box in which it is ticked."""
        widths = (NUMBER_WIDTH, self.width - NUMBER_WIDTH - TICK_WIDTH, TICK_WIDTH)
        rows = [
            row(
                (
                    cell(paragraph(str(number), "Cell"), widths[0]),
                    cell(paragraph(self.tagged(key), "Cell"), widths[1]),
                    cell(paragraph("", "Cell"), widths[2], boxed=True),
                ),
                height=steps.height,
            )
            for number, key in enumerate(steps.keys, start=1)
        ]
        return table(rows, widths)

    def _several(self, block: Each | When, around: str) -> str:
        """Blocks for each row of a list under its heading, or blocks that stand only where the list has rows."""
        if isinstance(block, When):
            return tag(f"if {block.rows}") + self.blocks(block.blocks, around) + tag("endif")
        title = f"{{{{ each.{block.title} }}}}"
        start = heading(title, block.level)
        if block.new_page:
            start = (
                tag("if loop.first") + start + tag("else") + heading(title, block.level, new_page=True) + tag("endif")
            )
        return tag(f"for each in {block.rows}") + start + self.blocks(block.blocks, block.rows) + tag("endfor")

    def _grid(self, grid: Grid) -> str:
        """A table with a line per row, or what is printed where there is none."""
        chosen = "".join(f'|selectattr("{name}", "equalto", each.{name})' for name in grid.within)
        wanted = f"{grid.rows}{chosen}|list"
        nothing = paragraph(self.tagged(grid.empty), "Normal")
        return tag(f"if {wanted}") + self._lines(grid, wanted) + tag("else") + nothing + tag("endif")

    def _lines(self, grid: Grid, wanted: str = "") -> str:
        """The table itself."""
        kept = KEPT if grid.kept else ""
        heads = [cell(paragraph(self.label(grid.rows, each.field), "Head"), each.width) for each in grid.columns]
        line = [
            cell(
                paragraph(f"{{{{ line.{each.field} }}}}", "Cell", kept + _aligned(grid.rows, each.field)),
                each.width,
                boxed=each.box,
            )
            for each in grid.columns
        ]
        widths = [each.width for each in grid.columns]
        rows = [
            row(heads, header=True),
            repeat(f"for line in {wanted or grid.rows}", widths[0]),
            row(line, height=grid.height),
            repeat("endfor", widths[0]),
        ]
        return table(rows, widths)

    def _pictured(self, block: Picture | Photo | Notice) -> str:
        """A drawing, a photo, or a label to cut out."""
        match block:
            case Picture(name):
                return tag(f"for each in {name}") + paragraph("{{ each }}", "Cell") + tag("endfor")
            case Photo():
                return paragraph("{{ photo_of[each.file] }}", "Cell", KEPT)
            case Notice():
                return self._notice(block)

    def _notice(self, notice: Notice) -> str:
        """A label to cut out: its size, and inside the broken line the sign with the lines beside it."""
        lines = [paragraph(self.tagged(key), "Large" if key == notice.keys[0] else "Normal") for key in notice.keys]
        sign = paragraph(f'{{{{ symbol_of["{notice.symbol}"] }}}}', "Cell")
        widths = (SYMBOL_WIDTH, notice.width - SYMBOL_WIDTH)
        cells = (cell(sign, widths[0], centred=True), cell("".join(lines), widths[1], centred=True))
        size = paragraph(f"{notice.width} × {notice.height} mm, {self.tagged(notice.where)}", "Size")
        return size + table([row(cells, height=notice.height)], widths, cut=True)


def _aligned(rows: str, field: str) -> str:
    """What aligns a figure that has a unit on its decimal point."""
    return POINT if FIELDS[rows][field].unit else ""
