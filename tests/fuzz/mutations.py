"""Ways to damage a workbook: its bytes as they lie, or the XML of its parts, zipped again afterwards."""

import io
import re
import zipfile

CELL = re.compile(rb"<c [^>]*?(?:/>|>.*?</c>)", re.DOTALL)
HEADING = re.compile(rb'<c r="[A-Z]+[12]"')
FIRST_ROW = b'<row r="3"'
ATTRIBUTE = re.compile(rb' [\w:]+="[^"]*"')
ELEMENT = re.compile(rb"<(\w+)[^>/]*/>|<(\w+)[^>]*>[^<]*</\2>")
TEXTS = (
    "", " ", "0,62", "1,250", "O.62", ">999", "LIM", "N/A", "-", "ditto", "#REF!", "None", "=A1", "+1", "@x", "1e400",
    "-0", "31/02/2026", "04/03/26", "2026-13-01", "Mon 4 Mar 2026", "\u2713", "\u200b", "\u202eabc", "\u0661",
    "\uff10", "\u2126", "350 m\u03a9", "6 sqmm", "_x0000_", "_xD83D_", "_x0041_", "{{ x }}", "../../x", "CON",
    "a" * 32_767, "\u00a0", "\n", "1" * 300, "01632 960123", "x@example.com\nBcc: y@example.com", "\U0001f50c",
    "e\u0301", "%", "'", '"', "yes", "TRUE", "example, not read",
)  # fmt: skip
NUMBERS = (
    "0",
    "-1",
    "1e308",
    "1e-320",
    "NaN",
    "INF",
    "60",
    "2958466",
    "-5",
    "0.1",
    "1E400",
    "46000.5",
    "",
    "x",
    "1_000",
    "0x10",
)
KINDS = ("s", "str", "inlineStr", "b", "e", "n", "d", "", "zz")


def mutate_bytes(content, random):
    """Bits turned over, stretches cut out, doubled, zeroed or replaced."""
    data = bytearray(content)
    for _ in range(random.randint(1, 4)):
        at, length = random.randrange(len(data)), random.randint(1, 400)
        match random.randrange(6):
            case 0:
                data[at] ^= 1 << random.randrange(8)
            case 1:
                del data[at : at + length]
            case 2:
                data[at:at] = data[at : at + length]
            case 3:
                data[at : at + length] = bytes(length)
            case 4:
                data[at : at + length] = random.randbytes(length)
            case _:
                del data[at:]
        if not data:
            return b""
    return bytes(data)


def mutate_parts(parts, random):
    """A few changes within the XML, mostly in cells, and the zip made anew."""
    made = dict(parts)
    # most files stay sound as XML, so that their cells are typed and judged
    harsh = random.random() < 0.3
    sheets = [name for name in made if name.startswith("xl/worksheets/sheet")]
    filled = [name for name in sheets if FIRST_ROW in made[name]]
    for _ in range(random.randint(1, 5)):
        if not harsh or random.random() < 0.7:
            name = random.choice(sheets if harsh else filled)
            made[name] = _in_cell(made[name], random, harsh=harsh)
        else:
            name = random.choice(list(made))
            made[name] = _in_xml(made[name], random)
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as book:
        for name, content in made.items():
            book.writestr(name, content)
    return stream.getvalue()


def _in_cell(xml, random, *, harsh):
    """One cell with another value, kind, format or formula; now and then another part of the sheet."""
    cells = [each for each in CELL.finditer(xml) if harsh or not HEADING.match(each[0])]
    if harsh and (not cells or random.random() < 0.1):
        return _in_xml(xml, random)
    if not cells:
        return xml
    chosen = random.choice(cells)
    address = re.search(rb'r="([A-Z]+[0-9]+)"', chosen[0])
    place = address[1].decode() if address else "A1"
    style = random.choice(("", f' s="{random.randrange(60 if harsh else 20)}"'))
    match random.randrange(8):
        case 0 | 1 | 2 | 3:
            text = random.choice(TEXTS).replace("&", "&amp;").replace("<", "&lt;")
            new = f'<c r="{place}"{style} t="inlineStr"><is><t>{text}</t></is></c>'
        case 4 | 5:
            number = random.choice(NUMBERS if harsh else NUMBERS[:4] + NUMBERS[6:12])
            new = f'<c r="{place}"{style}><v>{number}</v></c>'
        case 6 if harsh:
            new = f'<c r="{place}"{style} t="{random.choice(KINDS)}"><v>{random.choice(NUMBERS)}</v></c>'
        case _:
            formula = random.choice(("A1", "1/0", "SUM(A1:A9)", "RTD(1)" if harsh else "B2"))
            new = f'<c r="{place}"><f>{formula}</f><v>1</v></c>'
    return xml[: chosen.start()] + new.encode("utf-8", "replace") + xml[chosen.end() :]


def _in_xml(xml, random):
    """An attribute or element gone, doubled or changed, or letters strewn in."""
    pattern = random.choice((ATTRIBUTE, ELEMENT))
    found = list(pattern.finditer(xml))
    if not found or random.random() < 0.15:
        at = random.randrange(len(xml) + 1)
        return xml[:at] + random.choice((b"<", b"&", b"\0", b"]]>", b"<!DOCTYPE a>", "é".encode(), b"</c>")) + xml[at:]
    chosen = random.choice(found)
    new = random.choice((b"", chosen[0] * 2, re.sub(rb"[0-9]", b"9", chosen[0]), chosen[0].swapcase()))
    return xml[: chosen.start()] + new + xml[chosen.end() :]
