"""Pour the layouts and the catalogue into Word templates, byte for byte the same each time."""

from pathlib import Path

from pipeline.documents.body import Body
from pipeline.documents.layouts import LAYOUTS
from pipeline.documents.layouts.layout import Layout
from pipeline.documents.package import packed
from pipeline.documents.pour import MEDIA_TYPES
from pipeline.documents.styles import fonts, numbering, section, settings, styles, text_width
from pipeline.documents.wordml import DECLARATION, NAMESPACES, RELATIONS, heading, paragraph, twips


def template_of(layout: Layout) -> bytes:
    """The Word template of a document."""
    body = heading(layout.title, 1) + Body(text_width(landscape=layout.landscape), layout.language).blocks(
        layout.blocks, ""
    )
    document = f"<w:document {NAMESPACES}><w:body>{body}{section(landscape=layout.landscape)}</w:body></w:document>"
    parts = {
        "[Content_Types].xml": _content_types(),
        "_rels/.rels": _relations(("word/document.xml", "officeDocument"), core=True),
        "docProps/core.xml": _core(layout),
        "word/document.xml": DECLARATION + document,
        "word/_rels/document.xml.rels": _relations(
            ("styles.xml", "styles"),
            ("numbering.xml", "numbering"),
            ("settings.xml", "settings"),
            ("fontTable.xml", "fontTable"),
            ("header1.xml", "header"),
            ("footer1.xml", "footer"),
        ),
        "word/styles.xml": styles(layout.locale, large=layout.large),
        "word/numbering.xml": numbering(),
        "word/settings.xml": settings(layout.locale),
        "word/fontTable.xml": fonts(),
        "word/header1.xml": _header(layout),
        "word/footer1.xml": _footer(layout),
    }
    return packed({name: content.encode() for name, content in parts.items()})


def templates() -> dict[str, bytes]:
    """All templates by document."""
    return {name: template_of(layout) for name, layout in LAYOUTS.items()}


def _header(layout: Layout) -> str:
    """The header: firm at the left, document at the right; what marks a draft is added below them."""
    end = twips(text_width(landscape=layout.landscape))
    usual = twips(text_width(landscape=False))
    tabs = f'<w:tabs><w:tab w:val="clear" w:pos="{usual}"/><w:tab w:val="right" w:pos="{end}"/></w:tabs>'
    line = paragraph(f"{{{{ firm.name }}}}\t{layout.title}", "Header", tabs if layout.landscape else "")
    return f"{DECLARATION}<w:hdr {NAMESPACES}>{line}</w:hdr>"


def _footer(layout: Layout) -> str:
    """The footer: number and document at the left; the right end stays free for the page number."""
    line = paragraph(f"{{{{ certificate.name }}}} · {layout.title}", "Footer")
    return f"{DECLARATION}<w:ftr {NAMESPACES}>{line}</w:ftr>"


def _core(layout: Layout) -> str:
    """The properties of the file: a title and no clock."""
    core = "http://schemas.openxmlformats.org/package/2006/metadata/core-properties"
    return (
        f'{DECLARATION}<cp:coreProperties xmlns:cp="{core}" '
        f'xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:title>{layout.title}</dc:title><dc:language>{layout.locale}</dc:language>'
        "</cp:coreProperties>"
    )


def _content_types() -> str:
    """What kind each part is."""
    word = "application/vnd.openxmlformats-officedocument.wordprocessingml"
    defaults = {
        "rels": "application/vnd.openxmlformats-package.relationships+xml",
        "xml": "application/xml",
        **MEDIA_TYPES,
    }
    parts = {
        "docProps/core": "application/vnd.openxmlformats-package.core-properties+xml",
        "word/document": f"{word}.document.main+xml",
        "word/styles": f"{word}.styles+xml",
        "word/numbering": f"{word}.numbering+xml",
        "word/settings": f"{word}.settings+xml",
        "word/fontTable": f"{word}.fontTable+xml",
        "word/header1": f"{word}.header+xml",
        "word/footer1": f"{word}.footer+xml",
    }
    kinds = "".join(f'<Default Extension="{name}" ContentType="{kind}"/>' for name, kind in defaults.items())
    kinds += "".join(f'<Override PartName="/{name}.xml" ContentType="{kind}"/>' for name, kind in parts.items())
    return f'{DECLARATION}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">{kinds}</Types>'


def _relations(*targets: tuple[str, str], core: bool = False) -> str:
    """What a part refers to, numbered from rId1."""
    links = [(f"{RELATIONS}/{kind}", target) for target, kind in targets]
    if core:
        package = "http://schemas.openxmlformats.org/package/2006/relationships/metadata/core-properties"
        links.append((package, "docProps/core.xml"))
    lines = "".join(
        f'<Relationship Id="rId{number}" Type="{kind}" Target="{target}"/>'
        for number, (kind, target) in enumerate(links, 1)
    )
    namespace = "http://schemas.openxmlformats.org/package/2006/relationships"
    return f'{DECLARATION}<Relationships xmlns="{namespace}">{lines}</Relationships>'


def write(folder: Path) -> int:
    """Write every template into a folder, by language; gives their count."""
    poured = templates()
    for name, content in poured.items():
        target = folder / LAYOUTS[name].language
        target.mkdir(parents=True, exist_ok=True)
        (target / f"{name}.docx").write_bytes(content)
    return len(poured)
