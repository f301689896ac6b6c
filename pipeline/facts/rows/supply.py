"""Where the electricity comes from: the intake and its earthing."""

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
    Function,
    Material,
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
            able=frozenset({Function.LOOP, Function.FAULT_CURRENT}),
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
