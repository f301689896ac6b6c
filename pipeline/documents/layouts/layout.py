"""One document: its name, its blocks in order, its page, and when it is needed."""

from dataclasses import dataclass, replace

from pipeline.documents.blocks import Block, Text
from pipeline.documents.catalogue import LANGUAGE, LOCALES, text
from pipeline.documents.view import View


@dataclass(frozen=True, slots=True)
class Layout:
    """A document; `needs` is the list without which it is left out of a pack, empty where it always belongs.

    A document in another language than English is a translation of `original`.
    One that is read at work, in poor light, is `large`: its tables are printed in the size of its sentences.
    """

    document: str
    blocks: tuple[Block, ...]
    landscape: bool = False
    needs: str = ""
    language: str = LANGUAGE
    original: str = ""
    large: bool = False

    @property
    def title(self) -> str:
        """The document's title; that of a translation says so."""
        title = text(f"{self.original or self.document}.title", self.language)
        return f"{title} ({text('translation.title', self.language)})" if self.original else title

    @property
    def locale(self) -> str:
        """The tag of the document's language."""
        return LOCALES[self.language]

    def translated(self, language: str) -> "Layout":
        """The same document in another language, for a client who reads that; it says first what it is."""
        return replace(
            self,
            document=f"{self.document}-{language}",
            blocks=(Text("translation.note"), *self.blocks),
            needs=f"client_reads_{language}",
            language=language,
            original=self.document,
        )

    def needed(self, view: View) -> bool:
        """Whether this job's pack has the document."""
        return not self.needs or view.has(self.needs)
