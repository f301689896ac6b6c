"""Load management: whether its limit and its fallback hold, and were tried."""

from collections.abc import Iterator

from pipeline.facts.choices import YesNo
from pipeline.facts.findings import Verdict
from pipeline.facts.job import Job
from pipeline.facts.quantities import magnitude
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.rules.base import Area, Case, Outcome, meets, rule
from pipeline.rules.demand import demand_of
from pipeline.rules.loads import sum_of
from pipeline.rules.outcomes import blank, lacking, name_of, not_applicable, passed, shown, typed
from pipeline.standards.formula import figure


@rule(title="Load management keeps its limit", area=Area.DEMAND, reference="IEC 60364-7-722, 722.311")
def load_management_keeps_its_limit(case: Case) -> Iterator[Outcome]:
    """Declared, and in a tested job tried: limit and fallback held, with points enough to reach the limit."""
    for scheme in case.job.schemes:
        if gap := lacking(name_of(scheme), scheme, "group_limit", "fallback"):
            yield gap
        elif case.job.tested:
            yield _tried(case.job, scheme)
        else:
            yield Outcome(
                Verdict.NOTE,
                name_of(scheme),
                "The demand counts on this scheme, which is to be tried at commissioning.",
                scheme.where("group_limit"),
                found=shown(scheme, "group_limit"),
                expected="limit and fallback tried",
                remedy="Try both when the points are commissioned.",
            )


def _tried(job: Job, scheme: LoadManagement) -> Outcome:
    """The verdict on a scheme after commissioning."""
    tests = ("limit_held", "fallback_held", "sensor_checked")
    if gap := lacking(name_of(scheme), scheme, *tests, "tested_points"):
        return gap
    places = scheme.where(*tests, "tested_points")
    broken = [scheme.fields()[each].title for each in tests if getattr(scheme, each) is YesNo.NO]
    needed = _points_needed(job, scheme)
    if broken:
        return Outcome(
            Verdict.FAIL,
            name_of(scheme),
            f"Not held: {', '.join(broken)}.",
            places,
            found="no",
            expected="yes",
            remedy="Put the scheme right and try again, or set each point to a current that needs no scheme.",
        )
    if (scheme.tested_points or 0) < needed:
        return Outcome(
            Verdict.QUERY,
            name_of(scheme),
            "Too few points were charging to reach the limit.",
            places,
            found=f"{scheme.tested_points} points",
            expected=f"{needed} points",
            remedy="Try again with more vehicles or adapters, or have the signatory accept it.",
        )
    return passed(name_of(scheme), "Limit and fallback held when they were tried.", places)


def _points_needed(job: Job, scheme: LoadManagement) -> int:
    """How many points must charge at once before the scheme has anything to limit."""
    points = [each for each in job.points if each.scheme == scheme.scheme]
    limit, total = magnitude(scheme.group_limit, "A"), 0.0
    for count, point in enumerate(points, start=1):
        added = sum_of(job, [point.with_values(scheme=None)])
        total += 0.0 if isinstance(added, Outcome) else max(added.amperes)
        if not meets(total, limit):
            return count
    return len(points)


@rule(title="The fallback fits the supply", area=Area.DEMAND, reference="IEC 60364-7-722, 722.311")
def fallback_fits_the_supply(case: Case) -> Iterator[Outcome]:
    """When the signal is lost each point falls back to its own current, and all of them must still fit."""
    supply = case.job.supply
    if not case.job.schemes:
        yield not_applicable("Supply", "No load management is declared.")
        return
    if supply.cutout_rating is None:
        yield blank("Supply", supply, "cutout_rating")
        return
    demand = demand_of(case, fallback=True)
    if isinstance(demand, Outcome):
        yield demand
        return
    limit = magnitude(supply.cutout_rating, "A")
    calculation = demand.against(limit, "the cut-out", typed("I_n", supply, "cutout_rating"))
    places = tuple(place for each in case.job.schemes for place in each.where("fallback"))
    if meets(demand.amperes, limit):
        yield passed("Supply", "What the points fall back to fits the supply.", places, calculation)
    else:
        yield Outcome(
            Verdict.FAIL,
            "Supply",
            "When the signal is lost, the points draw more than the cut-out can carry.",
            places,
            found=calculation.result,
            expected=f"at most {figure(limit, 'A')}",
            remedy="Set a lower current for the loss of signal.",
            calculation=calculation,
        )
