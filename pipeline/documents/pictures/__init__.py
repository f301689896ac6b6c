"""Drawings of a job, made from its record alone: the same record gives the same bytes.

    single_line_diagram(record) -> list[Picture]      one or more, at most 260 mm by 160 mm
    margin_chart(record) -> list[Picture]             none where no check has a margin
    notice_symbol(name, size_mm) -> Picture           name: a key of NOTICE_SYMBOLS
    record_code(text, size_mm) -> Picture             a QR code

Texts are 6.5 pt or larger when a picture is placed in full size on landscape A4. A text that its place cannot hold
is cut with an ellipsis and a number; the last pictures hold it whole under that number.

The pictures are Enhanced Metafiles. Measured with LibreOffice 7.4.7 from .docx to PDF/A-3:

- EMF: lines stay lines, texts are real texts in embedded Liberation Sans at their places, the picture is one tagged
  Figure with its words, no transparency. Word has drawn EMF since its first versions (not tried here).
- SVG beside a PNG, as Word writes it: the PNG is taken, a text cannot be found.
- SVG alone: as good as EMF in LibreOffice, but not allowed in a Word document.
- DrawingML shapes in a group: texts leave the group and its order, shapes become empty Figures without words.

Liberation Sans lacks some characters (e.g. Chinese); the converter then embeds another font for them.
"""

from pipeline.documents.pictures.chart import margin_chart
from pipeline.documents.pictures.code import record_code
from pipeline.documents.pictures.diagram import single_line_diagram
from pipeline.documents.pictures.notices import NOTICE_SYMBOLS, notice_symbol
from pipeline.documents.pictures.picture import Picture

__all__ = ["NOTICE_SYMBOLS", "Picture", "margin_chart", "notice_symbol", "record_code", "single_line_diagram"]
