"""Site sheets: for each job still to visit whose design holds up, what the electrician carries; no number, no register.

A job whose design fails, or whose connection must be asked for first and is not approved, has none: it is held.
"""

import json
import shutil
from contextlib import nullcontext
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from pipeline.errors import CommandError, MachineError, PipelineError
from pipeline.facts.choices import Consent
from pipeline.facts.findings import Finding
from pipeline.facts.record import canonical
from pipeline.issue import Workshop, need_machine
from pipeline.orders import Made, Order
from pipeline.progress import Tell
from pipeline.rules.base import Case
from pipeline.rules.notifications import reasons_to_ask_first
from pipeline.rules.visit import asked_for
from pipeline.run import PHOTOS, Options, judge
from pipeline.stages.commit import Outputs
from pipeline.stages.decide import Decision, Status, decide_all
from pipeline.unnumbered import row_name, unnumbered, write_papers

DOCUMENT = "site-sheet"
MARK = "SITE SHEET {} – NOT A CERTIFICATE"
AGAIN = "Restore the templates and fonts, then run the same command again."


@dataclass(frozen=True, slots=True)
class Prepared:
    """What a job still to visit has got: its sheet, or why it has none."""

    job: str
    held: tuple[Finding, ...] = ()
    unapproved: str = ""
    files: tuple[Path, ...] = ()
    trouble: PipelineError | None = None


def site_sheets(options: Options, tell: Tell) -> list[Prepared]:
    """Make the site sheets of a workbook; without LibreOffice only the Word files, each with the trouble told.

    Raises CommandError where a job that was asked for has been tested.
    """
    from pipeline.stages.make import single_papers  # noqa: PLC0415 - heavy, not needed for --help
    from pipeline.stages.render import find_templates  # noqa: PLC0415
    from pipeline.tools.libreoffice import Office  # noqa: PLC0415

    _, judged = judge(options, tell)
    tested = [each.job.reference for each in judged if each.job.tested]
    if options.only and tested:
        raise CommandError(
            f"Job {', '.join(tested)} has been tested.", "A site sheet is for a job whose state is 'to visit'."
        )
    decisions = decide_all([each for each in judged if not each.job.tested], None, {})
    waiting = [each for each in decisions if not _held(each)]
    shop = Workshop(Outputs(options.out), find_templates(options.templates), options.home / PHOTOS, options.as_of, tell)
    orders = [_order(each, shop) for each in waiting]
    machine: PipelineError | None = None
    try:
        need_machine()
    except PipelineError as trouble:
        machine = trouble
    tell(f"writing site sheets: {len(orders)}")
    with nullcontext() if machine else Office() as office:
        made = list(single_papers(DOCUMENT, orders, office))
    sheets = {id(each): _written(each, paper, machine, shop) for each, paper in zip(waiting, made, strict=True)}
    return [sheets.get(id(each)) or _why(each) for each in decisions]


def _held(decision: Decision) -> bool:
    """Whether a job has no sheet."""
    return decision.status is not Status.PLANNED or bool(_unapproved(decision))


def _why(decision: Decision) -> Prepared:
    """A held job with the findings that hold it, and the approval that it waits for."""
    from pipeline.telling import holding  # noqa: PLC0415

    return Prepared(decision.reference, tuple(holding(decision)), _unapproved(decision))


def _unapproved(decision: Decision) -> str:
    """Why the operator must be asked first, where it has not agreed; nobody's acceptance stands for its approval."""
    job = decision.judged.job
    if job.supply.operator_consent is Consent.GIVEN:
        return ""
    return "; ".join(each.reason for each in reasons_to_ask_first(job))


def _order(decision: Decision, shop: Workshop) -> Order:
    """The order for one sheet: the record of the job with what is asked for at the visit."""
    judged, plain = decision.judged, unnumbered(decision, shop, MARK.format(decision.reference), {})
    if judged.edition is None:
        return plain
    record = json.loads(plain.record)
    record["asked"] = [asdict(each) for each in asked_for(Case(judged.job, judged.edition, shop.as_of))]
    return replace(plain, record=canonical(record))


def _written(decision: Decision, made: Made, machine: PipelineError | None, shop: Workshop) -> Prepared:
    """Write a sheet into its folder; one of an earlier run does not stay beside it."""
    folder = shop.outputs.sitesheets / row_name(decision)
    shutil.rmtree(folder, ignore_errors=True)
    write_papers(folder, made.files)
    trouble = MachineError(made.trouble, made.remedy or AGAIN) if made.trouble else machine
    return Prepared(decision.reference, files=tuple(folder / name for name in made.files), trouble=trouble)
