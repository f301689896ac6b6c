"""The order of the work, on one screen: plan (one writer, the whole week), make (pure, in chunks), commit (one writer).

read      workbook → cells, in a child process, from a snapshot
validate  cells → typed jobs; every bad cell becomes a finding
check     typed jobs → findings of every rule
decide    findings and register → planned, held, unchanged, or to be made
reserve   a number for each job to be made, durable before anything is rendered
make      record → Word → PDF → pack, each page held against the record
commit    pack → archive folder → register entry → packs for daily use
"""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from pipeline import points
from pipeline.desk import leave_index
from pipeline.errors import CommandError, MachineError, PipelineError, WorkbookRefusedError
from pipeline.facts.findings import Finding
from pipeline.facts.job import Week
from pipeline.issue import Workshop, alone, finish_interrupted, issue, need_machine, now, sign_made
from pipeline.place import require_place
from pipeline.points import Point
from pipeline.progress import Tell
from pipeline.register import STANDING, Register
from pipeline.stages.check import Judged, check
from pipeline.stages.commit import Outputs, clear_scratch
from pipeline.stages.decide import Decision, decide_all
from pipeline.stages.sign import Pen
from pipeline.standing import renewable, standing_lines
from pipeline.unnumbered import make_drafts, warn_off

if TYPE_CHECKING:
    from concurrent.futures import Future

    from pipeline.tools.libreoffice import Office
    from pipeline.workbook.cells import Cells

STAGES = ("read", "validate", "check", "decide", "reserve", "make", "commit")
PHOTOS = "photos"


@dataclass(frozen=True, slots=True)
class Options:
    """What a run was asked for; `as_of` is the only clock that rules know.

    `second` is a workbook that holds firm, people, instruments and models; else the first sheet may name one. With a
    `pen`, packs are signed and issued at once; with the address of a `cluster`, its machines make them. The workbook
    may be under way already: `reading` then gives its cells.
    """

    workbook: Path
    out: Path
    second: Path | None = None
    only: tuple[str, ...] = ()
    templates: Path | None = None
    revisions: Mapping[str, str] = field(default_factory=dict)
    draft: bool = False
    pen: Pen | None = None
    cluster: str = ""
    reading: "Future[Cells] | None" = field(default=None, compare=False)
    as_of: date = field(default_factory=lambda: datetime.now(UTC).astimezone().date())

    @property
    def home(self) -> Path:
        """The folder in which photos and a second workbook lie."""
        from pipeline.stages.leave import home_of  # noqa: PLC0415

        return home_of(self.workbook)


@dataclass(frozen=True)
class Report:
    """What a run did, for the screen and the corrections; `new_register` is the id of a register that began with it."""

    week: Week
    decisions: tuple[Decision, ...]
    check_value: str = ""
    new_register: str = ""
    recovered: tuple[str, ...] = ()
    drafts: tuple[str, ...] | None = None
    failed_drafts: tuple[str, ...] = ()
    machine_trouble: PipelineError | None = None
    standing: tuple[str, ...] = ()
    unsigned: tuple[str, ...] = ()

    @cached_property
    def of_workbook(self) -> tuple[Finding, ...]:
        """Findings that concern the workbook rather than a job."""
        told = {finding for each in self.decisions for finding in each.judged.findings}
        return tuple(each for each in self.week.findings if not each.job and each not in told)


def judge(options: Options, tell: Tell, stands: Mapping[str, str] = MappingProxyType({})) -> tuple[Week, list[Judged]]:
    """Read, validate and check: everything short of a decision.

    A job that says what it said when its pack was made is not judged again; `stands` has the input keys of such packs.
    """
    from pipeline.stages.leave import leave_refusal  # noqa: PLC0415
    from pipeline.stages.read import read  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.stages.validate import type_week  # noqa: PLC0415
    from pipeline.workbook.second import named_file  # noqa: PLC0415

    tell("reading the workbook")
    cells = options.reading.result() if options.reading else read(options.workbook)
    try:
        second = options.second or ((name := named_file(cells)) and options.home / name) or None
        week = type_week(cells, options.as_of, options.home / PHOTOS, _second(second) if second else None)
    except WorkbookRefusedError as refusal:
        with suppress(MachineError):  # the refusal counts, with or without its copy
            copy = leave_refusal(cells.content, options.workbook, Outputs(options.out), refusal)
            raise WorkbookRefusedError(refusal.message, f"{refusal.remedy}\nThe same is said in {copy}.") from None
        raise
    tell(f"checking the jobs: {len(week.jobs)}")
    judged = check(week, stands)
    unknown = set(options.only) - {each.job.reference for each in judged}
    if unknown:
        raise CommandError(
            f"There is no job {', '.join(sorted(unknown))} in the workbook.",
            "Compare with the column Job of the sheet Jobs.",
        )
    return week, [each for each in judged if not options.only or each.job.reference in options.only]


def _second(path: Path) -> "Cells":
    """The cells of the second workbook; a refusal says which of the two it is about."""
    from pipeline.stages.read import read  # noqa: PLC0415 - heavy, not needed for --help

    try:
        return read(path)
    except WorkbookRefusedError as refusal:
        raise WorkbookRefusedError(f"The second workbook: {refusal.message}", refusal.remedy) from None


def check_only(options: Options, tell: Tell) -> Report:
    """Say what a build would do, and make nothing."""
    outputs = Outputs(options.out)
    week, judged = judge(options, tell, _standing(outputs, options))
    if not outputs.register.exists():
        return Report(week, tuple(decide_all(judged, None, dict(options.revisions))))
    with Register.open(outputs.register, now()) as register:
        return Report(week, tuple(decide_all(judged, register, dict(options.revisions))))


def build(options: Options, tell: Tell) -> Report:
    """Make a pack of every job that holds up; where drafts are asked for, or nothing else can be made, drafts alone."""
    from pipeline.proving import unproved  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.stages.render import find_templates  # noqa: PLC0415
    from pipeline.tools.libreoffice import Office  # noqa: PLC0415

    outputs = Outputs(options.out)
    if not options.draft:
        require_place(outputs)
    lacking = _lacking()
    unsure = unproved(options.templates) if options.templates else None
    drafts_only = options.draft or unsure or lacking
    week, judged = judge(options, tell, {} if drafts_only else _standing(outputs, options))
    photos = options.home / PHOTOS
    shop = Workshop(outputs, find_templates(options.templates), photos, options.as_of, tell, options.cluster)
    if lacking:
        return _drafts(week, judged, shop, None, lacking)
    if drafts_only:
        with Office() as office:
            return _drafts(week, judged, shop, office, unsure)
    with alone(outputs), Office() as office, Register.open(outputs.register, now()) as register:
        points.passed(Point.OPENED)
        recovered = tuple(name for name, trouble in finish_interrupted(register, shop, office).items() if not trouble)
        older = renewable(register, shop.templates)
        decisions = decide_all(judged, register, dict(options.revisions), older)
        decisions = issue(decisions, register, shop, office)
        decisions, unsigned = sign_made(decisions, register, outputs, options.pen)
        check_value = register.end_run(week.sha256, now())
        points.passed(Point.CLOSED)
        clear_scratch(register, outputs)
        warn_off(decisions, shop, office)
        leave_index(register, outputs, now())
        standing = standing_lines(register, decisions, shop.templates)
        return Report(
            week,
            tuple(decisions),
            check_value,
            register.id if register.is_new else "",
            recovered,
            standing=standing,
            unsigned=unsigned,
        )


def _lacking() -> MachineError | None:
    """What this machine lacks for making packs."""
    try:
        need_machine()
    except MachineError as trouble:
        return trouble
    return None


def _standing(outputs: Outputs, options: Options) -> dict[str, str]:
    """The input key of each job whose pack stands and shall not be revised."""
    if not outputs.register.exists():
        return {}
    with Register.open(outputs.register, now()) as register:
        packs = [each for each in register.standings() if each.state in STANDING]
    return {each.job: each.input_key for each in packs if each.job not in options.revisions}


def _drafts(
    week: Week, judged: list[Judged], shop: Workshop, office: "Office | None", trouble: MachineError | None
) -> Report:
    """Drafts of every job that holds up; no number is reserved and the register stays closed."""
    decisions = decide_all(judged, None, {})
    with alone(shop.outputs):
        files, failed = make_drafts(decisions, shop, office)
    return Report(week, tuple(decisions), drafts=files, failed_drafts=failed, machine_trouble=trouble)


def complete(out: Path, templates: Path | None, tell: Tell) -> tuple[dict[str, str], str]:
    """Complete what an earlier run began, without any workbook.

    Gives each pack with what stopped it again, if anything, and the check value of the register. Raises CommandError
    for a folder without a register, MachineError without LibreOffice.
    """
    from pipeline.stages.render import find_templates  # noqa: PLC0415
    from pipeline.tools.libreoffice import Office  # noqa: PLC0415

    outputs = Outputs(out)
    if not outputs.register.exists():
        raise CommandError(f"No pack was made in {out} yet.", "Name the week's workbook, or the folder: --out DIR.")
    need_machine()
    today = datetime.now(UTC).astimezone().date()
    shop = Workshop(outputs, find_templates(templates), outputs.photos, today, tell)
    with alone(outputs), Office() as office, Register.open(outputs.register, now()) as register:
        done = finish_interrupted(register, shop, office)
        check_value = register.end_run("", now())
        clear_scratch(register, outputs)
        leave_index(register, outputs, now())
        return done, check_value
