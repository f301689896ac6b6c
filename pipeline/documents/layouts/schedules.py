"""The schedules: inspections, and circuits with their test results."""

from pipeline.documents.blocks import EACH, Column, Each, Grid, Heading, Pairs, Text, When
from pipeline.documents.layouts.layout import Layout

INSPECTIONS = Layout(
    "inspections",
    (
        Text("inspections.intro"),
        Grid(
            "aspects",
            (
                Column("part", 26),
                Column("aspect", 56),
                Column("clause", 36),
                Column("outcome", 22),
                Column("remark", 34),
            ),
        ),
        Heading("inspections.limits"),
        Pairs("job", ("extent", "limitations", "departures", "departures_reason")),
        Heading("inspections.by"),
        Grid(
            "signing",
            (Column("role", 58), Column("name", 46), Column("qualification", 40), Column("registration", 30)),
        ),
    ),
)

_CABLE = Grid(
    "circuits",
    (
        Column("circuit", 15),
        Column("description", 30),
        Column("serves", 18),
        Column("new", 16),
        Column("phases", 16),
        Column("cable", 28),
        Column("insulation", 20),
        Column("live_size", 20),
        Column("cpc", 26),
        Column("cpc_size", 20),
        Column("method", 20),
        Column("length", 14),
        Column("length_by", 18),
    ),
    within=("board",),
)
_ROUTE = Grid(
    "circuits",
    (
        Column("circuit", 16),
        Column("grouped", 18),
        Column("grouping", 26),
        Column("ambient", 24),
        Column("insulation_run", 22),
        Column("burial_depth", 18),
        Column("terminal_rating", 20),
        Column("parallel_path", 18),
        Column("earthing", 19),
        Column("rcd_for_fault", 20),
        Column("switch_rating", 22),
        Column("soil", 20),
        Column("directions", 18),
    ),
    within=("board",),
)
_PROTECTION = Grid(
    "circuits",
    (
        Column("circuit", 15),
        Column("device", 25),
        Column("device_type", 15),
        Column("device_rating", 20),
        Column("device_poles", 16),
        Column("breaking_capacity", 20),
        Column("rcd_standard", 26),
        Column("rcd_type", 22),
        Column("rcd_rating", 16),
        Column("rcd_delay", 17),
        Column("rcd_poles", 18),
        Column("feeds", 51),
    ),
    within=("board",),
)
_ENERGY = When(
    "energies",
    (
        Grid(
            "circuits",
            (
                Column("circuit", 41),
                Column("let_through", 50),
                Column("let_through_own", 50),
                Column("let_through_source", 120),
            ),
            within=("board",),
        ),
    ),
)
_DEAD = Grid(
    "results",
    (
        Column("circuit", 16),
        Column("attempt", 17),
        Column("r1_r2", 18),
        Column("r2", 16),
        Column("insulation_voltage", 20),
        Column("insulation_ll", 20),
        Column("insulation_le", 20),
        Column("point_connected", 21),
        Column("polarity", 20),
        Column("ambient", 24),
        Column("limitation_reason", 34),
        Column("remarks", 35),
    ),
    within=("board",),
    empty="circuits.no_results",
)
_RING = (Column("ring_r1", 73), Column("ring_rn", 73), Column("ring_r2", 74))
_RINGS = When("rings", (Grid("results", (Column("circuit", 41), *_RING), within=("board",)),))
_LIVE = Grid(
    "results",
    (
        Column("circuit", 16),
        Column("attempt", 17),
        Column("zs", 15),
        Column("zs_source", 22),
        Column("zs_permitted", 21),
        Column("rcd_time", 22),
        Column("rcd_time_180", 22),
        Column("rcd_time_5", 21),
        Column("rcd_half", 16),
        Column("rcd_button", 20),
        Column("sequence", 22),
        Column("instrument", 22),
        Column("second_instrument", 25),
    ),
    within=("board",),
    empty="circuits.no_results",
)
_EARLIER = (
    Grid(
        "earlier",
        (
            Column("name", 24),
            Column("attempt", 17),
            Column("r1_r2", 18),
            Column("r2", 16),
            Column("insulation_voltage", 20),
            Column("insulation_ll", 20),
            Column("insulation_le", 20),
            Column("point_connected", 21),
            Column("polarity", 20),
            Column("ambient", 24),
            Column("limitation_reason", 28),
            Column("remarks", 33),
        ),
    ),
    Grid(
        "earlier",
        (
            Column("name", 24),
            Column("attempt", 17),
            Column("zs", 20),
            Column("zs_source", 22),
            Column("rcd_time", 24),
            Column("rcd_time_180", 24),
            Column("rcd_time_5", 24),
            Column("rcd_half", 20),
            Column("rcd_button", 22),
            Column("sequence", 22),
            Column("instrument", 21),
            Column("second_instrument", 21),
        ),
    ),
    When("rings", (Grid("earlier", (Column("name", 41), *_RING)),)),
)

CIRCUITS = Layout(
    "circuits",
    (
        Text("circuits.intro"),
        Text("page.blank"),
        Pairs("job", ("tester_name", "dead_tested", "live_tested"), columns=3),
        Pairs("job", ("limitations",)),
        Heading("circuits.instruments"),
        Grid(
            "instruments",
            (
                Column("instrument", 24),
                Column("description", 45),
                Column("serial", 32),
                Column("functions", 64),
                Column("loop_method", 26),
                Column("certificate", 26),
                Column("calibrated", 22),
                Column("due", 22),
            ),
        ),
        Grid("instruments", (Column("instrument", 24), Column("accuracy", 237))),
        Each(
            "boards",
            "heading",
            (
                Pairs(
                    EACH,
                    (
                        "fed_from",
                        "phases",
                        "earthing",
                        "main_switch_rating",
                        "main_switch_poles",
                        "upstream_rcd",
                        "rcd_time",
                        "rcd_declaration",
                        "fault_current",
                        "board_zs",
                        "insulation",
                        "conditional_rating",
                        "conditional_source",
                        "mixed_makes",
                    ),
                    columns=3,
                ),
                Heading("circuits.cables", level=3),
                _CABLE,
                Heading("circuits.route", level=3),
                _ROUTE,
                Heading("circuits.protection", level=3),
                _PROTECTION,
                _ENERGY,
                Heading("circuits.dead", level=3),
                _DEAD,
                _RINGS,
                Heading("circuits.live", level=3),
                _LIVE,
            ),
            new_page=True,
        ),
        When("earlier", (Heading("circuits.earlier"), Text("circuits.earlier_text"), *_EARLIER)),
    ),
    landscape=True,
)
