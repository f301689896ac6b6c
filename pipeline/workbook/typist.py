"""Types the sheets: each row becomes its record, each blank or odd cell a notice at its cell."""

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from pipeline.facts.choices import JobState
from pipeline.facts.field import Field, Mark, Needed, Place
from pipeline.facts.findings import Verdict
from pipeline.facts.reading import Reading
from pipeline.facts.row import Row
from pipeline.facts.rows.inspections import Inspection, InspectionRemark, Photo
from pipeline.facts.rows.jobs import JobRow
from pipeline.facts.rows.readings import CircuitReadings
from pipeline.facts.sheets import BY_ROW, FIRST_ROW, Belongs, Sheet
from pipeline.workbook.cells import Cell, SheetCells
from pipeline.workbook.columns import Columns, FilledRows, letter
from pipeline.workbook.defaults import Fillings
from pipeline.workbook.heading_notes import span, values_taken
from pipeline.workbook.merged import merged_of
from pipeline.workbook.notices import BLANK, Notice, Spot
from pipeline.workbook.parse_cell import CellParser
from pipeline.workbook.parsed import SITE_SHEET, Remark, same
from pipeline.workbook.references import Listed, abilities_of, aspect_of, orphan, unlisted, unlisted_aspect
from pipeline.workbook.shifted import Shift, astray, shift_of

AFTER_THE_VISIT = frozenset({CircuitReadings, Inspection, InspectionRemark, Photo})
"""Rows that a job has once it is tested."""


class Tab(NamedTuple):
    """One sheet of ours as it was read: its cells, its filled rows, its columns."""

    sheet: Sheet
    cells: SheetCells
    rows: FilledRows
    columns: Columns


class TypedRow(NamedTuple):
    """A typed row with its number and the job that it belongs to (None: to no job of the week)."""

    number: int
    row: Row
    job: str | None


@dataclass(slots=True)
class Typist:
    """Types one sheet after the other; later sheets refer to the rows of earlier ones."""

    parser: CellParser
    fillings: Fillings = field(default_factory=dict)
    notices: list[Notice] = field(default_factory=list)
    names: dict[str, Listed] = field(default_factory=lambda: defaultdict(dict))
    jobs: dict[str, JobRow] = field(default_factory=dict)
    taken: frozenset[tuple[str, ...]] = frozenset()
    told: set[tuple[Place, Remark]] = field(default_factory=set)

    def type_tab(self, tab: Tab) -> list[TypedRow]:
        """The rows of one sheet; a single row that the firm needs is typed even where it is blank."""
        rows = tab.rows or ([(FIRST_ROW, {})] if tab.sheet.title == "Firm" else [])
        self.taken = taken_names(tab)
        typed = [self._type(tab, index, number, cells) for index, (number, cells) in enumerate(rows)]
        self._remember(tab.sheet, typed)
        return typed

    def _remember(self, sheet: Sheet, typed: list[TypedRow]) -> None:
        """Keep the names by which other sheets refer to these rows."""
        name = next(iter(sheet.row.fields()))
        # a second workbook may give more of the same sheet
        listed = self.names[BY_ROW[sheet.row].title]
        for each in typed:
            if isinstance(value := getattr(each.row, name), str):
                listed[value] = abilities_of(each.row)
        if sheet.row is JobRow:
            for each in typed:
                if isinstance(each.row, JobRow) and each.row.job:
                    self.jobs.setdefault(each.row.job, each.row)

    def _type(self, tab: Tab, index: int, number: int, cells: dict[int, Cell]) -> TypedRow:
        """One row: values, places, typed texts; and what is odd about them, unless it belongs to no job."""
        draft = _Draft(tab, index, number, cells)
        for name, column in tab.columns.fields.items():
            self._fill(draft, name, column)
        job = self._job_of(draft)
        row = tab.sheet.row.model_construct(at=draft.at, typed=draft.typed, **draft.values)
        if job is None and tab.sheet.belongs is Belongs.JOB:
            return TypedRow(number, row, None)
        draft.straighten(self.parser)
        self._refer(draft)
        self._explain_limits(draft, job)
        self._miss(draft, row, job)
        self.notices.extend(self._once(draft.notices(job or "", subject_of(tab.sheet, row, number))))
        # references and limits may have taken a value back
        return TypedRow(number, row.model_copy(update=draft.values), job)

    def _fill(self, draft: "_Draft", name: str, column: int) -> None:
        """One cell, or the default of its column where it is blank."""
        cell = draft.cells.get(column)
        filling = self.fillings.get((draft.tab.sheet.title, name)) if cell is None else None
        place = Place(draft.tab.sheet.title, f"{letter(column)}{draft.number}")
        if cell is not None:
            parsed = self.parser.parse(cell, draft.tab.sheet.row, name)
            draft.values[name], draft.typed[name], draft.at[name] = parsed.value, cell.text, place
            draft.remarks.extend((name, remark) for remark in parsed.remarks)
        elif filling is not None:
            draft.values[name], draft.typed[name] = filling.parsed.value, filling.typed
            draft.at[name] = filling.place
        else:
            draft.values[name], draft.at[name] = None, place

    def _job_of(self, draft: "_Draft") -> str | None:
        """The job of a row of a job's sheet; a row without one is told once and not judged further."""
        sheet = draft.tab.sheet
        if sheet.belongs is not Belongs.JOB:
            return None
        job: str | None = draft.values.get("job")
        if sheet.row is JobRow and job:
            return job
        if job in self.jobs:
            # what is wrong with the job's own name is told on its own sheet
            draft.keep(lambda name, remark: name != "job" or remark.verdict is Verdict.NOTE)
            return job
        draft.keep(lambda name, _: name == "job" and sheet.row is JobRow)
        if not draft.remarks and not draft.beneath("job"):
            draft.say("job", orphan(draft.typed.get("job", ""), self._lacking(draft)))
        self.notices.extend(draft.notices("", f"{sheet.title} row {draft.number}"))
        return None

    def _lacking(self, draft: "_Draft") -> tuple[list[str], list[str]]:
        """The jobs that have no such row yet, and of them those that have no row on this sheet at all."""
        sheet, rest = draft.tab.sheet, name_in(draft.tab, draft.cells)[1:]
        without = [job for job in self.jobs if (same(job), *rest) not in self.taken]
        having = {name[0] for name in self.taken}
        due = [job for job in without if same(job) not in having]
        if sheet.row in AFTER_THE_VISIT:
            due = [job for job in due if self.jobs[job].state is JobState.TESTED]
        return without, due

    def _refer(self, draft: "_Draft") -> None:
        """Check the cells that name a row of another sheet."""
        for name, each in draft.tab.sheet.row.fields().items():
            value = draft.values.get(name)
            if each.refers and each.refers != "Jobs" and isinstance(value, str):
                remark = unlisted(value, each, self.names[each.refers])
                if remark:
                    draft.values[name] = None
                    # a name that is none is told as such, and not once more as one that is not listed
                    if not draft.refused(name):
                        draft.say(name, remark)
            elif name == "aspect" and isinstance(value, str):
                draft.values[name] = aspect_of(value)
                if draft.values[name] is None:
                    draft.say(name, unlisted_aspect(value, each))

    def _once(self, notices: Iterator[Notice]) -> Iterator[Notice]:
        """Notices of a row; what is wrong with a default is told once, there, and not for each row that it fills."""
        for each in notices:
            if each.place == each.spot.place or each.place is None:
                yield each
            elif (each.place, each.remark) not in self.told:
                self.told.add((each.place, each.remark))
                yield each._replace(job="", subject=each.place.sheet)

    def _explain_limits(self, draft: "_Draft", job: str | None) -> None:
        """Give each limitation its reason: its own, the row's, or the job's; without any it is an omission."""
        whole = self.jobs.get(job or "")
        reason = draft.values.get("limitation_reason") or (whole.limitations if whole else None)
        for name, value in draft.values.items():
            if isinstance(value, Reading) and value.mark is Mark.LIMITATION and not value.reason:
                draft.values[name] = value.model_copy(update={"reason": reason}) if reason else None
                if not reason:
                    draft.say(name, _unexplained(draft.fields[name]))

    def _miss(self, draft: "_Draft", row: Row, job: str | None) -> None:
        """Tell the blank cells that this row's state asks for."""
        whole = row if isinstance(row, JobRow) else self.jobs.get(job or "")
        tested = whole is None or whole.state is JobState.TESTED
        for name, each in draft.fields.items():
            column = draft.tab.columns.fields.get(name)
            if name in draft.typed or column is None or draft.astray(column) or draft.beneath(name):
                continue
            if each.needed is Needed.DESIGN or (tested and each.needed is Needed.TEST):
                draft.say(name, _blank(draft.tab.sheet.row, name))


@dataclass(slots=True)
class _Draft:
    """A row while it is typed."""

    tab: Tab
    index: int
    number: int
    cells: dict[int, Cell]
    values: dict[str, Any] = field(default_factory=dict)
    at: dict[str, Place] = field(default_factory=dict)
    typed: dict[str, str] = field(default_factory=dict)
    remarks: list[tuple[str, Remark]] = field(default_factory=list)
    shift: Shift | None = None

    @property
    def fields(self) -> dict[str, Field]:
        """The fields of this row."""
        return self.tab.sheet.row.fields()

    def say(self, name: str, remark: Remark) -> None:
        """Remark on one of the cells."""
        self.remarks.append((name, remark))

    def refused(self, name: str) -> bool:
        """Whether one of the cells is told to be wrong already."""
        return any(each == name and remark.verdict is Verdict.FAIL for each, remark in self.remarks)

    def beneath(self, name: str) -> bool:
        """Whether a cell lies beneath merged cells: that is told as such, and not once more as a blank."""
        column = self.tab.columns.fields.get(name, 0)
        return any(each.hides(self.number, column) for each in merged_of(self.tab.cells.merged))

    def astray(self, column: int) -> bool:
        """Whether the row's cells stand under the wrong headings from here on."""
        return self.shift is not None and column >= self.shift.first

    def straighten(self, parser: CellParser) -> None:
        """Tell cells that were pushed aside as one thing, and take no value from any of them."""
        self.shift = shift_of(self.tab.columns, self.tab.sheet.row, self.cells, self.remarks, parser)
        if self.shift is None:
            return
        lost = {name for name, column in self.tab.columns.fields.items() if self.astray(column)}
        self.values |= dict.fromkeys(lost)
        self.keep(lambda name, _: name not in lost)
        first = self.shift.name
        self.say(first, astray(self.fields[first], self.shift))

    def keep(self, wanted: Callable[[str, Remark], bool]) -> None:
        """Drop the remarks that are not wanted."""
        self.remarks = [(name, remark) for name, remark in self.remarks if wanted(name, remark)]

    def notices(self, job: str, subject: str) -> Iterator[Notice]:
        """The remarks with their places."""
        for name, remark in self.remarks:
            spot = Spot(self.tab.sheet.title, self.number, self.tab.columns.fields[name], self.index)
            typed = self.typed.get(name, "")
            yield Notice(spot, remark, job, subject, typed, self.fields[name].heading, self.at[name])


def name_in(tab: Tab, cells: dict[int, Cell]) -> tuple[str, ...]:
    """The texts that together name a row, as typed; its job's first."""
    names = [name for name, each in tab.sheet.row.fields().items() if each.key]
    typed = (cells.get(tab.columns.fields.get(name, 0)) for name in names)
    return tuple(same(each.text) if each else "" for each in typed)


def taken_names(tab: Tab) -> frozenset[tuple[str, ...]]:
    """The names of the rows that stand on a sheet."""
    return frozenset(name_in(tab, cells) for _, cells in tab.rows)


def subject_of(sheet: Sheet, row: Row, number: int) -> str:
    """What a finding calls a row: the names in it, without its job's; of several each says what it names."""
    names = {each.title: row.shown(name) for name, each in row.fields().items() if each.key and name != "job"}
    named = {title: name for title, name in names.items() if name}
    if not named:
        return f"{sheet.title} row {number}"
    told = next(iter(named.values())) if len(names) == 1 else ", ".join(f"{title} {named[title]}" for title in named)
    return f"{sheet.title}{'' if len(names) == 1 else ':'} {told}"


def _blank(row: type[Row], name: str) -> Remark:
    """A needed cell without anything in it."""
    each = row.fields()[name]
    takes = values_taken(row, name).rstrip(".") or "words"
    usual = f", usually {span(each.usual)}" if each.usual else ""
    note = f" ({each.note.rstrip('.')})" if each.note else ""
    return Remark(
        BLANK,
        Verdict.FAIL,
        f"'{each.heading}' is blank.",
        f"{takes[0].lower()}{takes[1:]}{usual}{note}",
        f"Type the value from {SITE_SHEET}.",
    )


def _unexplained(each: Field) -> Remark:
    """A limitation that nobody gives a reason for."""
    return Remark(
        "limitation_has_a_reason",
        Verdict.FAIL,
        f"'{each.heading}' is limited (LIM), and no reason is given.",
        "LIM with its reason",
        "Type 'LIM: ' and the reason, or the reason in the row's own column, or under Limitations of the job.",
    )
