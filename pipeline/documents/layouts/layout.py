"""One document: its name, its blocks in order, its page, and when it is needed."""

from dataclasses import dataclass

from pipeline.documents.blocks import Block
from pipeline.documents.catalogue import text
from pipeline.documents.view import View


@dataclass(frozen=True, slots=True)
class Layout:
    """A document; `needs` is the list without which it is left out of a pack, empty where it always belongs."""

    document: str
    blocks: tuple[Block, ...]
    landscape: bool = False
    needs: str = ""

    @property
    def title(self) -> str:
        """The document's title."""
        return text(f"{self.document}.title")

    def needed(self, view: View) -> bool:
        """Whether this job's pack has the document."""
        return not self.needs or view.has(self.needs)
