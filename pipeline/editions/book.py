"""An edition's file opened: which documents, tables and columns fill which role."""

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any

from pipeline.facts.findings import Confidence
from pipeline.facts.quantities import quantity
from pipeline.standards.formula import Formula
from pipeline.standards.source import Reference, Source
from pipeline.standards.table import Missing, Table, Value, figures, load, path_of

FOLDER = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Ceiling:
    """How sure the figures of an edition are at best: those of the documents named so, or of all where none is."""

    confidence: Confidence
    documents: tuple[str, ...]

    def over(self, value: Value) -> Value:
        """A figure, no surer than its document may be."""
        below = not self.documents or value.reference.source.document.startswith(self.documents)
        return value.weakened(self.confidence) if below else value


@dataclass(frozen=True)
class Book:
    """The content of an edition's file, with the file it builds on."""

    content: Mapping[str, Any]
    ceiling: "Ceiling"
    cited: dict[str, str] = field(default_factory=dict, repr=False, compare=False)

    @property
    def source(self) -> Source:
        """The edition's own document, for what it says without giving a figure."""
        return Source("+".join(filter(None, (self.content["document"], self.content["amendment"]))), "")

    def at(self, place: str) -> Reference:
        """A place in the edition's own document."""
        return self.source.at(place)

    def figure(self, name: str) -> Value:
        """A figure by its role, from the first of the edition's documents that gives it; KeyError where none does."""
        return _figures(tuple(self.content["documents"]), self.ceiling)[name]

    def figure_or(self, name: str, figure: Value) -> Value:
        """A figure that not every edition knows."""
        return _figures(tuple(self.content["documents"]), self.ceiling).get(name, figure)

    def table(self, role: str) -> Table:
        """The table of a role; KeyError where the edition has none."""
        return self.open(self.content["tables"][role])

    def open(self, name: str) -> Table:
        """A table by its file, each figure no surer than the edition allows."""
        return _capped(name, self.ceiling)

    def formula(self, role: str) -> Formula:
        """The relation of a role, named in the file as `module:function` of the standards package."""
        module, _, function = self.content["formulas"][role].partition(":")
        found = getattr(import_module(f"pipeline.standards.{module}"), function)
        if not isinstance(found, Formula):
            message = f"{module}:{function} is not a formula"
            raise TypeError(message)
        return found

    def placed(self, role: str, value: Value) -> Value:
        """A figure under the clause where this edition gives it, where that is not its relation's own document."""
        entry = self.content["places"].get(role)
        if entry is None:
            return value
        return replace(value, reference=Source(entry["document"], entry["edition"]).at(entry["place"]))

    def cite(self, reference: str) -> str:
        """A rule's clauses, parted by semicolons, as this edition cites them; each worked out once."""
        if reference not in self.cited:
            clauses = self.content["clauses"]
            found = dict.fromkeys(clauses.get(each, each) for each in reference.split("; "))
            self.cited[reference] = "; ".join(found)
        return self.cited[reference]

    def missing(self, reason: str, place: str = "") -> Missing:
        """No figure, for a reason of the edition's own document."""
        return Missing(reason, self.at(place))

    def unity(self, why: str) -> Value:
        """A factor of one where nothing reduces."""
        return _unity(self.at(why))

    def sha256(self) -> str:
        """The fingerprint of the edition's files and of every table and list of figures that it names."""
        total = hashlib.sha256()
        for path in sorted(self._files()):
            total.update(path.name.encode() + b"\0" + path.read_text(encoding="utf-8").encode() + b"\0")
        return total.hexdigest()

    def _files(self) -> set[Path]:
        """All files that the edition's figures come from."""
        used = {key: part for key, part in self.content.items() if key != "corrections"}
        named = {name for name in _texts(used) if "/table_" in name}
        listed = {f"{each}/figures" for each in self.content["documents"]}
        return {FOLDER / name for name in self.content["files"]} | {path_of(each) for each in named | listed}


@cache
def open_book(identity: str) -> Book:
    """The edition's file by its name; ValueError where a role stays unfilled: a mistake in the program's own data."""
    content = _read(identity)
    book = Book(content, Ceiling(Confidence(content["at_best"]), tuple(content.get("at_best_of", ()))))
    known = _figures(tuple(content["documents"]), book.ceiling).keys()
    roles = tomllib.loads((FOLDER / "roles.toml").read_text(encoding="utf-8"))
    empty = {
        *set(roles["figures"]) - known,
        *set(roles["tables"]) - content["tables"].keys(),
        *set(roles["maps"]) - content.keys(),
    }
    if empty:
        message = f"{identity}: nothing fills {', '.join(sorted(empty))}"
        raise ValueError(message)
    return book


def _read(identity: str) -> dict[str, Any]:
    """The content of a file over that of the one it is based on, whose last day of validity does not carry over."""
    own = tomllib.loads((FOLDER / f"{identity}.toml").read_text(encoding="utf-8"))
    below = _read(own["based_on"]) if "based_on" in own else {"files": []}
    below.pop("valid_to", None)
    for place in own.get("places", {}).values():
        # where a figure was printed stays with it in editions that carry it over
        place.setdefault("document", "+".join(filter(None, (own["document"], own["amendment"]))))
        place.setdefault("edition", "")
    listed = [*below.get("corrections", []), *own.get("corrections", [])]
    return {**below, **own, "corrections": listed, "files": [*below["files"], f"{identity}.toml"]}


@cache
def _figures(documents: tuple[str, ...], ceiling: Ceiling) -> Mapping[str, Value]:
    """The figures of several documents, the first that gives one wins."""
    together: dict[str, Value] = {}
    for each in reversed(documents):
        together.update(figures(each))
    return {name: ceiling.over(value) for name, value in together.items()}


@cache
def _unity(reference: Reference) -> Value:
    """A factor of one; kept, since most circuits need several."""
    return Value(quantity(1.0, ""), Confidence.CONFIRMED, reference)


@cache
def _capped(name: str, ceiling: Ceiling) -> Table:
    """A table whose figures are no surer than the edition allows."""
    table = load(name)
    cells = {key: ceiling.over(value) for key, value in table.cells.items()}
    return Table(table.reference, table.title, table.unit, table.head, table.rows, table.columns, cells)


def _texts(content: Any) -> list[str]:
    """Every text in a nest of tables and lists."""
    if isinstance(content, str):
        return [content]
    parts = content.values() if isinstance(content, Mapping) else content if isinstance(content, list) else []
    return [text for part in parts for text in _texts(part)]
