"""The papers behind the certificate: calculations, notices, notifications, photos, pictures."""

from pipeline.documents.blocks import (
    EACH,
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
                    ("notices.isolate", "notices.isolate_where", "notices.isolate_circuit", "notices.isolate_prove"),
                    "disconnect",
                    150,
                    45,
                ),
                Notice(
                    (
                        "notices.identity",
                        "notices.identity_facts",
                        "notices.certificate",
                        "notices.identity_call",
                    ),
                    "electricity",
                    150,
                    45,
                ),
            ),
        ),
        Heading("notices.board", new_page=True),
        Notice(("notices.button", "notices.button_text", "notices.button_fails"), "read instructions", 150, 45),
        Notice(("notices.next", "notices.certificate", "notices.next_firm"), "read instructions", 150, 40),
        When("sources", (Notice(("notices.sources", "notices.sources_text"), "warning", 150, 45),)),
        Notice(("notices.earth", "notices.earth_text"), "electricity", 150, 40),
        When(
            "sources",
            (
                Heading("notices.sources_places", level=3),
                Grid("sources", (Column("source", 44), Column("board", 50), Column("isolator_place", 80))),
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
            (Column("message", 50), Column("expected", 34), Column("remedy", 36), Column("reference", 54)),
            empty="notifications.none",
        ),
        Heading("notifications.building", level=3),
        Grid(
            "building_notices",
            (Column("message", 50), Column("expected", 34), Column("remedy", 36), Column("reference", 54)),
            empty="notifications.none",
        ),
        Heading("notifications.place"),
        Pairs("job", ("site", "client", "client_email", "client_telephone", "premises", "nation")),
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
                "demand_l2",
                "demand_l3",
                "demand_by",
                "agreed_capacity",
                "operator_consent",
                "consent_reference",
            ),
            columns=2,
        ),
        Heading("notifications.load"),
        Grid(
            "points",
            (
                Column("point", 22),
                Column("made_by", 44),
                Column("serial", 28),
                Column("rated_current", 26),
                Column("current_limit", 24),
                Column("scheme", 30),
            ),
        ),
        When("sources", (Grid("sources", (Column("source", 40), Column("rating", 40), Column("consent", 94))),)),
        Heading("notifications.work"),
        Pairs("job", ("extent", "work", "worked", "energised")),
        Pairs("certificate", ("name", "issued"), columns=2),
        Pairs(
            "firm",
            (
                "name",
                "address",
                "telephone",
                "email",
                "registration_body",
                "registration_number",
                "registration_covers",
                "self_certifies",
            ),
            columns=2,
        ),
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
