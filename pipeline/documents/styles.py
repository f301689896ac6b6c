"""How documents look: one typeface, three sizes, thin lines, wide margins. The only place that says so."""

from pipeline.documents.wordml import DECLARATION, NAMESPACES, twips

FONT = "Liberation Sans"
STAND_IN = "Arial"  # same widths, for machines without the font
TITLE, READING, SMALL = 36, 21, 17  # half-points
ACCENT = "1F4E5F"  # replaced by the firm's colour where it is dark enough to read
QUIET = "4D4D4D"

PAGE = (210, 297)  # mm, ISO 216 A4
SIDE, TOP, BOTTOM, HEADER, FOOTER = 18, 22, 17, 10, 9  # mm
PAGE_NUMBER = 60  # mm kept free at the right end of the footer


def text_width(*, landscape: bool) -> int:
    """Width of the text in millimetres."""
    return PAGE[landscape] - 2 * SIDE


def _style(name: str, shown: str, paragraph: str, run: str, based: str = "Normal") -> str:
    """One paragraph style."""
    default = ' w:default="1"' if name == "Normal" else ""
    parent = "" if name == "Normal" else f'<w:basedOn w:val="{based}"/>'
    return (
        f'<w:style w:type="paragraph"{default} w:styleId="{name}"><w:name w:val="{shown}"/>{parent}<w:qFormat/>'
        f"<w:pPr>{paragraph}</w:pPr><w:rPr>{run}</w:rPr></w:style>"
    )


def _size(half_points: int) -> str:
    """The two marks of a font size."""
    return f'<w:sz w:val="{half_points}"/><w:szCs w:val="{half_points}"/>'


def _space(before: int, after: int, line: int = 240, rule: str = "auto") -> str:
    """Space around a paragraph in twentieths of a point, and its line height."""
    return f'<w:spacing w:before="{before}" w:after="{after}" w:line="{line}" w:lineRule="{rule}"/>'


def styles(locale: str = "en-GB", *, large: bool = False) -> str:
    """The part word/styles.xml; `locale` is a tag of BCP 47, with `large` print tables have the size of sentences."""
    table = READING if large else SMALL
    defaults = (
        f'<w:docDefaults><w:rPrDefault><w:rPr><w:rFonts w:ascii="{FONT}" w:hAnsi="{FONT}" w:cs="{FONT}" '
        f'w:eastAsia="{FONT}"/>{_size(READING)}<w:lang w:val="{locale}" w:eastAsia="{locale}" w:bidi="ar-SA"/></w:rPr>'
        "</w:rPrDefault><w:pPrDefault/></w:docDefaults>"
    )
    kept = "<w:keepNext/><w:keepLines/>"
    accent = f'<w:b/><w:color w:val="{ACCENT}"/>'
    right = '<w:tabs><w:tab w:val="right" w:pos="{}"/></w:tabs>'
    portrait = right.format(twips(text_width(landscape=False)))
    bullet = '<w:numPr><w:ilvl w:val="0"/><w:numId w:val="1"/></w:numPr>'
    every = (
        _style("Normal", "Normal", _space(0, 80, 259), ""),
        _style("Heading1", "heading 1", f'{kept}{_space(0, 120)}<w:outlineLvl w:val="0"/>', f"{accent}{_size(TITLE)}"),
        _style(
            "Heading2", "heading 2", f'{kept}{_space(200, 60)}<w:outlineLvl w:val="1"/>', f"{accent}{_size(READING)}"
        ),
        _style("Heading3", "heading 3", f'{kept}{_space(80, 40)}<w:outlineLvl w:val="2"/>', f"<w:b/>{_size(table)}"),
        _style("Bullet", "List Bullet", f'{bullet}{_space(0, 40, 259)}<w:ind w:left="227" w:hanging="227"/>', ""),
        _style("Cell", "Cell", _space(0, 0), _size(table)),
        _style("Label", "Label", _space(0, 0), f'<w:color w:val="{QUIET}"/>', "Cell"),
        _style("Head", "Column heading", f"<w:keepNext/>{_space(0, 0)}", "<w:b/>", "Cell"),
        _style("Gap", "Gap", _space(0, 0, 100, "exact"), '<w:sz w:val="4"/>'),
        _style("Size", "Size", f"<w:keepNext/>{_space(80, 20)}", f'<w:color w:val="{QUIET}"/>', "Cell"),
        _style("Large", "Large line", f"{kept}{_space(0, 80)}", f"<w:b/>{_size(TITLE)}"),
        _style("Header", "header", f"{portrait}{_space(0, 120)}", _size(SMALL)),
        _style("Footer", "footer", f'{_space(0, 0)}<w:ind w:right="{twips(PAGE_NUMBER)}"/>', _size(SMALL)),
    )
    return f"{DECLARATION}<w:styles {NAMESPACES}>{defaults}{''.join(every)}</w:styles>"


def numbering() -> str:
    """The part word/numbering.xml: bullets from the normal font, since a symbol font would lose their meaning."""
    level = (
        '<w:lvl w:ilvl="0"><w:start w:val="1"/><w:numFmt w:val="bullet"/><w:lvlText w:val="•"/><w:lvlJc w:val="left"/>'
        '<w:pPr><w:ind w:left="227" w:hanging="227"/></w:pPr>'
        f'<w:rPr><w:rFonts w:ascii="{FONT}" w:hAnsi="{FONT}" w:cs="{FONT}"/></w:rPr></w:lvl>'
    )
    abstract = f'<w:abstractNum w:abstractNumId="0"><w:multiLevelType w:val="singleLevel"/>{level}</w:abstractNum>'
    number = '<w:num w:numId="1"><w:abstractNumId w:val="0"/></w:num>'
    return f"{DECLARATION}<w:numbering {NAMESPACES}>{abstract}{number}</w:numbering>"


def fonts() -> str:
    """The part word/fontTable.xml."""
    return (
        f'{DECLARATION}<w:fonts {NAMESPACES}><w:font w:name="{FONT}"><w:altName w:val="{STAND_IN}"/>'
        '<w:family w:val="swiss"/><w:pitch w:val="variable"/></w:font></w:fonts>'
    )


def settings(locale: str = "en-GB") -> str:
    """The part word/settings.xml; `locale` is a tag of BCP 47."""
    mode = '<w:compatSetting w:name="compatibilityMode" w:uri="http://schemas.microsoft.com/office/word" w:val="15"/>'
    return (
        f'{DECLARATION}<w:settings {NAMESPACES}><w:defaultTabStop w:val="567"/><w:compat>{mode}</w:compat>'
        f'<w:themeFontLang w:val="{locale}"/></w:settings>'
    )


def section(*, landscape: bool) -> str:
    """The page: size, margins, header and footer."""
    width, height = (twips(each) for each in (PAGE[::-1] if landscape else PAGE))
    turned = ' w:orient="landscape"' if landscape else ""
    margins = {
        "top": TOP,
        "right": SIDE,
        "bottom": BOTTOM,
        "left": SIDE,
        "header": HEADER,
        "footer": FOOTER,
        "gutter": 0,
    }
    edges = " ".join(f'w:{name}="{twips(size)}"' for name, size in margins.items())
    return (
        '<w:sectPr><w:headerReference w:type="default" r:id="rId5"/><w:footerReference w:type="default" r:id="rId6"/>'
        f'<w:pgSz w:w="{width}" w:h="{height}"{turned}/><w:pgMar {edges}/></w:sectPr>'
    )
