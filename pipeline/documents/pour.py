"""Fill a Word template: its tags are docxtpl's, read once per template; filling it is then plain text work.

Texts are escaped and never executed, a tag without its value is an error, and equal input gives equal bytes.
"""

import io
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import count
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape, quoteattr
from zipfile import BadZipFile

from pipeline.documents.long_rows import breakable, modest
from pipeline.documents.package import packed, unpacked
from pipeline.documents.styles import ACCENT, READING
from pipeline.documents.subscripts import pieces
from pipeline.documents.wordml import RELATIONS, SUBSCRIPT
from pipeline.errors import MachineError

if TYPE_CHECKING:
    from jinja2.sandbox import ImmutableSandboxedEnvironment

_POURED = re.compile(r"word/(document|header\d*|footer\d*)\.xml|docProps/core\.xml")
_TYPES, _BODY, _STYLES = "[Content_Types].xml", "word/document.xml", "word/styles.xml"
_LINKS = "word/_rels/document.xml.rels"
MEDIA_TYPES = {"emf": "image/x-emf", "jpg": "image/jpeg"}
_EMU = 36000  # English metric units per millimetre
_DRAWING = "http://schemas.openxmlformats.org/drawingml/2006"
_REMEDY = "Compare the template with the list of fields in templates/README.md, or remove it to use the one supplied."


@dataclass(frozen=True, slots=True)
class Image:
    """A picture for a document: its bytes, its size on paper, and the words for those who cannot see it."""

    content: bytes = field(repr=False)
    suffix: str
    width: float
    height: float
    words: str


@dataclass(slots=True)
class _Media:
    """The pictures that one document has taken up so far."""

    stored: dict[bytes, tuple[str, str]] = field(default_factory=dict)
    parts: dict[str, bytes] = field(default_factory=dict)
    links: str = ""
    numbers: Iterator[int] = field(default_factory=lambda: count(1))

    def place(self, image: Image) -> str:
        """Markup that ends the run of the tag, adds one with the picture and opens another."""
        if image.content not in self.stored:
            name, link = f"media/image{len(self.stored) + 1}.{image.suffix}", f"rIdImage{len(self.stored) + 1}"
            self.stored[image.content] = (name, link)
            self.parts[f"word/{name}"] = image.content
            self.links += f'<Relationship Id="{link}" Type="{RELATIONS}/image" Target="{name}"/>'
        drawing = _drawing(image, self.stored[image.content][1], next(self.numbers))
        return f'</w:t></w:r><w:r>{drawing}</w:r><w:r><w:t xml:space="preserve">'


def pour(name: str, template: bytes, values: Mapping[str, Any], colour: str = "", mark: str = "") -> bytes:
    """The document that the template of that name and values give; an `Image` among the values becomes a picture.

    `colour` replaces the accent of the styles; a `mark` such as that of a draft is added to every header.
    Raises MachineError for a template that cannot be filled.
    """
    from jinja2 import TemplateError  # noqa: PLC0415 - heavy, only where documents are made

    media = _Media()
    try:
        kept, filled = _read(template)
        fresh = {part: fill({**values, "_media": media}).encode() for part, fill in filled.items()}
        if mark:
            fresh |= _marked(name, fresh, mark)
    except TemplateError as trouble:
        raise MachineError(f"The Word template {name}.docx cannot be filled: {trouble}.", _REMEDY) from trouble
    except (BadZipFile, KeyError, UnicodeDecodeError) as trouble:
        raise MachineError(f"{name}.docx is no Word document.", _REMEDY) from trouble
    fresh[_BODY] = modest(breakable(fresh[_BODY].decode())).encode()
    parts = {part: fresh.get(part, content) for part, content in kept.items()}
    parts[_LINKS] = parts[_LINKS].replace(b"</Relationships>", f"{media.links}</Relationships>".encode())
    parts[_TYPES] = _typed(parts[_TYPES], {part.rpartition(".")[2] for part in media.parts})
    if colour:
        for part in (_STYLES, *(part for part in fresh if part != _BODY)):
            parts[part] = parts[part].replace(ACCENT.encode(), colour.encode())
    return packed(parts | media.parts)


def _marked(name: str, parts: Mapping[str, bytes], mark: str) -> dict[str, bytes]:
    """The headers with a mark as their last line, whatever a firm has made of them; MachineError without a header."""
    end = b"</w:hdr>"
    headers = {part: content for part, content in parts.items() if content.rstrip().endswith(end)}
    if not headers:
        raise MachineError(f"The Word template {name}.docx has no header, so a draft cannot be marked.", _REMEDY)
    line = f'<w:p><w:r><w:rPr><w:b/><w:sz w:val="{READING}"/></w:rPr><w:t>{escape(mark)}</w:t></w:r></w:p>'.encode()
    return {part: content.rstrip().removesuffix(end) + line + end for part, content in headers.items()}


@lru_cache(maxsize=64)
def _read(template: bytes) -> tuple[dict[str, bytes], dict[str, Callable[..., str]]]:
    """The parts of a template, and for each part with tags the function that fills it."""
    from docxtpl.template import DocxTemplate  # noqa: PLC0415 - heavy, only where documents are made

    parts = unpacked(template)
    for needed in (_TYPES, _BODY, _LINKS, _STYLES):
        _ = parts[needed]
    dialect: Any = DocxTemplate(io.BytesIO(template))
    environment = _environment()
    filled = {
        name: environment.from_string(dialect.patch_xml(content.decode())).render
        for name, content in parts.items()
        if _POURED.fullmatch(name)
    }
    return parts, filled


def _typed(types: bytes, suffixes: set[str]) -> bytes:
    """The list of content types with those of pictures, which a template saved by Word has lost."""
    missing = "".join(
        f'<Default Extension="{suffix}" ContentType="{MEDIA_TYPES[suffix]}"/>'
        for suffix in sorted(suffixes)
        if f'Extension="{suffix}"'.encode() not in types
    )
    return types.replace(b"</Types>", f"{missing}</Types>".encode())


def _environment() -> "ImmutableSandboxedEnvironment":
    """Where tags are worked out: texts are escaped, nothing can be changed or called that is not safe."""
    from jinja2 import StrictUndefined, pass_context  # noqa: PLC0415 - heavy, only where documents are made
    from jinja2.runtime import Context  # noqa: PLC0415
    from jinja2.sandbox import ImmutableSandboxedEnvironment  # noqa: PLC0415
    from markupsafe import Markup  # noqa: PLC0415

    @pass_context
    def finish(context: Context, value: Any) -> Any:
        """Place pictures and lower subscripts; leave other texts to be escaped."""
        if isinstance(value, Image):
            return Markup(context["_media"].place(value))  # noqa: S704 - markup of our own, words quoted
        parts = list(pieces(value)) if isinstance(value, str) and "_" in value else []
        return Markup(_lowering(parts)) if len(parts) > 1 else value  # noqa: S704 - texts escaped there

    return ImmutableSandboxedEnvironment(
        autoescape=True, undefined=StrictUndefined, finalize=finish, keep_trailing_newline=True
    )


def _lowering(parts: list[tuple[str, bool]]) -> str:
    """Markup that ends the run of the tag before each subscript and opens another one behind it."""
    return "".join(
        f'</w:t></w:r><w:r>{SUBSCRIPT}<w:t>{escape(text)}</w:t></w:r><w:r><w:t xml:space="preserve">'
        if lower
        else escape(text)
        for text, lower in parts
    )


def _drawing(image: Image, link: str, number: int) -> str:
    """The markup of a picture in line with the text (ECMA-376, part 1, 20.4.2.8)."""
    size = f'cx="{round(image.width * _EMU)}" cy="{round(image.height * _EMU)}"'
    named = f'id="{number}" name="Picture {number}" descr={quoteattr(image.words)}'
    return (
        f'<w:drawing><wp:inline xmlns:wp="{_DRAWING}/wordprocessingDrawing" distT="0" distB="0" distL="0" distR="0">'
        f'<wp:extent {size}/><wp:docPr {named}/><a:graphic xmlns:a="{_DRAWING}/main">'
        f'<a:graphicData uri="{_DRAWING}/picture"><pic:pic xmlns:pic="{_DRAWING}/picture">'
        f"<pic:nvPicPr><pic:cNvPr {named}/><pic:cNvPicPr/></pic:nvPicPr>"
        f'<pic:blipFill><a:blip r:embed="{link}"/><a:stretch><a:fillRect/></a:stretch></pic:blipFill>'
        f'<pic:spPr><a:xfrm><a:off x="0" y="0"/><a:ext {size}/></a:xfrm>'
        '<a:prstGeom prst="rect"><a:avLst/></a:prstGeom></pic:spPr></pic:pic>'
        "</a:graphicData></a:graphic></wp:inline></w:drawing>"
    )
