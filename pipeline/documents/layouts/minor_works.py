"""The minor works certificate: one circuit that was there before, its protection and readings, and what was changed.

Content and duties as in `certificates`; the kind of work chooses between the two.
"""

from pipeline.documents.blocks import EACH, Column, Each, Grid, Heading, Pairs, Text
from pipeline.documents.layouts.certificates import ANSWERS, ATTACHED, BEFORE, DATES, LIMITED, PAPERS
from pipeline.documents.layouts.layout import Layout

MINOR_WORKS = Layout(
    "minor-works-certificate",
    (
        Pairs("certificate", ("number", "revision", "issued", "status", "replaces", "reason"), columns=2),
        Text("page.blank"),
        Text("certificate.caution"),
        Heading("minor.changed"),
        Pairs("job", ("client", "client_at", "site", "occupier", "extent", "points_named", "limitations")),
        LIMITED,
        Pairs("job", ("work", "premises", "charging", "nation"), columns=2),
        DATES,
        Heading("minor.supply"),
        Pairs(
            "supply",
            (
                "earthing_system",
                "ze",
                "instrument",
                "phases",
                "voltage",
                "polarity",
                "cutout_standard",
                "cutout_type",
                "cutout_rating",
                "fault_current",
                "fault_current_le",
                "earthing_conductor",
                "earthing_material",
                "earthing_connected",
                "bonding_size",
                "bonding_to",
            ),
            columns=2,
        ),
        Heading("minor.comments", level=3),
        *BEFORE,
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
                        Column("r1_r2", 24),
                        Column("r2", 22),
                        Column("insulation_voltage", 28),
                        Column("insulation_ll", 28),
                        Column("insulation_le", 28),
                        Column("point_connected", 24),
                        Column("polarity", 20),
                    ),
                    within=("board", "circuit"),
                    kept=True,
                ),
                Grid(
                    "results",
                    (
                        Column("zs", 18),
                        Column("zs_source", 24),
                        Column("zs_permitted", 24),
                        Column("rcd_time", 28),
                        Column("rcd_time_180", 28),
                        Column("rcd_button", 26),
                        Column("sequence", 26),
                    ),
                    within=("board", "circuit"),
                    kept=True,
                ),
            ),
        ),
        Heading("certificate.outcome"),
        Text("certificate.outcome_text"),
        Text("minor.safe"),
        *ANSWERS,
        Heading("certificate.next"),
        Pairs("job", ("next_inspection", "next_reason")),
        Heading("certificate.attached"),
        Text("certificate.attached_text"),
        ATTACHED,
        *PAPERS,
    ),
    needs="minor_works",
)
