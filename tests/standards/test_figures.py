"""Figures that documents give in their text rather than in a table, a second time; the clause stands in their lists."""

import pytest

from pipeline.facts.quantities import quantity
from pipeline.standards.table import FOLDER, figures

# name, figure and unit; the same in every document that gives it, unless a document stands before it
PUBLISHED = """
c_min 0.95
iec_60364_4_41_2005/c_min 1
loop_share 0.8
iec_60364_6_2016/loop_share 0.6666666666666667
touch_voltage 50 V
electrode_stable 200 Ω
rcd_multiple 5
distribution_time_tn 5 s
distribution_time_tt 1 s
final_fixed_rating 32 A
final_socket_rating 63 A
fuse_factor 0.725
buried_factor 0.9
drop_limit 5 %
drop_limit_private 8 %
drop_free_length 100 m
drop_per_metre 0.005 %
drop_extra_cap 0.5 %
drop_resistivity 0.0225 Ω·mm²/m
drop_reactance 0.08 mΩ/m
power_factor 1
bonding_share 0.5
bonding_least 6 mm²
bonding_most 25 mm²
separate_protected 2.5 mm²
separate_unprotected 4 mm²
point_rcd 30 mA
dc_detection 6 mA
open_pen_touch_voltage 70 V
open_pen_lowest 207 V
open_pen_highest 253 V
open_pen_time 5 s
voltage_lowest 207 V
bs_7671_2018_a2/voltage_lowest 216.2 V
voltage_highest 253 V
instantaneous 0.1 s
conditional_rating 16 kA
conditional_device 100 A
selectivity_ratio 1.6
steel_resistivity 0.138 Ω·mm²/m
steel_heat 0.0038 J/K·mm³
steel_beta 202 K
copper_resistivity 0.017241 Ω·mm²/m
copper_heat 0.00345 J/K·mm³
copper_beta 234.5 K
armour_lay 1.1
pilot_least_current 6 A
pilot_most_current 80 A
proximity_least 75 Ω
"""
KNOWN = {name: rest for name, _, rest in (line.partition(" ") for line in PUBLISHED.strip().splitlines())}
NAMED = [
    (path.parent.name, name) for path in sorted(FOLDER.glob("*/figures.csv")) for name in figures(path.parent.name)
]


@pytest.mark.parametrize(("document", "name"), NAMED)
def test_a_figure_of_the_text_is_the_published_one(document, name):
    number, _, unit = KNOWN.get(f"{document}/{name}", KNOWN[name]).partition(" ")
    found = figures(document)[name]
    assert found.unit == unit
    assert found.quantity.magnitude == pytest.approx(quantity(float(number), unit).magnitude, rel=1e-12)
