"""Texts that are too long for their place: shortened there with a number, kept whole for the end of the drawing."""

from pipeline.documents.pictures.canvas import Canvas
from pipeline.documents.pictures.lettering import BOLD, HARD_SPACE, PLAIN, Lettering, cut, fits, wrap
from pipeline.documents.pictures.picture import Picture

WIDTH, HEIGHT = 260.0, 160.0  # what a landscape A4 page has room for, in millimetres
PITCH = 2.95  # between base lines of 7 pt


class Notes:
    """Collects the whole texts behind shortened ones; the same text has one number."""

    def __init__(self) -> None:
        """Start with none."""
        self._numbers: dict[str, int] = {}

    def fit(self, text: str, room: float, style: Lettering = PLAIN) -> str:
        """A text on one line: as it is, or shortened with its number."""
        text = text.replace(HARD_SPACE, " ")
        return text if fits(text, room, style) else cut(text, room, style, self._mark(text))

    def lines(self, text: str, room: float, most: int) -> list[str]:
        """A text on several lines, the last one shortened with its number where more would be needed."""
        found = wrap(text, room)
        if len(found) <= most:
            return found
        number = self._mark(text.replace(HARD_SPACE, " "))
        return [*found[: most - 1], cut(" ".join(found[most - 1 :]), room, PLAIN, number)]

    def pictures(self, title: str) -> list[Picture]:
        """All whole texts under their numbers, page by page; none where nothing was shortened."""
        lines = [line for text, number in self._numbers.items() for line in wrap(f"[{number}] {text}", WIDTH - 2)]
        a_page = int((HEIGHT - 10) / PITCH)
        pages = [lines[start : start + a_page] for start in range(0, len(lines), a_page)]
        return [_page(title, page) for page in pages]

    def _mark(self, text: str) -> str:
        """The number of a text in brackets."""
        return f"[{self._numbers.setdefault(text, len(self._numbers) + 1)}]"


def _page(title: str, lines: list[str]) -> Picture:
    """One page of whole texts."""
    canvas = Canvas(WIDTH)
    canvas.text((0, 4), title, BOLD)
    for index, line in enumerate(lines):
        canvas.text((0, 9 + index * PITCH), line)
    return canvas.picture(10 + len(lines) * PITCH, f"{title}: {' '.join(lines)}")
