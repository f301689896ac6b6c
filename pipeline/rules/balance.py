"""Whether the phases of a three-phase supply are loaded alike."""

from collections.abc import Iterator

from pipeline.facts.findings import Calculation, Verdict
from pipeline.facts.quantities import magnitude
from pipeline.rules.base import Area, Case, Outcome, margin, meets, rule
from pipeline.rules.demand import PHASES, SPREAD
from pipeline.rules.loads import Sum, sum_of
from pipeline.rules.outcomes import cells, distinct, lacking, not_applicable, passed, typed
from pipeline.standards.formula import figure

# one phase may carry as much more than another as one single-phase point of 7.4 kW takes: common practice
MOST_APART = 32.0


@rule(title="The phases are loaded alike", area=Area.DEMAND, reference="common practice")
def phases_are_loaded_alike(case: Case) -> Iterator[Outcome]:
    """Phases far apart load the neutral and push the voltage of the others up: told, not held against the job."""
    job = case.job
    if job.supply.phases != len(PHASES):
        yield not_applicable("Supply", "The supply has one phase.")
    elif gap := lacking("Supply", job.supply, *PHASES, aid=True):
        yield gap
    else:
        added = sum_of(job, job.points)
        yield added if isinstance(added, Outcome) else _judged(case, added)


def _judged(case: Case, added: Sum) -> Outcome:
    """The verdict on the phases with the points at full load."""
    supply = case.job.supply
    totals = [magnitude(getattr(supply, each), "A") + more for each, more in zip(PHASES, added.amperes, strict=True)]
    apart = max(totals) - min(totals)
    high, low = totals.index(max(totals)), totals.index(min(totals))
    before = (typed(f"I_before (L{number})", supply, each) for number, each in enumerate(PHASES, start=1))
    inputs = distinct((*before, *added.inputs))
    calculation = Calculation(
        f"ΔI = I (L{high + 1}) − I (L{low + 1}); I = I_before + ΣI_B",
        f"{figure(totals[high], 'A')} − {figure(totals[low], 'A')}; "
        + "; ".join(f"L{number}: {figure(each, 'A')}" for number, each in enumerate(totals, start=1)),
        figure(apart, "A"),
        f"{figure(MOST_APART, 'A')} (one single-phase point; common practice)",
        margin(apart, MOST_APART) if meets(apart, MOST_APART) else None,
        inputs,
    )
    spread = f" {SPREAD}" if added.assumed else ""
    if meets(apart, MOST_APART) and not added.assumed:
        return passed("Supply", "The phases are loaded alike.", cells(*inputs), calculation)
    return Outcome(
        Verdict.NOTE,
        "Supply",
        f"The phases are {'' if meets(apart, MOST_APART) else 'not '}loaded alike.{spread}",
        cells(*inputs),
        found="; ".join(f"L{number}: {figure(each, 'A')}" for number, each in enumerate(totals, start=1)),
        expected=f"at most {figure(MOST_APART, 'A')} between two phases",
        remedy="Let the points take turns on L1, L2 and L3, and end the numbers of their ways with the phase.",
        calculation=calculation,
    )
