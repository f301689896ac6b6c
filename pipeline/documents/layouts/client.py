"""What the client reads: cover, user instructions, the letter about defects, the notice of a held job."""

from pipeline.documents.blocks import EACH, Column, Each, Grid, Heading, Notice, Pairs, Signatures, Text, When
from pipeline.documents.layouts.layout import Layout

COVER = Layout(
    "cover",
    (
        Pairs("certificate", ("name", "issued", "status", "replaces"), columns=2),
        Heading("cover.done"),
        Pairs("job", ("site", "client", "extent", "points_named", "worked", "live_tested")),
        Heading("cover.outcome"),
        Text("cover.outcome_text"),
        When("notes", (Text("cover.notes_text"),)),
        When("not_assessed", (Text("cover.not_assessed_text"),)),
        Heading("cover.know"),
        Text("cover.know_use", bullet=True),
        Text("cover.know_button", bullet=True),
        Text("cover.know_next", bullet=True),
        Text("cover.know_danger", bullet=True),
        Text("cover.know_questions", bullet=True),
        When("defects", (Text("cover.know_defects", bullet=True),)),
        Heading("cover.firm"),
        Pairs("firm", ("name", "address", "telephone", "email", "registered", "complaints", "privacy")),
        Heading("cover.contents", new_page=True),
        Grid("contents", (Column("title", 138), Column("start", 18), Column("pages", 18)), kept=True),
        Heading("cover.keep"),
        Text("cover.keep_certificate", bullet=True),
        Text("cover.keep_instructions", bullet=True),
        Text("cover.keep_notices", bullet=True),
        Text("cover.keep_firm", bullet=True),
    ),
)

USER_INSTRUCTIONS = Layout(
    "user-instructions",
    (
        Text("use.intro"),
        Grid(
            "points",
            (
                Column("point", 22),
                Column("made_by", 48),
                Column("place", 40),
                Column("current_limit", 22),
                Column("isolator_place", 42),
            ),
        ),
        Each(
            "models",
            "heading",
            (
                Pairs(EACH, ("start_steps", "stop_steps")),
                Heading("use.indicator", level=3),
                Grid(
                    "indicators",
                    (Column("shows", 42), Column("means", 66), Column("action", 66)),
                    within=("model",),
                    empty="use.indicator_none",
                ),
            ),
        ),
        Heading("use.charging"),
        When("points_tethered", (Text("use.tethered", bullet=True),)),
        When("points_socket", (Text("use.socket", bullet=True),)),
        Text("use.no_extension", bullet=True),
        Text("use.no_adapter", bullet=True),
        Text("use.cable", bullet=True),
        When("points_with_hours", (Text("use.hours", bullet=True),)),
        When("points_managed", (Text("use.managed", bullet=True),)),
        When("points_with_link", (Text("use.link", bullet=True),)),
        When("points_temporary", (Text("use.temporary", bullet=True),)),
        Heading("use.button"),
        Text("use.button_when"),
        Text("use.button_board", bullet=True),
        Text("use.button_fails", bullet=True),
        Heading("use.off"),
        Text("use.off_switch", bullet=True),
        When("points_with_pen_device", (Text("use.off_pen", bullet=True),)),
        When("sources", (Text("use.off_sources", bullet=True),)),
        Heading("use.danger"),
        Text("use.danger_signs", bullet=True),
        Text("use.danger_leave", bullet=True),
        Text("use.danger_fire", bullet=True),
        Text("use.danger_open", bullet=True),
        Heading("use.call"),
        Pairs("firm", ("name", "telephone", "email", "emergency"), columns=2),
        Text("use.shown"),
    ),
)

DEFECTS_LETTER = Layout(
    "defects-letter",
    (
        Pairs("job", ("client", "client_at", "site")),
        Pairs("certificate", ("issued", "name"), columns=2),
        Text("defects.greeting"),
        Text("defects.seen"),
        Grid("defects", (Column("defect", 110), Column("danger", 24), Column("told", 40))),
        Pairs("job", ("existing_adequate", "existing")),
        Text("defects.not_ours"),
        Text("defects.advice"),
        When("dangers", (Text("defects.danger"),)),
        Text("defects.close"),
        Pairs("firm", ("name", "address", "telephone", "email")),
        Signatures(
            "releasing", (Column("role", 40), Column("name", 40), Column("signature", 62), Column("signed_on", 32))
        ),
    ),
    needs="defects",
)

DO_NOT_USE = Layout(
    "do-not-use",
    (
        Notice(("hold.ring", "hold.locked"), "do not use", 174, 50),
        Pairs("firm", ("name", "telephone", "emergency")),
        Pairs("job", ("job", "client", "site", "points_named")),
        Pairs("certificate", ("as_of", "record_sum")),
        Heading("hold.why"),
        Grid(
            "holding",
            (Column("verdict", 22), Column("subject", 32), Column("message", 64), Column("remedy", 56)),
        ),
        Heading("hold.until"),
        Text("hold.until_tested", bullet=True),
        Text("hold.until_pack", bullet=True),
        Text("hold.not_certificate", bullet=True),
    ),
)
