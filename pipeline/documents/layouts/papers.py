"""The papers behind the certificate: calculations, notices, notifications, photos, pictures."""

from pipeline.documents.blocks import (
    EACH,
    RECORD_CODE,
    Column,
    Each,
    Grid,
    Heading,
    Notice,
    Pairs,
    Photo,
    Picture,
    Text,
    When,
)
from pipeline.documents.layouts.layout import Layout

_SAID = (Column("check", 52), Column("message", 68), Column("subject", 80))

CALCULATIONS = Layout(
    "calculations",
    (
        Text("calculations.intro"),
        Text("calculations.caution"),
        Pairs("certificate", ("edition", "statement", "as_of")),
        Pairs("outcome", ("passes", "notes", "queries", "fails", "not_assessed", "not_applicable"), columns=3),
        When(
            "queries",
            (
                Heading("calculations.queries"),
                Grid(
                    "queries",
                    (
                        Column("verdict", 20),
                        Column("subject", 34),
                        Column("message", 78),
                        Column("found", 38),
                        Column("expected", 38),
                        Column("remedy", 53),
                    ),
                ),
            ),
        ),
        When(
            "answers",
            (
                Heading("calculations.answers"),
                Text("calculations.answers_text"),
                Grid(
                    "answers",
                    (
                        Column("question", 100),
                        Column("reason", 77),
                        Column("who", 30),
                        Column("role", 30),
                        Column("day", 24),
                    ),
                ),
            ),
        ),
        Heading("calculations.notes"),
        Grid(
            "notes",
            (
                Column("message", 81),
                Column("subject", 50),
                Column("found", 40),
                Column("expected", 40),
                Column("reference", 50),
            ),
        ),
        When(
            "figure_notes",
            (
                Text("calculations.figure_notes"),
                Grid("figure_notes", (Column("message", 101), Column("subject", 100), Column("reference", 60))),
            ),
        ),
        Heading("calculations.not_assessed"),
        Text("calculations.not_assessed_text"),
        Grid("not_assessed", (*_SAID, Column("remedy", 61))),
        Heading("calculations.figures"),
        Text("calculations.figures_text"),
        Grid(
            "relations",
            (Column("relation", 12), Column("check", 70), Column("symbols", 109), Column("reference", 70)),
        ),
        Grid(
            "calculations",
            (
                Column("subject", 34),
                Column("relation", 12),
                Column("check", 42),
                Column("numbers", 66),
                Column("result", 20),
                Column("limit", 35),
                Column("margin", 15),
                Column("verdict", 15),
                Column("confidence", 22),
            ),
        ),
        Heading("calculations.plain"),
        Grid("plain_checks", (*_SAID, Column("reference", 61))),
        Heading("calculations.not_applicable"),
        Grid("not_applicable", (*_SAID, Column("reference", 61))),
    ),
    landscape=True,
)

NOTICES = Layout(
    "notices",
    (
        Text("notices.intro"),
        Each(
            "points",
            "heading",
            (
                Notice(
                    ("notices.isolate", "notices.isolate_way", "notices.isolate_others", "notices.isolate_prove"),
                    "disconnect",
                    150,
                    63,
                    "notices.at_point",
                ),
                Notice(
                    (
                        "notices.identity",
                        "notices.identity_facts",
                        "notices.certificate",
                        "notices.call",
                        "notices.identity_code",
                    ),
                    RECORD_CODE,
                    150,
                    61,
                    "notices.at_point",
                ),
                Notice(
                    ("notices.way", "notices.way_serves", "notices.isolate_others"),
                    "disconnect",
                    150,
                    48,
                    "notices.at_way",
                ),
            ),
        ),
        Heading("notices.board", new_page=True),
        Notice(
            ("notices.button", "notices.button_text", "notices.button_fails"),
            "read instructions",
            150,
            45,
            "notices.at_rcd",
        ),
        Notice(
            ("notices.next", "notices.certificate", "notices.call"), "read instructions", 150, 40, "notices.at_board"
        ),
        Notice(("notices.earth", "notices.earth_text"), "protective earth", 150, 40, "notices.at_earth"),
        Each(
            "main_electrodes",
            "place",
            (
                Notice(
                    ("notices.electrode", "notices.electrode_text"), "protective earth", 150, 40, "notices.at_electrode"
                ),
            ),
            level=3,
        ),
        When(
            "island_places",
            (
                Heading("notices.islands"),
                Each(
                    "island_places",
                    "place",
                    (
                        Notice(
                            ("notices.island", "notices.island_text", "notices.call"),
                            "protective earth",
                            150,
                            45,
                            "notices.at_place",
                        ),
                    ),
                    level=3,
                ),
            ),
        ),
        When(
            "source_places",
            (
                Heading("notices.sources_places"),
                Each(
                    "source_places",
                    "place",
                    (
                        Notice(
                            ("notices.sources", "notices.sources_named", "notices.sources_text"),
                            "warning",
                            150,
                            50,
                            "notices.at_place",
                        ),
                    ),
                    level=3,
                ),
            ),
        ),
    ),
    needs="points",
)

NOTIFICATIONS = Layout(
    "notifications",
    (
        Text("notifications.intro"),
        Heading("notifications.duties"),
        Heading("notifications.operator", level=3),
        Grid(
            "operator_notices",
            (Column("message", 34), Column("sender", 36), Column("remedy", 36), Column("reference", 68)),
            empty="notifications.none",
        ),
        Heading("notifications.building", level=3),
        Grid(
            "building_notices",
            (Column("message", 34), Column("sender", 36), Column("remedy", 36), Column("reference", 68)),
            empty="notifications.none",
        ),
        When("through_registration", (Text("notifications.registration"),)),
        When("in_scotland", (Text("notifications.scotland"),)),
        When("in_northern_ireland", (Text("notifications.northern_ireland"),)),
        Heading("notifications.place"),
        Pairs("job", ("site",)),
        Pairs("job", ("client", "premises", "client_email", "nation", "client_telephone"), columns=2),
        Heading("notifications.supply"),
        Pairs(
            "supply",
            (
                "operator",
                "supply_number",
                "meter",
                "intake_place",
                "phases",
                "voltage",
                "cutout_standard",
                "cutout_rating",
                "cutout_status",
                "looped",
                "earthing_system",
                "ze",
                "demand_l1",
                "demand_by",
            ),
            columns=2,
        ),
        When("several_phases", (Pairs("supply", ("demand_l2", "demand_l3"), columns=2),)),
        Pairs("supply", ("demand_after",)),
        Pairs("supply", ("agreed_capacity", "operator_consent", "consent_reference"), columns=2),
        Heading("notifications.load", new_page=True),
        Grid(
            "points",
            (
                Column("point", 17),
                Column("made_by", 34),
                Column("serial", 26),
                Column("phases", 17),
                Column("rated_power", 19),
                Column("rated_current", 20),
                Column("current_limit", 18),
                Column("scheme", 23),
            ),
        ),
        When(
            "points_temporary",
            (
                Grid(
                    "points_temporary",
                    (Column("point", 30), Column("limit_in_force", 40), Column("temporary_reason", 104)),
                ),
            ),
        ),
        When("sources", (Grid("sources", (Column("source", 40), Column("rating", 40), Column("consent", 94))),)),
        Heading("notifications.work"),
        Pairs("job", ("extent", "work")),
        Pairs("job", ("worked", "energised"), columns=2),
        Pairs("certificate", ("name", "issued"), columns=2),
        Pairs("firm", ("name", "address", "registered")),
        Pairs("firm", ("telephone", "email", "self_certifies"), columns=2),
    ),
)

PHOTOS = Layout(
    "photos",
    (
        Text("photos.intro"),
        Each("photos", "caption", (Photo(), Pairs(EACH, ("shows", "taken", "file", "sum")))),
    ),
    needs="photos",
)

PICTURES = Layout(
    "pictures",
    (Picture("single_line_diagram"), Picture("margin_chart")),
    landscape=True,
)
