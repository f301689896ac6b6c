"""Page numbers at the bottom right, a rule under the header, and behind the text of every page what marks a draft.

All are marked as artifacts: a screen reader passes over them (ISO 32000-1, 14.8.2.2). The rule is drawn here because
LibreOffice leaves the border of a header's paragraph unmarked. Letters come from an embedded piece of the documents'
font.
"""

import io
import math
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pikepdf

# in points: letter size, and how far the text's end lies from the right and its foot from the lower edge
SIZE = 8.0
_MILLIMETRE = 72 / 25.4
FROM_RIGHT = 20 * _MILLIMETRE
FROM_BELOW = 10 * _MILLIMETRE
# the rule under the header: how far it lies from the left and right edges and from the upper one
RULE_SIDES = 18 * _MILLIMETRE
RULE_FROM_ABOVE = 14.6 * _MILLIMETRE

_FONT = "/PageNumber"
_STAMP = """Q
/Artifact <</Type /Pagination /Subtype /Header>> BDC
q 0.55 G 0.5 w {:.2f} {:.2f} m {:.2f} {:.2f} l S Q
EMC
/Artifact <</Type /Pagination /Subtype /Footer>> BDC
q 0 g BT {} {:g} Tf 1 0 0 1 {:.2f} {:.2f} Tm <{}> Tj ET Q
EMC"""
_MARK = """/Artifact <</Type /Pagination /Subtype /Watermark>> BDC
q 0.85 g BT {} {:.1f} Tf {:.5f} {:.5f} {:.5f} {:.5f} {:.2f} {:.2f} Tm <{}> Tj ET Q
EMC
q"""
# how much of a page's diagonal the mark of a draft takes
_MARK_SHARE = 0.72
_UNICODE_MAP = """/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <FFFF>
endcodespacerange
{count} beginbfchar
{pairs}
endbfchar
endcmap
CMapName currentdict /CMap defineresource pop
end
end
"""


def number_text(page: int, pages: int) -> str:
    """What is printed on one page, counting from 1: the page and how many there are, in no language."""
    return f"{page} / {pages}"


def number_pages(pdf: "pikepdf.Pdf", font_file: Path, mark: str = "") -> None:
    """Print its number on every page of a PDF, upright and wide pages alike, in the font of a TrueType file.

    A `mark` such as that of a draft is printed behind the text of every page.
    """
    import pikepdf  # noqa: PLC0415

    piece = _piece(font_file, "".join(sorted(set(number_text(1234567890, 1234567890) + mark))))
    font = _embed(pdf, piece)
    total = len(pdf.pages)
    for number, page in enumerate(pdf.pages, start=1):
        text = number_text(number, total)
        left, below, right, above = (float(edge) for edge in page.cropbox)
        rule = (left + RULE_SIDES, above - RULE_FROM_ABOVE, right - RULE_SIDES, above - RULE_FROM_ABOVE)
        x, y = right - FROM_RIGHT - piece.width(text) * SIZE / 1000, below + FROM_BELOW
        name = page.add_resource(font, pikepdf.Name.Font, pikepdf.Name(_FONT))
        # what the page draws stays between its own brackets, so that its last position moves nothing of ours
        page.contents_add(_mark(page, piece, name, mark) if mark else b"q", prepend=True)
        page.contents_add(_STAMP.format(*rule, name, SIZE, max(x, left), y, piece.codes(text)).encode())


def _mark(page: "pikepdf.Page", piece: "_Piece", name: Any, mark: str) -> bytes:
    """What prints a mark from the lower left to the upper right of a page, and opens the bracket of its content."""
    left, below, right, above = (float(edge) for edge in page.cropbox)
    size = _MARK_SHARE * math.hypot(right - left, above - below) * 1000 / piece.width(mark)
    angle = math.atan2(above - below, right - left)
    along, up = math.cos(angle), math.sin(angle)
    back, down = piece.width(mark) * size / 2000, piece.cap_height * size / 2000
    x, y = (left + right) / 2 - back * along + down * up, (below + above) / 2 - back * up - down * along
    return _MARK.format(name, size, along, up, -up, along, x, y, piece.codes(mark)).encode()


@dataclass(frozen=True, slots=True)
class _Piece:
    """The few letters of the font that page numbers need: file, glyph number and width of each letter, measures.

    Widths and measures in thousandths of the letter size.
    """

    file: bytes = field(repr=False)
    glyphs: dict[str, int]
    widths: dict[str, int]
    box: tuple[int, int, int, int]
    ascent: int
    descent: int
    cap_height: int

    def width(self, text: str) -> int:
        """How wide a text runs."""
        return sum(self.widths[letter] for letter in text)

    def codes(self, text: str) -> str:
        """A text as hexadecimal glyph numbers."""
        return "".join(f"{self.glyphs[letter]:04X}" for letter in text)


@cache
def _piece(path: Path, letters: str) -> _Piece:
    """Cut the needed letters out of the font file; the same file always gives the same bytes."""
    from fontTools import subset  # noqa: PLC0415
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    font: Any = TTFont(path, recalcTimestamp=False)
    options: Any = subset.Options(hinting=False, layout_features=[], notdef_outline=True)  # type: ignore[no-untyped-call]
    options.drop_tables += ["GSUB", "GPOS", "GDEF", "kern", "FFTM"]
    cutter: Any = subset.Subsetter(options)  # type: ignore[no-untyped-call]
    cutter.populate(text=letters)
    cutter.subset(font)
    written = io.BytesIO()
    font.save(written, reorderTables=None)
    scale = 1000 / font["head"].unitsPerEm
    names = font.getBestCmap()
    head, across, signs = font["head"], font["hhea"], font["OS/2"]
    return _Piece(
        file=written.getvalue(),
        glyphs={letter: font.getGlyphID(names[ord(letter)]) for letter in letters},
        widths={letter: round(font["hmtx"][names[ord(letter)]][0] * scale) for letter in letters},
        box=(round(head.xMin * scale), round(head.yMin * scale), round(head.xMax * scale), round(head.yMax * scale)),
        ascent=round(across.ascent * scale),
        descent=round(across.descent * scale),
        cap_height=round(getattr(signs, "sCapHeight", across.ascent) * scale),
    )


def _embed(pdf: "pikepdf.Pdf", piece: _Piece) -> Any:
    """The font as a composite font whose codes are glyph numbers (ISO 32000-1, 9.7)."""
    from pikepdf import Array, Dictionary, Name, String  # noqa: PLC0415

    name = Name("/PAGENO+LiberationSans")
    descriptor = Dictionary(
        Type=Name.FontDescriptor,
        FontName=name,
        Flags=32,  # letters of the Latin script, no symbols
        FontBBox=Array(piece.box),
        ItalicAngle=0,
        Ascent=piece.ascent,
        Descent=piece.descent,
        CapHeight=piece.cap_height,
        StemV=80,
        FontFile2=pdf.make_stream(piece.file, Length1=len(piece.file)),
    )
    by_glyph = sorted((piece.glyphs[letter], piece.widths[letter]) for letter in piece.glyphs)
    descendant = Dictionary(
        Type=Name.Font,
        Subtype=Name.CIDFontType2,
        BaseFont=name,
        CIDSystemInfo=Dictionary(Registry=String("Adobe"), Ordering=String("Identity"), Supplement=0),
        FontDescriptor=pdf.make_indirect(descriptor),
        W=Array([entry for glyph, width in by_glyph for entry in (glyph, Array([width]))]),
        CIDToGIDMap=Name.Identity,
    )
    pairs = sorted((glyph, ord(letter)) for letter, glyph in piece.glyphs.items())
    listed = "\n".join(f"<{glyph:04X}> <{code:04X}>" for glyph, code in pairs)
    return pdf.make_indirect(
        Dictionary(
            Type=Name.Font,
            Subtype=Name.Type0,
            BaseFont=name,
            Encoding=Name("/Identity-H"),
            DescendantFonts=Array([pdf.make_indirect(descendant)]),
            ToUnicode=pdf.make_stream(_UNICODE_MAP.format(count=len(pairs), pairs=listed).encode()),
        )
    )
