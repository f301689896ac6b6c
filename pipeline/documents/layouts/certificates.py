"""The two certificates: what was connected, who answers for it, where the electricity comes from, what was there.

Content after IEC 60364-6:2016, 6.4.4 (report on initial verification; contents from memory) and the duties of the
national standard; order and wording follow the work.
"""

from pipeline.documents.blocks import EACH, Column, Each, Grid, Heading, Pairs, Signatures, Text, When
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
        "voltage_lines",
        "frequency",
        "voltage_l1",
        "voltage_l2",
        "voltage_l3",
        "looped",
        "cutout_standard",
        "cutout_rating",
        "cutout_status",
        "fault_current",
        "fault_current_ll",
        "fault_current_3ph",
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
EARTHING = Pairs(
    "supply",
    (
        "earthing_system",
        "tn_s_confirmed",
        "ze",
        "ze_by",
        "ze_date",
        "earthing_conductor",
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
BEFORE = Pairs("job", ("existing_adequate", "existing", "defects", "defects_danger", "defects_told"))
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
    Heading("certificate.answers"),
    Text("certificate.answers_text"),
    Signatures("signing", SIGNING),
    Text("certificate.ink"),
    Pairs("firm", ("name", "address", "registered")),
)
DATES = Pairs("job", ("surveyed", "designed", "worked", "dead_tested", "energised", "live_tested"), columns=2)
PAPERS = (
    Heading("certificate.papers", level=3),
    Pairs("certificate", ("edition", "statement", "edition_sum", "as_of", "record_sum", "register_sum")),
)

INSTALLATION = Layout(
    "installation-certificate",
    (
        Pairs("certificate", ("number", "revision", "issued", "status", "replaces", "reason"), columns=2),
        Text("page.blank"),
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
        Heading("certificate.outcome"),
        Text("certificate.outcome_text"),
        Pairs("outcome", ("passes", "notes", "queries", "fails", "not_assessed", "not_applicable"), columns=2),
        DATES,
        *PAPERS,
        *ANSWERS,
        Heading("certificate.supply"),
        SUPPLY,
        Heading("certificate.sources", level=3),
        SOURCES,
        Heading("certificate.demand", level=3),
        Pairs(
            "supply",
            (
                "demand_l1",
                "demand_l2",
                "demand_l3",
                "demand_by",
                "agreed_capacity",
                "operator_consent",
                "consent_reference",
            ),
            columns=2,
        ),
        Heading("certificate.earthing"),
        EARTHING,
        Heading("certificate.electrodes", level=3),
        ELECTRODES,
        When("electrodes", (ISLANDS,)),
        Heading("certificate.boards"),
        Grid(
            "boards",
            (
                Column("board", 24),
                Column("fed_from", 26),
                Column("main_switch_rating", 26),
                Column("main_switch_poles", 26),
                Column("upstream_rcd", 44),
                Column("earthing", 28),
            ),
        ),
        Pairs("supply", ("surge", "surge_by"), columns=2),
        Heading("certificate.before"),
        BEFORE,
        Heading("certificate.next"),
        Pairs("job", ("next_inspection", "next_reason")),
        Text("certificate.next_text"),
        Heading("certificate.attached"),
        Text("certificate.attached_text"),
        ATTACHED,
        Text("certificate.caution"),
    ),
    needs="installation_works",
)

MINOR_WORKS = Layout(
    "minor-works-certificate",
    (
        Pairs("certificate", ("number", "revision", "issued", "status", "replaces", "reason"), columns=2),
        Text("page.blank"),
        Heading("minor.changed"),
        Pairs("job", ("client", "client_at", "site", "occupier", "extent", "points_named", "limitations")),
        Pairs("job", ("work", "premises", "charging", "nation"), columns=2),
        DATES,
        Heading("minor.supply"),
        Pairs(
            "supply",
            (
                "earthing_system",
                "ze",
                "phases",
                "voltage",
                "cutout_standard",
                "cutout_rating",
                "fault_current",
                "earthing_conductor",
                "bonding_size",
                "bonding_to",
            ),
            columns=2,
        ),
        Heading("minor.comments", level=3),
        BEFORE,
        Each(
            "circuits",
            "heading",
            (
                Pairs(
                    EACH,
                    (
                        "serves",
                        "earthing",
                        "cable",
                        "live_size",
                        "cpc",
                        "cpc_size",
                        "method",
                        "length",
                        "device",
                        "device_type",
                        "device_rating",
                        "breaking_capacity",
                        "rcd_standard",
                        "rcd_type",
                        "rcd_rating",
                        "rcd_poles",
                    ),
                    columns=2,
                ),
                Grid(
                    "results",
                    (
                        Column("r1_r2", 16),
                        Column("r2", 14),
                        Column("insulation_voltage", 20),
                        Column("insulation_ll", 20),
                        Column("insulation_le", 20),
                        Column("polarity", 22),
                        Column("zs", 14),
                        Column("zs_permitted", 20),
                        Column("rcd_time", 28),
                    ),
                    within=("board", "circuit"),
                ),
            ),
        ),
        Heading("certificate.outcome"),
        Text("certificate.outcome_text"),
        *PAPERS,
        *ANSWERS,
        Heading("certificate.next"),
        Pairs("job", ("next_inspection", "next_reason")),
        Heading("certificate.attached"),
        Text("certificate.attached_text"),
        ATTACHED,
        Text("certificate.caution"),
    ),
    needs="minor_works",
)
