"""Templates of a firm: held against the layouts, tried on a proof job, and known by their sums from then on."""

import json
import tempfile
from collections.abc import Iterator
from pathlib import Path

from pipeline.disk import write_durably
from pipeline.documents.layouts import LAYOUTS, OUTSIDE, pack_of
from pipeline.documents.lint import template_troubles
from pipeline.documents.view import view_of
from pipeline.errors import MachineError
from pipeline.facts.record import canonical, fingerprint
from pipeline.issue import Workshop, need_machine, record_bytes
from pipeline.orders import Envelope, Order
from pipeline.progress import Tell
from pipeline.stages.decide import Decision, Status, decide_all
from pipeline.stages.order import order_of
from pipeline.stages.render import find_templates
from pipeline.standing import sum_of

PROOF = "proof.json"
MARK = "PROOF OF TEMPLATES – NOT FOR ISSUE"


def lint(folder: Path) -> list[str]:
    """What is wrong with the templates in a folder, by name and place; raises MachineError where there are none."""
    if not (files := _files(folder)):
        raise MachineError(
            f"There is no Word template in {folder}.", "Name the folder that holds your copies, as in cover.docx."
        )
    return [trouble for path in files for trouble in template_troubles(path.stem, path.read_bytes())]


def prove(folder: Path, tell: Tell) -> list[str]:
    """Lint a firm's templates, make a proof of every document with them, and note their sums where all went well.

    Gives the troubles, empty when the templates are proved. Raises MachineError where nothing can be converted.
    """
    from pipeline.stages.make import make, single_papers  # noqa: PLC0415 - only where documents are made
    from pipeline.tools.libreoffice import Office  # noqa: PLC0415

    (folder / PROOF).unlink(missing_ok=True)
    if troubles := lint(folder):
        return troubles
    need_machine()
    orders = _proof_orders(find_templates(folder), tell)
    with Office() as office:
        made = list(make(orders, office, tell))
        made += [paper for each in OUTSIDE for paper in single_papers(each.document, orders[:1], office)]
    if troubles := list(dict.fromkeys(f"{each.trouble} {each.remedy}".strip() for each in made if each.trouble)):
        return troubles
    write_durably(folder / PROOF, canonical(_proof(folder)) + b"\n")
    return []


def unproved(folder: Path) -> MachineError | None:
    """Why packs cannot be issued with the templates in a folder; None where they were proved just as they are."""
    try:
        noted = json.loads((folder / PROOF).read_bytes())
    except (OSError, ValueError):
        noted = {}
    if noted == _proof(folder):
        return None
    return MachineError(
        f"The templates in {folder} were not proved as they are now, so only drafts are made with them.",
        f"Prove them: handover templates {folder}",
    )


def _files(folder: Path) -> list[Path]:
    """The Word files in a folder, those that Word keeps for itself while it has them open left out."""
    return sorted(path for path in folder.glob("*.docx") if not path.name.startswith("~$"))


def _proof(folder: Path) -> dict[str, object]:
    """What a proof holds: the sum of each template, and of those supplied with the program that fill the gaps."""
    return {
        "templates": {path.name: fingerprint(path.read_bytes()) for path in _files(folder)},
        "supplied": sum_of(find_templates()),
    }


def _proof_orders(templates: dict[str, bytes], tell: Tell) -> list[Order]:
    """Jobs of the demo week that together have every document of a pack."""
    from pipeline.demo.__main__ import write_demo  # noqa: PLC0415 - only where a proof is made
    from pipeline.demo.week import TODAY  # noqa: PLC0415
    from pipeline.run import Options, judge  # noqa: PLC0415
    from pipeline.stages.commit import Outputs  # noqa: PLC0415

    with tempfile.TemporaryDirectory() as scratch:
        workbook = write_demo(Path(scratch) / "inputs")
        _, judged = judge(Options(workbook, Path(scratch), as_of=TODAY), tell)
        shop = Workshop(Outputs(Path(scratch)), templates, workbook.parent / "photos", TODAY, tell)
        return [_order(each, shop) for each in _few(decide_all(judged, None, {}), shop)]


def _few(decisions: list[Decision], shop: Workshop) -> Iterator[Decision]:
    """The first jobs that add a document to those before."""
    envelope = Envelope("0000", 0, shop.as_of.isoformat(), "")
    missing = LAYOUTS.keys() - {each.document for each in OUTSIDE}
    for each in decisions:
        if each.status is Status.TO_MAKE:
            has = {layout.document for layout in pack_of(view_of(record_bytes(each, shop.as_of), envelope))}
            if missing & has:
                missing -= has
                yield each


def _order(decision: Decision, shop: Workshop) -> Order:
    """The order for the proof of a job."""
    sums = decision.judged.job.photo_sums
    shop.store.keep(shop.photos, sums)
    envelope = Envelope("0000", 0, shop.as_of.isoformat(), "", draft=MARK)
    return order_of(record_bytes(decision, shop.as_of), envelope, shop.store.take(sums), dict(shop.templates))
