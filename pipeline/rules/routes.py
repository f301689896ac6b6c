"""Cables as they are made and as they run: pairs of sizes, depth and soil of buried routes."""

from collections.abc import Iterator

from pipeline.editions import Value
from pipeline.facts.choices import CableType, Method, ProtectiveConductor
from pipeline.facts.findings import Confidence, Verdict, WhenMissing
from pipeline.facts.quantities import magnitude
from pipeline.rules.base import Area, Case, Outcome, meets, rule
from pipeline.rules.conductors import cable_of
from pipeline.rules.outcomes import lacking, name_of, not_applicable, passed, shown

# depth in metres that the tables of buried cables are for: from memory
TABULATED_DEPTH = 0.8


@rule(title="A flat cable is one that is made", area=Area.CONDUCTORS, reference="common practice")
def flat_cables_are_ones_that_are_made(case: Case) -> Iterator[Outcome]:
    """Live and protective conductors of a flat cable come in pairs of sizes; another pair was mistyped."""
    for circuit in case.job.circuits:
        run, subject = cable_of(case, circuit), name_of(circuit)
        made = case.edition.cables.flat_protective(run) if run else None
        core = run is not None and run.cable is CableType.FLAT_TWIN and run.cpc is ProtectiveConductor.CORE
        if run is None or made is None or not core:
            yield not_applicable(subject, "No flat cable with a protective core, or a cell of it is blank.")
            continue
        places = circuit.where("live_size", "cpc_size", "cable")
        sizes = f"{run.live_size.m:g} mm² with {run.cpc_size.m:g} mm²"
        if isinstance(made, Value) and made.quantity == run.cpc_size:
            yield passed(subject, f"A flat cable of {sizes} is made.", places, confidence=made.confidence)
        else:
            usual = made.shown if isinstance(made, Value) else "another cable"
            yield Outcome(
                Verdict.QUERY,
                subject,
                "No flat cable is made with these sizes.",
                places,
                found=sizes,
                expected=f"{run.live_size.m:g} mm² with {usual}",
                remedy="Read the sizes off the cable's print, and mend the cell that is wrong.",
            )


@rule(
    title="A buried route is as the tables take it",
    area=Area.CONDUCTORS,
    reference="IEC 60364-5-52, 523; common practice",
    when_missing=WhenMissing.PRINT,
)
def buried_routes_are_as_the_tables_take_them(case: Case) -> Iterator[Outcome]:
    """No deeper than the tables hold for, where no factor for depth is counted; what the soil was taken as is said."""
    for circuit in case.job.circuits:
        subject, places = name_of(circuit), circuit.where("burial_depth", "soil", "method")
        if circuit.method not in (Method.D1, Method.D2):
            yield not_applicable(subject, "No route in the ground.")
        elif gap := lacking(subject, circuit, "burial_depth"):
            yield gap
        elif meets(magnitude(circuit.burial_depth, "m"), TABULATED_DEPTH):
            soil = f"soil {shown(circuit, 'soil')}" if circuit.soil is not None else "soil taken as 2.5 K·m/W"
            message = f"Buried {shown(circuit, 'burial_depth')} deep, {soil}: no factor for depth (C_d = 1)."
            yield passed(subject, message, places, confidence=Confidence.MEMORY)
        else:
            yield Outcome(
                Verdict.QUERY,
                subject,
                "The route lies deeper than the tables of capacity hold for.",
                places,
                found=shown(circuit, "burial_depth"),
                expected=f"at most {TABULATED_DEPTH} m (from memory)",
                remedy="Have the signatory look up the factor for depth, or lay the cable higher.",
            )
