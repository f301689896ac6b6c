"""What a document is built of: a few kinds of block, each naming rows, fields and catalogue keys, never texts."""

from dataclasses import dataclass

RECORD_CODE = "record code"
"""In the place of a sign: a code for cameras with the certificate's number and the record's fingerprint."""

EACH = "each"
"""The row of the `Each` in which a block stands."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading from the catalogue; level 2 is a part of the document, level 3 a part of that."""

    key: str
    level: int = 2
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph from the catalogue; `{row.field}` in it is the text of that field."""

    key: str
    bullet: bool = False


@dataclass(frozen=True, slots=True)
class Pairs:
    """A table of label and value; `row` is a single row of the view or `EACH`."""

    row: str
    fields: tuple[str, ...]
    columns: int = 1


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a grid: a field and its width in millimetres; a `box` has lines all around, to write into."""

    field: str
    width: int
    box: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """A table with one line per row of a list.

    `within` names fields that must be equal to those of the surrounding `Each`; `empty` is the catalogue key
    of what is printed instead of a table without lines; a short table may be `kept` on one page; lines are at
    least `height` millimetres high.
    """

    rows: str
    columns: tuple[Column, ...]
    within: tuple[str, ...] = ()
    empty: str = "page.none"
    kept: bool = False
    height: int = 0


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps to be ticked off in their order: catalogue texts, numbered, each with an empty box `height` mm high."""

    keys: tuple[str, ...]
    height: int


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to sign on: each row of a list with room for a signature and a date."""

    rows: str
    columns: tuple[Column, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """Drawings of the job, one a page; `name` is the drawing's own."""

    name: str


@dataclass(frozen=True, slots=True)
class Photo:
    """The photo of the surrounding `Each`."""


@dataclass(frozen=True, slots=True)
class Notice:
    """A label to cut out, `width` by `height` millimetres: a line in large letters, then smaller ones.

    `keys` are catalogue texts; the first is the large one. `symbol` names the sign beside them, `where` is the
    catalogue text that says where the label is fixed.
    """

    keys: tuple[str, ...]
    symbol: str
    width: int
    height: int
    where: str


@dataclass(frozen=True, slots=True)
class Each:
    """For each row of a list: a heading (the text of the field `title`), then blocks about it."""

    rows: str
    title: str
    blocks: "tuple[Block, ...]"
    level: int = 2
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class When:
    """Blocks that stand only where a list has rows."""

    rows: str
    blocks: "tuple[Block, ...]"


Block = Heading | Text | Pairs | Grid | Steps | Signatures | Picture | Photo | Notice | Each | When


def walk(blocks: "tuple[Block, ...]", around: str = "") -> "list[tuple[Block, str]]":
    """All blocks in order, each with the list of the `Each` around it ("" where there is none)."""
    found: list[tuple[Block, str]] = []
    for block in blocks:
        found.append((block, around))
        if isinstance(block, Each):
            found += walk(block.blocks, block.rows)
        elif isinstance(block, When):
            found += walk(block.blocks, around)
    return found
