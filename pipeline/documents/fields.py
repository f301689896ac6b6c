"""Every field that a document can print, by row and name: the label of a cell has this one source."""

from collections.abc import Mapping

from pipeline.documents.catalogue import LANGUAGE, text
from pipeline.documents.rows import answers, circuits, findings, limitations, origin, points, visit
from pipeline.facts.field import Field

CONTENTS = {"title": Field("Document"), "start": Field("Page"), "pages": Field("Pages")}

FIELDS: Mapping[str, Mapping[str, Field]] = {
    **origin.FIELDS,
    **circuits.FIELDS,
    **points.FIELDS,
    **findings.FIELDS,
    **answers.FIELDS,
    **visit.FIELDS,
    **limitations.FIELDS,
    "contents": CONTENTS,
    "attached": CONTENTS,
}


def label(row: str, field: str, language: str = LANGUAGE) -> str:
    """The text of a label or header cell; raises KeyError for a field that no row has, or no label of that language."""
    return FIELDS[row][field].heading if language == LANGUAGE else text(f"labels.{row}.{field}", language)
