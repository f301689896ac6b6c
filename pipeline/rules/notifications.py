"""Who else must be told: decisions of two tables, each line with its source, and the days that follow from them.

Lateness never holds a certificate; an approval that had to come first does.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from pipeline.facts.choices import (
    Consent,
    CutOutStatus,
    Nation,
    NewOrExisting,
    Premises,
    RuleFamily,
    YesNo,
    YesNoUnknown,
)
from pipeline.facts.choices import Outcome as Seen
from pipeline.facts.field import Place
from pipeline.facts.findings import Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.row import Row
from pipeline.rules.base import Area, Case, Outcome, meets, rule
from pipeline.rules.demand import PHASES, demand_of_job
from pipeline.rules.outcomes import lacking, not_applicable, passed

OPERATOR = "the network operator's conditions"
BUILDING = "the building law of the nation"
# tell the operator within so many days of connecting (confirmed)
OPERATOR_DAYS = timedelta(days=28)
# tell building control within so many days of completion (from memory)
BUILDING_DAYS = timedelta(days=30)
# largest demand of a residential site per phase that need not be asked for first (confirmed)
UNASKED_AMPERES = 60.0
# what the operator's part of an intake is called: common practice
INTAKE = ("intake", "cut-out", "cutout", "service head", "service cable", "meter", "tails")
DWELLINGS = frozenset({Premises.DWELLING, Premises.RENTED_DWELLING, Premises.FLATS, Premises.FLATS_CAR_PARK})


@dataclass(frozen=True, slots=True)
class Condition:
    """One line of the operator's table: where `holds`, the operator is asked before connecting."""

    reason: str
    cells: tuple[str, ...]
    holds: Callable[[Job], bool]


def demand_after(job: Job) -> float | Outcome | None:
    """The largest demand of any phase with the new points, in amperes, as load management limits it.

    None where the demand before is blank.
    """
    if any(getattr(job.supply, each) is None for each in PHASES[: job.supply.phases or 1]):
        return None
    demand = demand_of_job(job)
    return demand if isinstance(demand, Outcome) else demand.amperes


def _over(job: Job, limit: float) -> bool:
    """Whether the known demand after the work is above a limit in amperes."""
    demand = demand_after(job)
    return isinstance(demand, float) and not meets(demand, limit)


def _unsafe_intake(job: Job) -> bool:
    """Whether the intake itself was found unsafe: by the inspector, or by a danger whose description names it."""
    told = (job.row.defects or "").lower()
    named = job.row.defects_danger is YesNo.YES and any(word in told for word in INTAKE)
    return named or job.inspection.intake is Seen.NOT_SATISFACTORY


ASK_FIRST: tuple[Condition, ...] = (
    Condition(
        "the supply is looped or may be",
        ("looped",),
        lambda job: job.supply.looped in (YesNoUnknown.YES, YesNoUnknown.UNKNOWN),
    ),
    Condition(
        "the rating of the cut-out is unknown",
        ("cutout_status",),
        lambda job: job.supply.cutout_status is CutOutStatus.UNKNOWN,
    ),
    Condition(
        f"the demand with the new points is above {UNASKED_AMPERES:g} A in a phase",
        ("demand_l1", "demand_l2", "demand_l3"),
        lambda job: job.row.premises in DWELLINGS and _over(job, UNASKED_AMPERES),
    ),
    Condition(
        "the demand with the new points is above the cut-out's rating",
        ("demand_l1", "cutout_rating"),
        lambda job: job.supply.cutout_rating is not None and _over(job, magnitude(job.supply.cutout_rating, "A")),
    ),
    Condition(
        "the site is no dwelling, so that its connection agreement decides",
        ("agreed_capacity",),
        lambda job: job.row.premises not in {*DWELLINGS, None} and job.supply.agreed_capacity is None,
    ),
    Condition(
        "the intake is not safe",
        (),
        _unsafe_intake,
    ),
    Condition(
        "a charge point can send power back",
        (),
        lambda job: any(each.returns_power is YesNo.YES for each in job.models),
    ),
)


def reasons_to_ask_first(job: Job) -> tuple[Condition, ...]:
    """The lines of the operator's table that this job meets."""
    return tuple(each for each in ASK_FIRST if each.holds(job))


@rule(title="The network operator is told or asked", area=Area.NOTICES, reference=OPERATOR)
def network_operators_are_told_or_asked(case: Case) -> Iterator[Outcome]:
    """Asked beforehand where a line of the table applies, told within 28 days of connecting otherwise."""
    job = case.job
    if job.row.family is not RuleFamily.UK:
        yield _look_up("Network operator", job)
        return
    reasons = reasons_to_ask_first(job)
    if not reasons:
        yield _tell(case, "Network operator", job.row.energised, OPERATOR_DAYS)
    else:
        yield _asked(job, "; ".join(each.reason for each in reasons), _cells(job.supply, reasons))


def _look_up(subject: str, job: Job) -> Outcome:
    """What is said where the duties to tell anybody are those of another country."""
    return Outcome(
        Verdict.NOTE,
        subject,
        "The duties to tell this body are not part of these rules.",
        job.row.where("nation", "family"),
        found=job.row.shown("nation"),
        expected="a country whose duties are known here",
        remedy="Look up what the country asks for.",
        reference="the law of the country",
    )


def _cells(supply: Row, reasons: tuple[Condition, ...]) -> tuple[Place, ...]:
    """The cells that the reasons come from."""
    names = dict.fromkeys(name for each in reasons for name in each.cells)
    return supply.where(*names)


def _asked(job: Job, why: str, places: tuple[Place, ...]) -> Outcome:
    """The verdict where the operator is asked first."""
    consent = job.supply.operator_consent
    places += job.supply.where("operator_consent", "consent_reference")
    if consent is Consent.GIVEN:
        number = job.supply.consent_reference or "without a reference"
        return passed("Network operator", f"The operator was asked first ({why}) and agreed: {number}.", places)
    return Outcome(
        Verdict.QUERY,
        "Network operator",
        f"The network operator must be asked before connecting, since {why}.",
        places,
        found=f"consent: {job.supply.shown('operator_consent') or 'blank'}",
        expected="consent given, with its reference",
        remedy="Ask the operator and wait for the answer before anything is connected.",
    )


def _tell(case: Case, subject: str, connected: date | None, days: timedelta) -> Outcome:
    """What is still to be told, and by when."""
    if not case.job.tested or connected is None:
        return Outcome(
            Verdict.NOTE,
            subject,
            f"To be told within {days.days} days after the work.",
            found="work not yet done",
            expected=f"told within {days.days} days",
            remedy="The data are printed with the pack.",
        )
    due = connected + days
    late = case.as_of > due
    return Outcome(
        Verdict.NOTE,
        subject,
        f"To be told by {due:%d %b %Y}{', which has passed' if late else ''}.",
        case.job.row.where("energised"),
        found=f"connected {connected:%d %b %Y}",
        expected=f"told by {due:%d %b %Y}",
        remedy="Send the data printed with the pack today." if late else "Send the data printed with the pack.",
    )


@rule(title="Building control is told", area=Area.NOTICES, reference=BUILDING)
def building_control_is_told(case: Case) -> Iterator[Outcome]:
    """Dwellings in England and Wales with a new circuit; by the firm itself where it is registered for that."""
    job = case.job
    row, subject = job.row, "Building control"
    new = any(each.new is NewOrExisting.NEW for each in job.circuits)
    if gap := lacking(subject, row, "nation", "premises") or lacking(subject, job.firm, "self_certifies"):
        yield gap
    elif row.family is not RuleFamily.UK:
        yield _look_up(subject, job)
    elif row.premises not in DWELLINGS or not new:
        yield not_applicable(subject, "No new circuit of a dwelling under these regulations.")
    elif row.nation not in (Nation.ENGLAND, Nation.WALES):
        yield Outcome(
            Verdict.NOTE,
            subject,
            "The duties to building control of this nation are not part of these rules.",
            row.where("nation"),
            found=row.shown("nation"),
            expected="England or Wales",
            remedy="Look up what the nation asks for.",
        )
    elif job.firm.self_certifies is YesNo.YES:
        yield _tell(case, subject, row.worked, BUILDING_DAYS)
    else:
        yield Outcome(
            Verdict.NOTE,
            subject,
            "The firm is not registered to certify: building control is notified before the work starts.",
            job.firm.where("self_certifies") + row.where("worked"),
            found=f"work finished {row.shown('worked') or 'not yet'}",
            expected="notified before the start",
            remedy="Notify building control before anything is started; if the work is done, today.",
        )
