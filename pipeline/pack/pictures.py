"""Pictures get their drawings back.

LibreOffice (seen in 7.4) tags a picture and its text for those who cannot see it, but marks what it draws as an
artifact, so that the tag stands for nothing on the page. The drawing is found by the place that the tag names.
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pikepdf

Box = tuple[float, float, float, float]
Matrix = tuple[float, float, float, float, float, float]

# in points: how far a drawing may reach over the place of its tag (half the width of its outermost line)
_SLACK = 3.0
_IDENTITY: Matrix = (1, 0, 0, 1, 0, 0)
_PAINT = frozenset({"S", "s", "f", "F", "f*", "B", "B*", "b", "b*"})
_SHOW = frozenset({"Tj", "TJ", "'", '"'})


def restore_pictures(pdf: "pikepdf.Pdf") -> bool:
    """Mark the drawing of every picture of a converted document as the content of its tag.

    Gives whether a picture's tag stays silent because its drawing was not found.
    """
    import pikepdf  # noqa: PLC0415

    empty = [each for each in pdf.objects if is_empty_figure(each)]
    if not empty:
        return False
    parents = pikepdf.NumberTree(pdf.Root.StructTreeRoot.ParentTree)
    for page in pdf.pages:
        figures = [each for each in empty if each.Pg.objgen == page.obj.objgen]
        if figures:
            _restore(pdf, page, figures, parents)
    return any(is_empty_figure(each) for each in empty)


def is_empty_figure(item: Any) -> bool:
    """Whether an object is a picture's tag that names its place and holds nothing."""
    import pikepdf  # noqa: PLC0415

    if not isinstance(item, pikepdf.Dictionary) or item.get("/S") != "/Figure" or "/K" in item or "/Pg" not in item:
        return False
    place = item.get("/A")
    return isinstance(place, pikepdf.Dictionary) and "/BBox" in place


def _restore(pdf: "pikepdf.Pdf", page: "pikepdf.Page", figures: list[Any], parents: Any) -> None:
    """Give the drawings on one page to their tags."""
    import pikepdf  # noqa: PLC0415

    content = list(pikepdf.parse_content_stream(page))
    number: Any = page.obj.get("/StructParents")
    if number is None:
        number = page.obj.StructParents = max(parents, default=-1) + 1
    marked = list(parents[number]) if number in parents else []
    for start, box in list(_artifacts(content)):
        figure = next((each for each in figures if _inside(box, [float(edge) for edge in each.A.BBox])), None)
        if figure is not None:
            mark = pikepdf.Dictionary(MCID=len(marked))
            content[start] = pikepdf.ContentStreamInstruction([pikepdf.Name.Figure, mark], pikepdf.Operator("BDC"))
            figure.K = pikepdf.Array([*figure.get("/K", []), len(marked)])
            marked.append(figure)
    parents[number] = pikepdf.Array(marked)
    page.obj.Contents = pdf.make_stream(pikepdf.unparse_content_stream(content))


def _inside(box: Box, place: list[float]) -> bool:
    """Whether a drawing stands at the place of a tag."""
    left, below, right, above = place
    return box[0] > left - _SLACK and box[1] > below - _SLACK and box[2] < right + _SLACK and box[3] < above + _SLACK


def _artifacts(content: list[Any]) -> Iterator[tuple[int, Box]]:
    """Every artifact of a page that draws something: at which instruction it begins, and the box of what it draws."""
    start, pen = -1, _Pen()
    for place, instruction in enumerate(content):
        name = str(instruction.operator)
        if name in {"BMC", "BDC"}:
            start = place if name == "BMC" and instruction.operands[0] == "/Artifact" else -1
            pen.points.clear()
        elif name == "EMC":
            if start >= 0 and pen.points:
                across, up = [point[0] for point in pen.points], [point[1] for point in pen.points]
                yield start, (min(across), min(up), max(across), max(up))
            start = -1
        else:
            pen.follow(name, instruction.operands)


class _Pen:
    """Follows the drawing of a page and keeps the points that were painted (ISO 32000-1, 8.3 and 8.5)."""

    def __init__(self) -> None:
        """Nothing drawn yet."""
        self.points: list[tuple[float, float]] = []
        self._matrix = _IDENTITY
        self._saved: list[Matrix] = []
        self._path: list[tuple[float, float]] = []
        self._text = (0.0, 0.0)

    def follow(self, name: str, operands: Any) -> None:
        """Follow one instruction."""
        match name:
            case "q":
                self._saved.append(self._matrix)
            case "Q" if self._saved:
                self._matrix = self._saved.pop()
            case "cm":
                self._matrix = _times([float(each) for each in operands], self._matrix)
            case "BT":
                self._text = (0.0, 0.0)
            case "Td" | "TD":
                self._text = (self._text[0] + float(operands[0]), self._text[1] + float(operands[1]))
            case "Tm":
                self._text = (float(operands[4]), float(operands[5]))
            case "Do" | "INLINE IMAGE":
                self.points += [self._placed(x, y) for x in (0, 1) for y in (0, 1)]
            case _:
                self._draw(name, operands)

    def _draw(self, name: str, operands: Any) -> None:
        """Follow an instruction that builds or ends a path, or shows text."""
        if name in {"m", "l", "c", "v", "y"}:
            numbers = [float(each) for each in operands]
            self._path += [self._placed(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        elif name == "re":
            x, y, width, height = (float(each) for each in operands)
            self._path += [self._placed(x, y), self._placed(x + width, y + height)]
        elif name in _SHOW:
            self.points.append(self._placed(*self._text))
        elif name in _PAINT or name == "n":  # a path that is only a clip paints nothing
            self.points += self._path if name in _PAINT else []
            self._path.clear()

    def _placed(self, x: float, y: float) -> tuple[float, float]:
        """A point in the page's own measure."""
        a, b, c, d, e, f = self._matrix
        return a * x + c * y + e, b * x + d * y + f


def _times(first: list[float], second: Matrix) -> Matrix:
    """One transformation after another."""
    a, b, c, d, e, f = first
    g, h, i, j, k, m = second
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k, e * h + f * j + m)
