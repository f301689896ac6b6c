"""The installation certificate: what was connected, who answers for it, where the electricity comes from.

Content after IEC 60364-6:2016, 6.4.4 (report on initial verification; contents from memory) and the duties of the
national standard; order and wording follow the work.
"""

from pipeline.documents.blocks import Column, Grid, Heading, Pairs, Signatures, Text, When
from pipeline.documents.layouts.layout import Layout

SIGNING = (
    Column("role", 36),
    Column("name", 30),
    Column("qualification", 28),
    Column("registration", 22),
    Column("signature", 38),
    Column("signed_on", 20),
)
ATTACHED = Grid("attached", (Column("title", 138), Column("start", 18), Column("pages", 18)), kept=True)
SUPPLY = Pairs(
    "supply",
    (
        "operator",
        "supply_number",
        "intake_place",
        "wires",
        "phases",
        "voltage",
        "frequency",
        "voltage_l1",
        "polarity",
        "looped",
        "cutout_standard",
        "cutout_type",
        "cutout_rating",
        "cutout_status",
        "fault_current",
        "fault_current_le",
        "fault_current_by",
        "meter",
        "meter_rating",
        "isolator",
        "tails_size",
        "tails_length",
        "neutral_size",
    ),
    columns=2,
)
SUPPLY_PHASES = When(
    "several_phases",
    (
        Pairs(
            "supply",
            ("voltage_lines", "voltage_l2", "voltage_l3", "fault_current_ll", "fault_current_3ph"),
            columns=2,
        ),
    ),
)
DEMAND = (
    Pairs("supply", ("demand_l1", "demand_by"), columns=2),
    When("several_phases", (Pairs("supply", ("demand_l2", "demand_l3"), columns=2),)),
    Pairs("supply", ("demand_after",)),
    Pairs("supply", ("agreed_capacity", "operator_consent", "consent_reference"), columns=2),
)
EARTHING = Pairs(
    "supply",
    (
        "earthing_system",
        "tn_s_confirmed",
        "ze",
        "ze_by",
        "ze_date",
        "instrument",
        "earthing_conductor",
        "earthing_material",
        "earthing_connected",
        "bonding_size",
        "bonding_material",
        "bonding_to",
        "bonding_continuity",
    ),
    columns=2,
)
SOURCES = Grid(
    "sources",
    (
        Column("source", 22),
        Column("rating", 18),
        Column("phases", 16),
        Column("board", 26),
        Column("consent", 20),
        Column("island_mode", 20),
        Column("isolator_place", 30),
        Column("notices_fitted", 22),
    ),
    empty="certificate.no_sources",
)
ELECTRODES = Grid(
    "electrodes",
    (
        Column("serves", 30),
        Column("electrode", 20),
        Column("place", 36),
        Column("resistance", 18),
        Column("measured_on", 24),
        Column("supply_earth_stops", 46),
    ),
    empty="certificate.no_electrode",
)
CONDUCTORS = Grid(
    "electrodes",
    (
        Column("serves", 34),
        Column("conductor_size", 26),
        Column("conductor_run", 50),
        Column("rod_length", 22),
        Column("rod_diameter", 20),
        Column("soil", 22),
    ),
    empty="certificate.no_electrode",
)
LIMITED = When("limited", (Grid("limited", (Column("what", 60), Column("of", 40), Column("reason", 74))),))
BEFORE = (
    Pairs("job", ("existing_adequate", "existing", "defects")),
    Pairs("job", ("defects_danger", "defects_told"), columns=2),
)
ISLANDS = Grid(
    "electrodes",
    (
        Column("serves", 34),
        Column("armour_isolated", 34),
        Column("separation", 40),
        Column("expected", 30),
        Column("instrument", 36),
    ),
    empty="certificate.no_electrode",
)
ANSWERS = (
    Heading("certificate.departures", level=3),
    Pairs("job", ("departures", "departures_reason")),
    When(
        "answers",
        (
            Heading("certificate.accepted", level=3),
            Grid("answers", (Column("question", 78), Column("reason", 46), Column("who", 28), Column("day", 22))),
        ),
    ),
    Heading("certificate.answers"),
    When(
        "unconfirmed",
        (
            Text("certificate.settle"),
            Signatures("settling", (Column("matter", 108), Column("signature", 44), Column("signed_on", 22))),
        ),
    ),
    Text("certificate.answers_text"),
    Signatures("signing", SIGNING),
    When("is_final", (Text("certificate.ink"),)),
    When("is_draft", (Text("certificate.is_draft"),)),
    Pairs("firm", ("name", "address", "registered")),
)
DATES = Pairs("job", ("surveyed", "designed", "worked", "dead_tested", "energised", "live_tested"), columns=2)
PAPERS = (
    Heading("certificate.papers", level=3),
    Pairs("certificate", ("edition", "edition_sum", "as_of", "record_sum", "register_sum")),
)

INSTALLATION = Layout(
    "installation-certificate",
    (
        Pairs("certificate", ("number", "revision", "issued", "status", "replaces", "reason"), columns=2),
        Text("page.blank"),
        Text("certificate.caution"),
        Heading("certificate.connected"),
        Pairs("job", ("client", "client_at", "site", "occupier", "extent", "points_named")),
        Pairs("job", ("work", "premises", "charging", "nation", "circuits_total", "points_total"), columns=2),
        Grid(
            "new_circuits",
            (
                Column("name", 30),
                Column("description", 52),
                Column("serves", 36),
                Column("phases", 16),
                Column("device_rating", 20),
                Column("new", 20),
            ),
        ),
        Heading("certificate.ends", level=3),
        Pairs("job", ("limitations",)),
        LIMITED,
        Heading("certificate.outcome"),
        Text("certificate.outcome_text"),
        Pairs("outcome", ("passes", "notes", "queries", "fails", "not_assessed", "not_applicable"), columns=2),
        DATES,
        *ANSWERS,
        Heading("certificate.supply"),
        SUPPLY,
        SUPPLY_PHASES,
        Heading("certificate.sources", level=3),
        SOURCES,
        When("vehicle_feeds", (Text("certificate.vehicle"),)),
        Heading("certificate.demand", level=3),
        *DEMAND,
        Heading("certificate.earthing"),
        EARTHING,
        Heading("certificate.electrodes", level=3),
        ELECTRODES,
        When("electrodes", (CONDUCTORS, ISLANDS)),
        Heading("certificate.boards"),
        Grid(
            "boards",
            (
                Column("board", 20),
                Column("fed_from", 26),
                Column("main_switch_standard", 28),
                Column("main_switch_rating", 22),
                Column("main_switch_poles", 22),
                Column("upstream_rcd", 32),
                Column("earthing", 24),
            ),
        ),
        Pairs("supply", ("surge", "surge_by", "arc_fault", "arc_fault_by"), columns=2),
        Heading("certificate.before"),
        *BEFORE,
        Heading("certificate.next"),
        Pairs("job", ("next_inspection", "next_reason")),
        Text("certificate.next_text"),
        Heading("certificate.attached"),
        Text("certificate.attached_text"),
        ATTACHED,
        *PAPERS,
    ),
    needs="installation_works",
)
