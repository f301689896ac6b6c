"""From a cell's XML to what stood in it: text, number, moment, formula or error value."""

import math
import re
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal

from pipeline.workbook.cells import Cell, Content
from pipeline.workbook.safe_xml import damaged
from pipeline.workbook.styles import Style
from pipeline.workbook.texts import unescape

NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
# error values of Excel and LibreOffice, also those that a program wrote down as text
ERROR = re.compile(r"#(?:N/A|DIV/0|GETTING_DATA|[A-Z]{3,}[0-9]*)[!?]?|Err:[0-9]{3}", re.IGNORECASE)
EPOCH_1900, EPOCH_1904 = datetime(1899, 12, 30), datetime(1904, 1, 1)  # noqa: DTZ001 - a workbook knows no time zone
NO_SUCH_DAY = 60
LAST_SERIAL = 2_958_466


@dataclass(slots=True)
class Raw:
    """The pieces of one cell as they stand in the XML."""

    kind: str
    style: str
    value: str | None = None
    formula: bool = False
    formula_text: str = ""
    inline: list[str] = field(default_factory=list)


@dataclass(slots=True)
class CellMaker:
    """Turns pieces into cells with the workbook's shared texts, styles and calendar; equal cells are one object."""

    texts: list[str]
    styles: list[Style]
    epoch_1904: bool
    known: dict[tuple[str, str, str], Cell | None] = field(default_factory=dict)

    def make(self, raw: Raw, part: str) -> Cell | None:
        """The cell, or None where it holds nothing; raises WorkbookRefusedError for damage."""
        value = raw.value if raw.kind != "inlineStr" else "".join(raw.inline)
        if raw.formula:
            return self._formula(raw, value or "")
        if value is None or (value == "" and raw.kind != "s"):
            return None
        key = (raw.kind, raw.style, value)
        if key not in self.known:
            self.known[key] = self._plain(raw, value, part)
        return self.known[key]

    def _plain(self, raw: Raw, value: str, part: str) -> Cell | None:
        """A cell without formula."""
        style = self._style(raw.style, part)
        match raw.kind:
            case "s":
                return self._text(self._shared(value, part), style)
            case "str" | "inlineStr":
                return self._text(unescape(value), style)
            case "b":
                return Cell(Content.TRUTH, "FALSE" if value in {"0", "false"} else "TRUE", style.format, style.looks)
            case "e":
                return Cell(Content.ERROR, value, style.format, style.looks)
            case "d":
                return Cell(Content.DATE, value, style.format, style.looks)
            case "n":
                return self._number(value, style, part)
            case _:
                raise damaged(part)

    def _formula(self, raw: Raw, result: str) -> Cell:
        """A formula with its last result, which nobody vouches for."""
        if raw.kind == "s" and result:
            result = self._shared(result, "xl/sharedStrings.xml")
        return Cell(Content.FORMULA, f"={raw.formula_text}", cached=result)

    def _text(self, text: str, style: Style) -> Cell | None:
        """A text; an error value that lost its type is still one."""
        if not text:
            return None
        return Cell(Content.ERROR if ERROR.fullmatch(text.strip()) else Content.TEXT, text, style.format, style.looks)

    def _number(self, value: str, style: Style, part: str) -> Cell:
        """A number, or a moment where the format says so; no number at all is damage."""
        if not NUMBER.fullmatch(value.strip()):
            raise damaged(part)
        number = float(value)
        if not math.isfinite(number):
            return Cell(Content.NUMBER, value.strip(), style.format, style.looks)
        if style.is_date:
            return Cell(Content.DATE, self._moment(number), style.format, style.looks, plain_digits(number))
        return Cell(Content.NUMBER, plain_digits(number), style.format, style.looks)

    def _moment(self, serial: float) -> str:
        """A serial number as ISO date, with the time where there is one; below one day it is a time alone."""
        no_such_day = not self.epoch_1904 and int(serial) == NO_SUCH_DAY
        if no_such_day or not 0 <= serial < LAST_SERIAL:
            return f"serial {plain_digits(serial)}"
        seconds = round(serial * 86_400)
        if serial < 1 and seconds:
            return (EPOCH_1904 + timedelta(seconds=seconds)).time().isoformat()
        epoch = EPOCH_1904 if self.epoch_1904 else EPOCH_1900
        # before the day that never was, Excel counts one day less
        early = timedelta(days=1 if not self.epoch_1904 and serial < NO_SUCH_DAY else 0)
        moment = epoch + timedelta(seconds=seconds) + early
        return moment.isoformat() if seconds % 86_400 else moment.date().isoformat()

    def _shared(self, index: str, part: str) -> str:
        """A shared text by its number."""
        if not index.isascii() or not index.isdigit() or int(index) >= len(self.texts):
            raise damaged(part)
        return self.texts[int(index)]

    def _style(self, index: str, part: str) -> Style:
        """A cell format by its number."""
        if not index.isascii() or not index.isdigit() or int(index) >= len(self.styles):
            raise damaged(part)
        return self.styles[int(index)]


def plain_digits(number: float) -> str:
    """The digits that Excel itself keeps and shows of a number (15 significant ones), without exponent."""
    text = format(Decimal(f"{number:.15g}"), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
