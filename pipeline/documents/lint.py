"""What is wrong with a firm's copy of a Word template, told by name and place before anything is rendered.

A copy is held against the template of the same document as it is poured from the layout: every tag must still be there,
under its label, in its part. Further tags may stand in it where they name a field and stand beside its label.
"""

import difflib
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from zipfile import BadZipFile

from pipeline.documents.anatomy import Anatomy, Value, anatomy_of, normal
from pipeline.documents.blocks import RECORD_CODE
from pipeline.documents.catalogue import LANGUAGE, texts
from pipeline.documents.fields import FIELDS, label
from pipeline.documents.layouts import LAYOUTS
from pipeline.documents.package import unpacked
from pipeline.documents.styles import FONT
from pipeline.documents.subscripts import lowered
from pipeline.documents.templates import template_of

_BODY = "word/document.xml"
_FRAME = re.compile(r"word/(header|footer)\d*\.xml")
_FIELD = re.compile(r"(\w+)\.(\w+)")
_SIGN = re.compile(r'symbol_of\["([^"]*)"\]')
_PHOTO = "photo_of[each.file]"
_EACH = re.compile(r"for (each|line) in (\w+)")
# what fetches something from elsewhere or runs something when the file is opened
_ACTIVE = ("INCLUDEPICTURE", "INCLUDETEXT", "DDEAUTO", "DDE", "LINK", "MACROBUTTON")
_MACROS = re.compile(r"vbaProject|vbaData|activeX|word/embeddings/", re.IGNORECASE)
_OUTSIDE = re.compile(r"<Relationship\b[^>]*TargetMode=[\"']External[\"'][^>]*>")


def template_troubles(document: str, content: bytes) -> list[str]:
    """Everything that is wrong with the template of a document, one sentence each; empty when it may be used."""
    from defusedxml import DefusedXmlException, ElementTree  # type: ignore[import-untyped]  # noqa: PLC0415

    name = f"{document}.docx"
    if document not in LAYOUTS:
        near = difflib.get_close_matches(document, LAYOUTS, 1)
        return [f"{name}: there is no document of this name.{f' Did you mean {near[0]}.docx?' if near else ''}"]
    try:
        parts = unpacked(content)
        body = anatomy_of(parts[_BODY])
        frames = [anatomy_of(parts[part], part.removeprefix("word/")) for part in sorted(parts) if _FRAME.match(part)]
    except (BadZipFile, KeyError):
        return [f"{name} is no Word document."]
    except (ElementTree.ParseError, DefusedXmlException) as damage:
        return [f"{name} is damaged: {damage}."]
    found = [*_strange_parts(parts), *_strange_words(parts[_BODY].decode("utf-8", errors="replace"))]
    found += _differences(body, _supplied(document), LAYOUTS[document].language)
    for each in frames:
        found += [f"{place}: broken tag: {what}." for what, place in each.broken]
        found += [f"{place}: {order} is no part of this document." for order, place in each.orders]
        found += [trouble for value in each.values if (trouble := _unknown(value, None, LANGUAGE))]
    found += _frame_troubles(document, parts, frames)
    return [f"{name}: {each}" for each in found]


@cache
def _supplied(document: str, part: str = _BODY) -> Anatomy:
    """The tags of a document as the layout pours them."""
    return anatomy_of(unpacked(template_of(LAYOUTS[document]))[part])


def _strange_parts(parts: dict[str, bytes]) -> Iterator[str]:
    """Macros, embedded programs, and whatever would be fetched from elsewhere."""
    types = parts.get("[Content_Types].xml", b"").decode("utf-8", errors="replace")
    if "macroEnabled" in types or any(_MACROS.search(part) for part in parts):
        yield "it carries a macro or an embedded object; save it as .docx without."
    for part, content in parts.items():
        if part.endswith(".rels"):
            for found in _OUTSIDE.findall(content.decode("utf-8", errors="replace")):
                target = re.search(r"Target=[\"']([^\"']*)", found)
                kind = re.search(r"Type=[\"'][^\"']*/(\w+)[\"']", found)
                if kind is None or kind[1] != "hyperlink":
                    what = "picture" if kind and kind[1] == "image" else kind[1] if kind else "part"
                    yield f"it fetches a {what} from elsewhere ({target[1] if target else '?'}); put it into the file."


def _strange_words(body: str) -> Iterator[str]:
    """Fields that act on their own, tracked changes, other typefaces, pictures that nobody describes."""
    for order in re.findall(r"<w:(?:instrText|fldSimple)[^>]*?(?:w:instr=\"|>)\s*(\w+)", body):
        if order.upper() in _ACTIVE:
            yield f"the Word field {order} fetches or runs something; replace it by plain text."
    if re.search(r"<w:(?:ins|del|moveFrom|moveTo) ", body):
        yield "it has tracked changes; accept or reject them."
    faces = set(re.findall(r'w:(?:ascii|hAnsi)="([^"]+)"', body)) - {FONT}
    yield from (f"the typeface {each} is used; only {FONT} is embedded." for each in sorted(faces))
    for picture in re.findall(r"<(?:wp:)?docPr\b[^>]*>", body):
        if not re.search(r'descr="[^"]+"', picture):
            yield "a picture has no alternative text; describe it in Word."


def _differences(body: Anatomy, supplied: Anatomy, language: str) -> Iterator[str]:
    """How the tags of a copy differ from those of the supplied template."""
    yield from (f"{place}: broken tag: {what}." for what, place in body.broken)
    known = Counter(order for order, _ in supplied.orders)
    given = Counter(order for order, _ in body.orders)
    yield from (f"{place}: {order} is no part of this document." for order, place in body.orders if order not in known)
    for order in (known - given).elements():
        yield f"the instruction {order} is missing."
    yield from _values(body, supplied, language)


def _values(body: Anatomy, supplied: Anatomy, language: str) -> Iterator[str]:
    """Tags that are missing, under another label, outside their part, or name nothing."""
    missing = list((Counter(supplied.values) - Counter(body.values)).elements())
    surplus = _surplus(body.values, Counter(supplied.values))
    for wanted in missing:
        same = [each for each in surplus if each.tag == wanted.tag]
        other = next((each for each in same if each.within == wanted.within), next(iter(same), None))
        if other is None:
            under = f" under the label {wanted.label}" if wanted.label else ""
            yield f"the field {{{{ {wanted.tag} }}}}{under} is missing (in the supplied template: {wanted.place})."
            continue
        surplus.remove(other)
        if other.within != wanted.within:
            part = wanted.within[-1] if wanted.within else "no part"
            yield f"{other.place}: {{{{ {other.tag} }}}} stands outside its part ({part})."
        elif wanted.label is None:
            yield f"{other.place}: {{{{ {other.tag} }}}} stands in a cell of its own instead of its sentence."
        else:
            yield f"{other.place}: {{{{ {other.tag} }}}} stands at {other.label or 'no label'}, not at {wanted.label}."
    yield from (trouble for each in surplus if (trouble := _unknown(each, each.label, language)))


def _surplus(values: list[Value], wanted: Counter[Value]) -> list[Value]:
    """The tags beyond those wanted, with their own places."""
    left = Counter(wanted)
    found = []
    for each in values:
        if left[each]:
            left[each] -= 1
        else:
            found.append(each)
    return found


def _unknown(value: Value, beside: str | None, language: str) -> str:
    """Why a tag may not stand where it does; empty where it may."""
    sign = _SIGN.fullmatch(value.tag)
    if value.tag in {_PHOTO, "each"} or (sign and _is_sign(sign[1])):
        return "" if value.within or sign else f"{value.place}: {{{{ {value.tag} }}}} stands outside its part."
    named = _FIELD.fullmatch(value.tag)
    if not named:
        return f"{value.place}: {{{{ {value.tag} }}}} is no tag but code; a tag is a row, a dot and a field."
    row = _row(named[1], value.within)
    if row not in FIELDS or named[2] not in FIELDS[row]:
        choices = [f"{each}.{name}" for each in {row, named[1]} & FIELDS.keys() for name in FIELDS[each]]
        near = difflib.get_close_matches(f"{row}.{named[2]}", choices or [f"{each}.{named[2]}" for each in FIELDS], 1)
        hint = f" Did you mean {near[0].replace(f'{row}.', f'{named[1]}.', 1)}?" if near else ""
        return f"{value.place}: {{{{ {value.tag} }}}} names no field.{hint}"
    due = f"labels.{row}.{named[2]}" in texts(language) or language == LANGUAGE
    wanted = label(row, named[2], language if due else LANGUAGE)
    if beside is not None and beside != normal(lowered(wanted)):
        return f"{value.place}: {{{{ {value.tag} }}}} stands at {beside or 'no label'}, not at {wanted}."
    return ""


def _row(name: str, within: tuple[str, ...]) -> str:
    """The list that `each` or `line` runs through where a tag stands; else the name itself."""
    for order in reversed(within):
        found = _EACH.match(order)
        if found and found[1] == name:
            return found[2]
    return name


def _is_sign(name: str) -> bool:
    """Whether there is a sign of that name."""
    from pipeline.documents.pictures import NOTICE_SYMBOLS  # noqa: PLC0415 - only where pictures are drawn

    return name == RECORD_CODE or name in NOTICE_SYMBOLS


def _frame_troubles(document: str, parts: dict[str, bytes], frames: list[Anatomy]) -> Iterator[str]:
    """A header that a draft could not be marked in, and headers and feet that lost what tells whose page it is."""
    if not any(part.startswith("word/header") for part in parts) or b"headerReference" not in parts[_BODY]:
        yield "it has no header, so a draft cannot be marked."
    given = {value.tag for each in frames for value in each.values}
    for frame in ("header", "footer"):
        for value in _supplied(document, f"word/{frame}1.xml").values:
            if value.tag not in given:
                yield f"the field {{{{ {value.tag} }}}} is missing from the {frame}: whose page is it?"
