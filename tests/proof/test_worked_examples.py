"""Printed examples that go through an edition or a rule, beside those of single formulas in the tests of standards.

Not covered, because the project has no such relation: the diversity of cookers and of dwellings and lighting loads in
other countries' codes, the impedance of sources and transformers, the sum in quadrature of resistance and reactance
(loops here are taken as resistive, which reads them larger along cables of these sizes), size ratios of conductors.
"""

import pytest
from rules.honest import build, but, circuit_row, supply_row, verdicts

from pipeline.editions import edition
from pipeline.facts.findings import Verdict
from pipeline.facts.quantities import magnitude
from pipeline.facts.quantities import quantity as q
from pipeline.standards.bs_7671_2018_a2 import appendix_4
from pipeline.standards.iec_60364_4_41_2005 import clause_411
from pipeline.standards.iec_60364_4_43_2008.clause_434 import withstand_current
from pipeline.standards.iec_60364_5_52_2009 import annex_g
from pipeline.standards.iec_60364_5_54_2011.annex_a import k_factor
from pipeline.standards.table import Missing

PAIR = {"rho": q(0.0225, "Ω·mm²/m"), "reactance": q(0.08, "mΩ/m"), "area": q(4 * 240, "mm²")}


def test_five_metres_of_four_cables_in_parallel_have_the_printed_resistance_and_reactance():
    """A worksheet on short circuits prints 0.12 and 0.40 mΩ (method of IEC 60909-0; figures of 60364-5-52)."""
    resistive = annex_g.effective_impedance(**PAIR, cosine=1, sine=0)
    reactive = annex_g.effective_impedance(**PAIR, cosine=0, sine=1)
    assert 5 * magnitude(resistive.quantity, "mΩ/m") == pytest.approx(0.12, abs=0.005)
    assert 5 * magnitude(reactive.quantity, "mΩ/m") == pytest.approx(0.40, abs=0.005)


@pytest.mark.parametrize(
    ("source", "parts", "printed"),
    [((17, (4, 1)), "board A", 0.022), ((22, (4,)), "board B", 0.026)],
)
def test_reactances_of_a_chain_add_up_as_its_resistances_do(source, parts, printed):
    """A chain worked in a public forum (IEC 60364-4-41, 411.4.4): 22 mΩ at the first board, 26 mΩ at the second."""
    first, more = source
    worked = clause_411.loop_impedance(z_e=q(first, "mΩ"), r1_r2=tuple(q(each, "mΩ") for each in more))
    assert magnitude(worked.quantity, "Ω") == pytest.approx(printed, abs=0.0005), parts


def test_a_single_phase_limit_of_two_and_a_half_per_cent_is_six_volts():
    """Tables of a cable trader (BS 7671, Appendix 4, an older limit): 2.5 % of 240 V."""
    share = annex_g.voltage_drop_share(drop=q(6.0, "V"), voltage=q(240, "V"))
    assert magnitude(share.quantity, "%") == pytest.approx(2.5, abs=1e-9)


def test_the_largest_drop_per_metre_follows_from_the_limit():
    """The same tables: 0.7 mV/A/m is the most for 10.5 V over 150 m at 100 A; a hundredth more is over it."""
    drops = [
        appendix_4.voltage_drop(per_metre=q(each, "mV/A/m"), current=q(100, "A"), length=q(150, "m"))
        for each in (0.7, 0.71)
    ]
    assert [magnitude(each.quantity, "V") <= 10.5 + 1e-9 for each in drops] == [True, False]


def test_a_conductor_bears_the_printed_current_for_a_second():
    """Lecture notes on IEC 60949: 95 mm² of copper in XLPE, 13.6 kA, the k worked out and not looked up."""
    copper = {"heat": q(0.00345, "J/K·mm³"), "beta": q(234.5, "K"), "rho": q(0.017241, "Ω·mm²/m")}
    k = k_factor(**copper, initial=q(90, "°C"), final=q(250, "°C"))
    worked = withstand_current(k=k.quantity, area=q(95, "mm²"), time=q(1, "s"))
    assert magnitude(worked.quantity, "kA") == pytest.approx(13.6, abs=0.05)


# a table of duty-cycle bands in a tester's instructions (IEC 61851-1, Annex A); None where nothing is charged
@pytest.mark.parametrize(
    ("duty", "amperes"),
    [(2, None), (5, None), (7.5, None), (8, 6), (9.9, 6), (10, 6), (50, 30), (85, 51), (90, 65), (96, 80), (97, 80)],
)
@pytest.mark.parametrize("name", ["uk_2018_a2", "iec"])
def test_the_bands_of_the_pilot_are_the_printed_ones(name, duty, amperes):
    current = edition(name).testing.pilot_current(q(duty, "%"))
    if amperes is None:
        assert isinstance(current, Missing)
    else:
        assert magnitude(current.quantity, "A") == pytest.approx(amperes)


@pytest.mark.parametrize(("upstream", "verdict"), [(160, Verdict.PASS), (159, Verdict.NOTE), (99, Verdict.QUERY)])
def test_a_fuse_of_100_a_wants_one_of_160_a_before_it(upstream, verdict):
    """An application guide on fuses (IEC 60269-1): ratio 1.6 between two gG fuses."""
    fuse = {"device": "BS 88-2", "device_type": "gG", "device_rating": 100}
    supply = supply_row(cutout_standard="BS 88-2", cutout_rating=upstream)
    job = build(supply=supply, circuits=(circuit_row(**fuse),))
    assert verdicts("devices_nearest_the_fault_open_first", job) == {verdict}


@pytest.mark.parametrize(("i_dn", "verdict"), [(250, Verdict.PASS), (251, Verdict.FAIL)])
def test_an_electrode_of_200_ohms_takes_an_rcd_of_250_ma(i_dn, verdict):
    """A site guide to BS 7671 (IEC 60364-4-41, 411.5.3), by the rule and not by the formula alone."""
    from rules.honest import three_phase_tt

    job = but(but(three_phase_tt(), "electrodes", resistance=200), "circuits", rcd_rating=i_dn)
    assert verdicts("tt_circuits_have_an_rcd_that_suits_the_electrode", job) == {verdict}
