"""The site sheet: what the electrician carries to a visit and writes the readings on."""

from pipeline.documents.blocks import EACH, Column, Each, Grid, Heading, Pairs, Steps, Text, When
from pipeline.documents.layouts.layout import Layout

BOX = 13
"""Height in millimetres of a box to write into: a gloved hand needs 12, and printers shrink (common practice)."""

SITE_SHEET = Layout(
    "site-sheet",
    (
        Pairs("job", ("job", "site")),
        Text("visit.caution_who", bullet=True),
        Text("visit.caution_sources", bullet=True),
        Text("visit.caution_live", bullet=True),
        Text("visit.caution_earthing", bullet=True),
        Text("visit.caution_signs", bullet=True),
        Text("visit.caution_judgement", bullet=True),
        Heading("visit.isolate"),
        Steps(
            (
                "visit.step_agree",
                "visit.step_identify",
                "visit.step_tester",
                "visit.step_off",
                "visit.step_lock",
                "visit.step_dead",
                "visit.step_again",
                "visit.step_vehicle",
            ),
            BOX,
        ),
        Heading("visit.drilling"),
        When("asbestos_present", (Heading("visit.asbestos_present"),)),
        When("asbestos_unknown", (Heading("visit.asbestos_unknown"),)),
        When("services_unknown", (Text("visit.services_unknown"),)),
        Text("visit.drilling_text"),
        Pairs("job", ("asbestos", "built", "buried_services")),
        Heading("visit.place"),
        Pairs("job", ("client", "client_telephone", "occupier", "access", "may_isolate", "extent")),
        Pairs("supply", ("operator", "operator_emergency", "intake_place")),
        Pairs("firm", ("name", "telephone", "emergency")),
        When("notify_first", (Text("visit.notify_first"),)),
        Heading("visit.load"),
        Grid("loads", (Column("thing", 92), Column("purpose", 52), Column("loaded", 30, box=True)), height=BOX),
        Heading("visit.decisions"),
        Text("visit.decisions_text"),
        Grid(
            "decisions",
            (Column("decision", 70), Column("designed", 54), Column("as_found", 50, box=True)),
            height=BOX,
        ),
        Heading("visit.mount"),
        Each(
            "visit_points",
            "heading",
            (
                Pairs(
                    EACH,
                    (
                        "designation",
                        "instructions",
                        "place",
                        "reach_to",
                        "charging_cable",
                        "height_range",
                        "mass",
                        "conductors",
                        "stripping",
                        "torque_asked",
                        "entry",
                        "upstream_asked",
                        "current_limit",
                    ),
                ),
                Text("visit.reach"),
                Grid(
                    "visit_fixings",
                    (
                        Column("place", 46),
                        Column("count", 24),
                        Column("screw", 24),
                        Column("plug", 24),
                        Column("drill", 30),
                        Column("proud", 26),
                    ),
                    within=("model",),
                    empty="visit.no_fixings",
                    kept=True,
                ),
            ),
            level=3,
        ),
        Heading("visit.readings", new_page=True),
        Text("visit.readings_order", bullet=True),
        Text("visit.readings_dead", bullet=True),
        Text("visit.readings_energise", bullet=True),
        Text("visit.readings_limit", bullet=True),
        Text("visit.readings_write", bullet=True),
        Each(
            "asked_rows",
            "heading",
            (
                Grid(
                    "asked",
                    (
                        Column("column", 52),
                        Column("how", 14),
                        Column("expected", 34),
                        Column("limit", 34),
                        Column("entered", 40, box=True),
                    ),
                    within=("place",),
                    height=BOX,
                ),
            ),
            level=3,
        ),
        Heading("visit.photos"),
        Grid("wanted_photos", (Column("shows", 134), Column("taken", 40, box=True)), height=BOX),
    ),
    large=True,
)
