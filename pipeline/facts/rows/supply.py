"""Where the electricity comes from: the intake, other sources, electrodes, load management."""

from datetime import date
from typing import Annotated

from pipeline.facts.choices import (
    ArcFaultDetection,
    ByWhat,
    Confirmed,
    Consent,
    CutOutStatus,
    DemandMethod,
    DeviceStandard,
    DeviceType,
    EarthingSystem,
    EarthRun,
    ElectrodeKind,
    Material,
    SourceKind,
    SurgeProtection,
    YesNo,
    YesNoUnknown,
)
from pipeline.facts.field import LIMITED, UNDER, Field, Needed
from pipeline.facts.reading import Reading
from pipeline.facts.row import Amount, Row

DESIGN, TEST = Needed.DESIGN, Needed.TEST


class Supply(Row):
    """The supply at the origin, one row a job."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True, example="EXAMPLE-1")] = None
    operator: Annotated[str | None, Field("Network operator", defaults=True, example="Example Networks (invented)")] = (
        None
    )
    operator_emergency: Annotated[
        str | None,
        Field(
            "Operator's emergency number",
            note="For power cuts and dangers on the supply; 105 in Great Britain (common practice).",
            needed=DESIGN,
            defaults=True,
            example="105",
        ),
    ] = None
    supply_number: Annotated[str | None, Field("Supply number", private=True, example="00 0000 0000 000")] = None
    phases: Annotated[int | None, Field("Phases", hard=(1, 3), needed=DESIGN, defaults=True, example=1)] = None
    voltage: Annotated[
        Amount | None,
        Field(
            "Nominal voltage",
            "V",
            note="Line to neutral.",
            usual=(220, 240),
            hard=(100, 300),
            needed=DESIGN,
            defaults=True,
            example=230,
        ),
    ] = None
    frequency: Annotated[
        Amount | None, Field("Frequency", "Hz", hard=(45, 65), needed=DESIGN, defaults=True, example=50)
    ] = None
    voltage_l1: Annotated[
        Reading | None,
        Field("Measured voltage L1", "V", usual=(200, 260), hard=(0, 500), allows=LIMITED, needed=TEST, example=236),
    ] = None
    voltage_l2: Annotated[
        Reading | None, Field("Measured voltage L2", "V", usual=(200, 260), hard=(0, 500), allows=LIMITED)
    ] = None
    voltage_l3: Annotated[
        Reading | None, Field("Measured voltage L3", "V", usual=(200, 260), hard=(0, 500), allows=LIMITED)
    ] = None
    polarity: Annotated[Confirmed | None, Field("Supply polarity", needed=TEST, example="confirmed")] = None
    earthing_system: Annotated[
        EarthingSystem | None, Field("Earthing system", needed=DESIGN, defaults=True, example="TN-C-S")
    ] = None
    tn_s_confirmed: Annotated[YesNo | None, Field("TN-S confirmed by the operator", note="Only for TN-S.")] = None
    ze: Annotated[
        Reading | None,
        Field(
            "Ze",
            "Ω",
            note="Before the visit: the largest value that the operator declares.",
            usual=(0.02, 250),
            hard=(0, 2000),
            allows=UNDER,
            needed=DESIGN,
            decimals=2,
            example=0.24,
        ),
    ] = None
    ze_by: Annotated[ByWhat | None, Field("Ze found", needed=DESIGN, example="measured")] = None
    ze_date: Annotated[date | None, Field("Ze date", example="10/11/2026")] = None
    fault_current: Annotated[
        Reading | None,
        Field(
            "Prospective fault current, line to neutral",
            "kA",
            usual=(0.1, 16),
            hard=(0, 80),
            allows=UNDER,
            needed=DESIGN,
            decimals=2,
            example=1.02,
        ),
    ] = None
    fault_current_le: Annotated[
        Reading | None,
        Field(
            "Prospective fault current, line to earth",
            "kA",
            note="N/A on TT.",
            usual=(0.1, 16),
            hard=(0, 80),
            allows=UNDER,
            needed=TEST,
            decimals=2,
            example=0.96,
        ),
    ] = None
    fault_current_ll: Annotated[
        Reading | None,
        Field("Prospective fault current, line to line", "kA", usual=(0.1, 20), hard=(0, 80), allows=UNDER, decimals=2),
    ] = None
    fault_current_3ph: Annotated[
        Reading | None,
        Field("Prospective fault current, three-phase", "kA", usual=(0.1, 25), hard=(0, 100), allows=UNDER, decimals=2),
    ] = None
    fault_current_by: Annotated[ByWhat | None, Field("Fault current found", needed=DESIGN, example="measured")] = None
    instrument: Annotated[
        str | None,
        Field(
            "Instrument",
            note="For Ze, fault current and voltage at the intake.",
            refers="Instruments",
            needed=TEST,
            defaults=True,
            example="T1",
        ),
    ] = None
    cutout_standard: Annotated[
        DeviceStandard | None, Field("Cut-out standard", needed=DESIGN, defaults=True, example="BS 88-3")
    ] = None
    cutout_type: Annotated[
        DeviceType | None, Field("Cut-out fuse type", note="As marked on the fuse.", defaults=True, example="gG")
    ] = None
    cutout_rating: Annotated[
        Amount | None, Field("Cut-out rating", "A", usual=(40, 400), hard=(5, 2000), needed=DESIGN, example=100)
    ] = None
    cutout_status: Annotated[CutOutStatus | None, Field("Cut-out rating is", needed=DESIGN, example="confirmed")] = None
    looped: Annotated[YesNoUnknown | None, Field("Looped supply", needed=DESIGN, example="no")] = None
    tails_size: Annotated[
        Amount | None, Field("Tails", "mm²", usual=(10, 120), hard=(1, 400), needed=TEST, example=25)
    ] = None
    tails_length: Annotated[
        Amount | None, Field("Length of the tails", "m", usual=(0.2, 5), hard=(0, 50), example=1.5)
    ] = None
    neutral_size: Annotated[
        Amount | None,
        Field(
            "Supply neutral",
            "mm²",
            note="Copper equivalent; decides the bonding on TN-C-S.",
            usual=(6, 240),
            hard=(1, 630),
            example=25,
        ),
    ] = None
    meter: Annotated[str | None, Field("Meter number", private=True)] = None
    meter_rating: Annotated[Amount | None, Field("Meter rating", "A", hard=(5, 2000), example=100)] = None
    intake_place: Annotated[str | None, Field("Where the intake is", needed=TEST, example="Hall cupboard")] = None
    isolator: Annotated[YesNo | None, Field("Isolator before the board", example="yes")] = None
    earthing_conductor: Annotated[
        Amount | None, Field("Earthing conductor", "mm²", usual=(6, 50), hard=(1, 240), needed=TEST, example=16)
    ] = None
    earthing_material: Annotated[
        Material | None, Field("Earthing conductor material", needed=TEST, defaults=True, example="copper")
    ] = None
    earthing_connected: Annotated[
        Confirmed | None,
        Field(
            "Earthing conductor connected",
            note="Connection seen, tight, and continuity verified.",
            needed=TEST,
            example="confirmed",
        ),
    ] = None
    bonding_size: Annotated[
        Amount | None, Field("Main bonding", "mm²", usual=(6, 50), hard=(1, 240), needed=TEST, example=10)
    ] = None
    bonding_material: Annotated[Material | None, Field("Bonding material", defaults=True, example="copper")] = None
    bonding_to: Annotated[
        str | None, Field("Bonded to", note="E.g. water, gas; or none present.", needed=TEST, example="water, gas")
    ] = None
    bonding_continuity: Annotated[
        Reading | None,
        Field("Bonding continuity", "Ω", usual=(0, 0.5), hard=(0, 100), allows=UNDER, decimals=2, example=0.04),
    ] = None
    demand_l1: Annotated[
        Amount | None,
        Field(
            "Demand before, L1",
            "A",
            note="Largest demand of the site without the new points.",
            hard=(0, 2000),
            needed=DESIGN,
            example=38,
        ),
    ] = None
    demand_l2: Annotated[Amount | None, Field("Demand before, L2", "A", hard=(0, 2000))] = None
    demand_l3: Annotated[Amount | None, Field("Demand before, L3", "A", hard=(0, 2000))] = None
    demand_by: Annotated[
        DemandMethod | None, Field("Demand found by", defaults=True, example="calculated with diversity")
    ] = None
    agreed_capacity: Annotated[
        Amount | None, Field("Agreed capacity per phase", "A", hard=(5, 4000), note="Where one is agreed.")
    ] = None
    operator_consent: Annotated[
        Consent | None, Field("Operator's consent", note="Where the operator must be asked first.")
    ] = None
    consent_reference: Annotated[str | None, Field("Reference of the consent")] = None
    surge: Annotated[SurgeProtection | None, Field("Surge protection", needed=DESIGN, example="fitted")] = None
    surge_by: Annotated[str | None, Field("Surge decision by", note="Who decided and when, if omitted.")] = None
    arc_fault: Annotated[
        ArcFaultDetection | None,
        Field("Arc-fault detection", note="The decision, where the premises ask for one: flats and the like."),
    ] = None
    arc_fault_by: Annotated[str | None, Field("Arc-fault decision by", note="Who decided and when, if omitted.")] = None
    operator_email: Annotated[
        str | None,
        Field(
            "Operator's e-mail",
            note="Where the network operator wants to be told of a connection.",
            defaults=True,
            example="connections@example.com",
        ),
    ] = None


class OtherSource(Row):
    """A source besides the public supply."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True)] = None
    source: Annotated[SourceKind | None, Field("Source", needed=DESIGN, key=True, example="solar")] = None
    rating: Annotated[Amount | None, Field("Rating", "kW", hard=(0, 2000), needed=DESIGN, decimals=1, example=3.6)] = (
        None
    )
    phases: Annotated[int | None, Field("Phases", hard=(1, 3), needed=DESIGN, example=1)] = None
    board: Annotated[str | None, Field("Connected to board", needed=DESIGN, example="MAIN")] = None
    consent: Annotated[Consent | None, Field("Consent", example="given")] = None
    island_mode: Annotated[YesNo | None, Field("Runs without the grid", needed=DESIGN, example="no")] = None
    isolator_place: Annotated[
        str | None, Field("Where it is isolated", needed=TEST, example="Loft, beside the inverter")
    ] = None
    notices_fitted: Annotated[YesNo | None, Field("Two-supply notices fitted", needed=TEST, example="yes")] = None


class Electrode(Row):
    """An earth electrode: for the whole installation, or for one board or circuit (a TT island)."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True)] = None
    board: Annotated[str | None, Field("Board", note="Blank: the whole installation.", key=True)] = None
    circuit: Annotated[str | None, Field("Circuit", note="Blank: the whole board.", key=True)] = None
    electrode: Annotated[ElectrodeKind | None, Field("Kind", needed=DESIGN, example="rod")] = None
    place: Annotated[str | None, Field("Where it is", needed=TEST, example="Flower bed beside the garage")] = None
    resistance: Annotated[
        Reading | None,
        Field(
            "R_A",
            "Ω",
            note="Resistance of the electrode and its conductor.",
            usual=(1, 200),
            hard=(0, 5000),
            allows=LIMITED,
            needed=TEST,
            decimals=1,
            example=68.5,
        ),
    ] = None
    expected: Annotated[
        Amount | None, Field("Expected R_A", "Ω", note="Designer's estimate.", hard=(0, 5000), example=80)
    ] = None
    rod_length: Annotated[
        Amount | None, Field("Driven length of the rod", "m", note="For an estimate.", hard=(0.3, 30), decimals=1)
    ] = None
    rod_diameter: Annotated[Amount | None, Field("Diameter of the rod", "mm", hard=(5, 100))] = None
    soil: Annotated[
        Amount | None,
        Field("Resistivity of the soil", "Ω·m", note="Measured, or usual for such ground.", hard=(1, 10000)),
    ] = None
    conductor_size: Annotated[
        Amount | None,
        Field(
            "Conductor to the electrode",
            "mm²",
            note="Copper. Blank for the whole installation: the earthing conductor of the sheet Supplies.",
            usual=(2.5, 50),
            hard=(1, 240),
            example=16,
        ),
    ] = None
    conductor_run: Annotated[
        EarthRun | None,
        Field("That conductor lies", needed=TEST, example="buried, protected against corrosion only"),
    ] = None
    measured_on: Annotated[date | None, Field("Measured on")] = None
    instrument: Annotated[str | None, Field("Instrument", refers="Instruments")] = None
    supply_earth_stops: Annotated[
        str | None, Field("Supply's protective conductor stops", note="For a TT island: where.")
    ] = None
    armour_isolated: Annotated[YesNo | None, Field("Armour isolated at the far end", note="For a TT island.")] = None
    separation: Annotated[
        Amount | None, Field("Separation from metalwork on the supply's earth", "m", hard=(0, 100), decimals=1)
    ] = None


class LoadManagement(Row):
    """A scheme that keeps the current of several points, or of one point and the house, below a limit."""

    job: Annotated[str | None, Field("Job", refers="Jobs", needed=DESIGN, key=True)] = None
    scheme: Annotated[str | None, Field("Scheme", needed=DESIGN, key=True, example="LM1")] = None
    board: Annotated[str | None, Field("Measures at board", note="Blank: at the intake.")] = None
    group_limit: Annotated[
        Amount | None, Field("Limit of the group per phase", "A", hard=(1, 4000), needed=DESIGN, example=80)
    ] = None
    fallback: Annotated[
        Amount | None,
        Field(
            "On loss of signal, per point and phase",
            "A",
            note="Current that each point falls back to.",
            hard=(0, 400),
            needed=DESIGN,
            example=6,
        ),
    ] = None
    sensor_place: Annotated[str | None, Field("Where the sensor is", needed=TEST)] = None
    sensor_checked: Annotated[YesNo | None, Field("Sensor direction checked", needed=TEST)] = None
    changed_by: Annotated[str | None, Field("Who can change it", needed=DESIGN)] = None
    tested_points: Annotated[int | None, Field("Points charging in the test", hard=(0, 500), needed=TEST)] = None
    limit_held: Annotated[YesNo | None, Field("Limit held in the test", needed=TEST)] = None
    fallback_held: Annotated[YesNo | None, Field("Fallback held in the test", needed=TEST)] = None
