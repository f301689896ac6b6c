"""What the client reads: cover, user instructions, the letter about defects, the notice of a held job."""

from pipeline.documents.blocks import EACH, Column, Each, Grid, Heading, Notice, Pairs, Picture, Signatures, Text, When
from pipeline.documents.layouts.layout import Layout

COVER = Layout(
    "cover",
    (
        Pairs("certificate", ("name", "issued", "status", "replaces"), columns=2),
        Heading("cover.done"),
        Pairs("job", ("site", "client", "extent", "points_named", "worked", "live_tested")),
        Heading("cover.outcome"),
        Text("cover.outcome_text"),
        When("deadlines", (Text("cover.deadlines_text"),)),
        When("notes_any", (Text("cover.notes_text"),)),
        When("not_assessed", (Text("cover.not_assessed_text"),)),
        Heading("cover.know"),
        Text("cover.know_use", bullet=True),
        Text("cover.know_button", bullet=True),
        Text("cover.know_next", bullet=True),
        Text("cover.know_danger", bullet=True),
        Text("cover.know_questions", bullet=True),
        When("defects", (Text("cover.know_defects", bullet=True),)),
        Heading("cover.firm"),
        Picture("logo"),
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
        Heading("use.call"),
        Pairs("firm", ("name", "telephone", "email", "emergency"), columns=2),
        Pairs("supply", ("operator", "operator_emergency")),
        Heading("use.points"),
        Grid(
            "points",
            (
                Column("point", 22),
                Column("made_by", 44),
                Column("place", 40),
                Column("current_limit", 22),
                Column("isolator_place", 46),
            ),
        ),
        Heading("use.danger"),
        Text("use.danger_signs", bullet=True),
        Text("use.danger_leave", bullet=True),
        When("points_over_pen", (Text("use.danger_pen", bullet=True),)),
        Text("use.danger_fire", bullet=True),
        Text("use.danger_flood", bullet=True),
        Text("use.danger_open", bullet=True),
        Heading("use.first"),
        Text("use.first_shown", bullet=True),
        Text("use.first_place", bullet=True),
        Text("use.first_signed", bullet=True),
        Heading("use.charging"),
        Text("use.before", bullet=True),
        When("points_tethered", (Text("use.tethered", bullet=True),)),
        When("points_socket", (Text("use.socket", bullet=True),)),
        Text("use.no_extension", bullet=True),
        Text("use.no_adapter", bullet=True),
        When("points_with_hours", (Text("use.hours", bullet=True),)),
        When("points_managed", (Text("use.managed", bullet=True),)),
        When("solar", (Text("use.solar", bullet=True),)),
        When("points_with_link", (Text("use.link", bullet=True),)),
        When("points_temporary", (Text("use.temporary", bullet=True),)),
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
                    kept=True,
                ),
            ),
        ),
        When("household", (Heading("use.off", new_page=True),)),
        When("managed_site", (Heading("use.off"),)),
        Text("use.off_switch", bullet=True),
        When("points_with_pen_device", (Text("use.off_pen", bullet=True),)),
        When("sources", (Text("use.off_sources", bullet=True),)),
        When("managed_site", (Heading("use.manager"), Text("use.manager_text"))),
        Heading("use.care"),
        Text("use.care_month", bullet=True),
        Text("use.care_clean", bullet=True),
        When("rcd_at_board", (Text("use.button_board", bullet=True),)),
        When("rcd_inside", (Text("use.button_inside", bullet=True),)),
        Text("use.button_fails", bullet=True),
        When("household", (Text("use.moving", bullet=True),)),
        When("public_site", (Text("use.public", bullet=True),)),
        When("managed_site", (Text("use.manager_papers", bullet=True),)),
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
        Text("hold.ring"),
        Each(
            "points",
            "heading",
            (
                Notice(
                    ("hold.do_not_use", "hold.point", "hold.danger", "hold.call"), "do not use", 174, 60, "hold.where"
                ),
            ),
        ),
        Text("hold.locked"),
        Pairs("firm", ("name", "telephone", "emergency")),
        Pairs("supply", ("operator", "operator_emergency")),
        Pairs("job", ("job", "client", "site", "points_named")),
        Pairs("certificate", ("as_of", "record_sum")),
        Heading("hold.why"),
        Text("hold.electrician"),
        Grid("holding", (Column("verdict", 22), Column("subject", 38), Column("message", 72), Column("found", 42))),
        Heading("hold.until"),
        Text("hold.until_tested", bullet=True),
        Text("hold.until_pack", bullet=True),
        Text("hold.not_certificate", bullet=True),
    ),
)
