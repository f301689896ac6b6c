"""What was seen: each aspect's outcome, its remark, and what contradicts it."""

from collections.abc import Iterator

from pipeline.facts.choices import (
    Adequacy,
    Method,
    NewOrExisting,
    OpenPenMeasure,
    SurgeProtection,
    WorkKind,
    YesNo,
)
from pipeline.facts.choices import Outcome as Seen
from pipeline.facts.field import Mark, Needed, Place
from pipeline.facts.findings import Verdict
from pipeline.facts.job import Job
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import blank, not_applicable, passed

REFERENCE = "IEC 60364-6, 6.4.2"
# what was there before the work, unless the installation is new
EXISTING = frozenset({"intake", "bonding"})
# aspects that a plain job may do without; any other 'N/A' wants a word why
MAY_BE_ABSENT = frozenset({"other_sources", "buried", "load_management", "emergency_switching", "open_pen", "surge"})


def _aspects(case: Case) -> list[str]:
    """The aspects in the order of the walk."""
    return [name for name in case.job.inspection.fields() if name != "job"]


def _remark(job: Job, aspect: str) -> str:
    """What was written about an aspect."""
    title = job.inspection.fields()[aspect].title
    return "; ".join(each.remark for each in job.remarks if each.aspect == title and each.remark)


@rule(title="Inspected aspects are satisfactory", area=Area.INSPECTION, reference=REFERENCE, needed=Needed.TEST)
def inspected_aspects_are_satisfactory(case: Case) -> Iterator[Outcome]:
    """New work must be satisfactory; what was there before may be accepted by the signatory."""
    for aspect in _aspects(case):
        field = case.job.inspection.fields()[aspect]
        outcome: Seen | None = getattr(case.job.inspection, aspect)
        remark = _remark(case.job, aspect)
        if outcome is None:
            yield blank(field.title, case.job.inspection, aspect)
        elif outcome is Seen.PASS:
            yield passed(field.title, "Seen and satisfactory.", case.job.inspection.where(aspect))
        else:
            yield _short_of_pass(case.job, aspect, outcome, remark)


def _short_of_pass(job: Job, aspect: str, outcome: Seen, remark: str) -> Outcome:
    """The verdict on an aspect that was not simply satisfactory."""
    old = aspect in EXISTING and job.row.work is not WorkKind.NEW_INSTALLATION
    verdict, message, remedy = {
        Seen.NOT_SATISFACTORY: (
            Verdict.QUERY if old else Verdict.FAIL,
            f"Not satisfactory on {'existing' if old else 'new'} work.",
            "Put it right and inspect again." if not old else "Have the signatory decide whether the work may stand.",
        ),
        Seen.LIMITATION: (
            Verdict.NOTE if remark else Verdict.QUERY,
            "Could not be inspected." if remark else "Could not be inspected, and no remark says why.",
            "Write the reason on the sheet Inspection remarks.",
        ),
        Seen.NOT_APPLICABLE: (
            Verdict.NOT_APPLICABLE if aspect in MAY_BE_ABSENT or remark else Verdict.NOTE,
            "Marked as not applicable.",
            "If it does apply, inspect it; else say why not on the sheet Inspection remarks.",
        ),
    }[outcome]
    return Outcome(
        verdict,
        job.inspection.fields()[aspect].title,
        message,
        job.inspection.where(aspect),
        found=f"{outcome}{f': {remark}' if remark else ''}",
        expected="pass",
        remedy=remedy,
    )


@rule(title="Remarks and outcomes agree", area=Area.INSPECTION, reference=REFERENCE, needed=Needed.TEST)
def remarks_and_outcomes_agree(case: Case) -> Iterator[Outcome]:
    """A defect has its remark, and a remark its defect."""
    wrong = [*_stray_remarks(case), *_bare_defects(case)]
    yield from wrong or [passed("Inspection", "Each defect has its remark, and no remark contradicts its outcome.")]


def _stray_remarks(case: Case) -> Iterator[Outcome]:
    """Remarks on an aspect that passed, or that is none."""
    inspection = case.job.inspection
    by_title = {inspection.fields()[name].title: name for name in _aspects(case)}
    for remark in case.job.remarks:
        aspect = by_title.get(remark.aspect or "")
        if remark.aspect is None or (aspect and getattr(inspection, aspect) is not Seen.PASS):
            continue
        yield Outcome(
            Verdict.FAIL,
            remark.aspect,
            "There is a remark on an aspect that passed." if aspect else "No aspect has this name.",
            remark.where("aspect") + inspection.where(*[aspect] if aspect else []),
            found=f"{remark.aspect}: {remark.remark or ''}",
            expected="the heading of an aspect that is limited or not satisfactory",
            remedy="Mend the outcome, or the aspect's name; an observation belongs among the defects of the job.",
        )


def _bare_defects(case: Case) -> Iterator[Outcome]:
    """Aspects that are not satisfactory without a word why."""
    inspection = case.job.inspection
    for aspect in _aspects(case):
        if getattr(inspection, aspect) is Seen.NOT_SATISFACTORY and not _remark(case.job, aspect):
            yield Outcome(
                Verdict.FAIL,
                inspection.fields()[aspect].title,
                "Not satisfactory, and no remark says why.",
                inspection.where(aspect),
                found="no remark",
                expected="what is wrong, in a sentence",
                remedy="Write it on the sheet Inspection remarks.",
            )


def _measured_against_open_pen(job: Job) -> bool:
    """Whether any charge point has a measure in case the PEN conductor breaks."""
    return any(each.open_pen not in (None, OpenPenMeasure.NOT_NEEDED) for each in job.points)


def _called_for(job: Job) -> dict[str, str]:
    """Aspects that 'N/A' cannot answer on this job, each with what calls for it."""
    underground = (Method.D1, Method.D2)
    needs = {
        "other_sources": (bool(job.sources), "the job has other sources"),
        "load_management": (bool(job.schemes), "a load management scheme is declared"),
        "buried": (
            any(each.method in underground and each.new is NewOrExisting.NEW for each in job.circuits),
            "a new cable lies in the ground",
        ),
        "open_pen": (_measured_against_open_pen(job), "a measure against an open PEN is declared"),
    }
    return {aspect: why for aspect, (called, why) in needs.items() if called}


def _not_there(job: Job) -> dict[str, tuple[str, tuple[Place, ...]]]:
    """Aspects that 'pass' cannot answer on this job, each with what the record says of it, and where."""
    omitted = (SurgeProtection.OMITTED_RISK, SurgeProtection.OMITTED_CLIENT)
    absent = {
        "other_sources": (not job.sources, "the job has no other source", ()),
        "load_management": (not job.schemes, "no load management scheme is declared", ()),
        "open_pen": (
            bool(job.points) and not _measured_against_open_pen(job),
            "no charge point has a measure against an open PEN",
            tuple(place for each in job.points for place in each.where("open_pen")),
        ),
        "surge": (job.supply.surge in omitted, "surge protection is omitted", job.supply.where("surge")),
    }
    return {aspect: (why, places) for aspect, (there_is_none, why, places) in absent.items() if there_is_none}


@rule(title="A pass does not contradict the job", area=Area.INSPECTION, reference=REFERENCE, needed=Needed.TEST)
def passes_do_not_contradict_the_job(case: Case) -> Iterator[Outcome]:
    """What is not there cannot have been seen in order: another outcome is asked for, or the row that is lacking."""
    inspection = case.job.inspection
    absent = _not_there(case.job)
    wrong = {aspect: each for aspect, each in absent.items() if getattr(inspection, aspect) is Seen.PASS}
    for aspect, (why, places) in wrong.items():
        yield Outcome(
            Verdict.QUERY,
            inspection.fields()[aspect].title,
            f"Marked as a pass, but {why}.",
            inspection.where(aspect) + places,
            found="pass",
            expected="N/A where there is nothing to inspect",
            remedy="Enter N/A, or enter what was inspected.",
        )
    if not wrong:
        yield passed("Inspection", "No aspect passed of which the job has nothing to inspect.")


@rule(title="'N/A' does not contradict the job", area=Area.INSPECTION, reference=REFERENCE, needed=Needed.TEST)
def not_applicable_does_not_contradict_the_job(case: Case) -> Iterator[Outcome]:
    """Sources, load management, buried cables and measures against an open PEN must have been looked at."""
    called = _called_for(case.job)
    for aspect, why in called.items():
        title, places = case.job.inspection.fields()[aspect].title, case.job.inspection.where(aspect)
        if getattr(case.job.inspection, aspect) is Seen.NOT_APPLICABLE:
            yield Outcome(
                Verdict.QUERY,
                title,
                f"Marked as not applicable, but {why}.",
                places,
                found="N/A",
                expected="the outcome of looking",
                remedy="Inspect the aspect, or mend what calls for it.",
            )
        else:
            yield passed(title, f"Was looked at, since {why}.", places)
    if not called:
        yield not_applicable("Inspection", "Nothing on this job calls for an aspect that is marked 'N/A'.")


@rule(
    title="What was there before is adequate",
    area=Area.INSPECTION,
    reference="IEC 60364-6, 6.4.1.4",
    needed=Needed.TEST,
)
def existing_earthing_is_adequate(case: Case) -> Iterator[Outcome]:
    """A new circuit relies on the earthing and bonding that it finds."""
    row = case.job.row
    if row.existing_adequate is None:
        yield blank("Existing installation", row, "existing_adequate")
    elif row.existing_adequate is Adequacy.INADEQUATE:
        yield Outcome(
            Verdict.FAIL,
            "Existing installation",
            "The earthing and bonding that were there are inadequate for the new circuit.",
            row.where("existing_adequate"),
            found="inadequate",
            expected="adequate, or improved with this work",
            remedy="Improve earthing and bonding before the circuit is used.",
        )
        return
    reading, adequate = (
        case.job.supply.bonding_continuity,
        f"Earthing and bonding that were there: {row.existing_adequate}",
    )
    if row.existing_adequate is not None and reading is not None and reading.mark is Mark.LIMITATION:
        yield Outcome(
            Verdict.NOTE,
            "Existing installation",
            f"{adequate}, though the continuity of the bonding could not be measured.",
            row.where("existing_adequate") + case.job.supply.where("bonding_continuity"),
            found=case.job.supply.shown("bonding_continuity"),
            expected="a reading behind the statement",
            remedy="Nothing, if the signatory judged it by what can be seen; else measure.",
        )
    elif row.existing_adequate is not None:
        yield passed("Existing installation", f"{adequate}.", row.where("existing_adequate"))


@rule(
    title="Defects seen are told to the client",
    area=Area.INSPECTION,
    reference="IEC 60364-6, 6.4.4",
    needed=Needed.TEST,
)
def defects_are_told_to_the_client(case: Case) -> Iterator[Outcome]:
    """A danger that was seen needs a letter; other defects are printed."""
    row = case.job.row
    places = row.where("defects", "defects_danger", "defects_told")
    if not row.defects and row.defects_danger is not YesNo.YES:
        yield passed("Existing installation", "No other defects were recorded.")
    elif row.defects_danger is YesNo.YES and row.defects_told is None:
        yield Outcome(
            Verdict.QUERY,
            "Existing installation",
            "A danger was seen and nobody told the client.",
            places,
            found=row.defects or "a danger without a description",
            expected="the day on which the client was told in writing",
            remedy="Send the letter today and enter the date.",
        )
    else:
        yield Outcome(
            Verdict.NOTE,
            "Existing installation",
            "Other defects were seen.",
            places,
            found=row.defects or "a danger without a description",
            expected="the client told",
            remedy="They are printed on the certificate.",
        )
