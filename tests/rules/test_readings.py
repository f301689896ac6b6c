"""What the instruments showed: continuity, insulation, loop, polarity, voltage, limitations."""

import pytest
from rules.honest import board_row, build, but, change, found, judge, put, readings_row, three_phase_tt, verdicts

from pipeline.facts.choices import Function, LoopMethod
from pipeline.facts.findings import Confidence, Verdict
from pipeline.facts.rows.firm import Accuracy

FAIL, PASS, QUERY, NOTE = Verdict.FAIL, Verdict.PASS, Verdict.QUERY, Verdict.NOTE
NOT_ASSESSED, NOT_APPLICABLE = Verdict.NOT_ASSESSED, Verdict.NOT_APPLICABLE
NINE = "Board MAIN, circuit 9"
MEASURED = "measured_zs_is_within_its_limit"


@pytest.mark.parametrize(
    ("zs", "verdict"),
    [
        # B40: 0.95 × 230 / 200 = 1.0925 Ω, of which 0.8 is 0.874 Ω (that share is carried over: a pass is a note)
        (0.39, NOTE),
        (0.874, NOTE),
        (0.8741, QUERY),
        (1.0925, QUERY),
        (1.0926, FAIL),
        ("LIM: no access", NOT_ASSESSED),
        (None, NOT_ASSESSED),
    ],
)
def test_zs_passes_up_to_its_share_and_fails_above_the_limit(zs, verdict):
    assert judge(MEASURED, but(build(), "readings", zs=zs)) == [(NINE, verdict)]


def test_the_international_family_takes_two_thirds_without_c_min():
    # 2/3 × 230 / 200 = 0.7667 Ω; the share is from memory: within a tenth of it somebody must look it up
    assert verdicts(MEASURED, but(build(), "readings", zs=0.69), by="iec") == {NOTE}
    assert verdicts(MEASURED, but(build(), "readings", zs=0.70), by="iec") == {QUERY}
    assert verdicts(MEASURED, but(build(), "readings", zs=1.16), by="iec") == {FAIL}


def test_a_declared_rcd_makes_too_large_a_loop_a_query():
    job = but(build(), "readings", zs=2.0)
    assert verdicts(MEASURED, job) == {FAIL}
    assert verdicts(MEASURED, but(job, "circuits", rcd_for_fault="yes")) == {QUERY}
    # 230 V / 1600 Ω = 0.144 A, less than 5 × 30 mA
    job = but(job, "readings", zs=1600)
    assert verdicts(MEASURED, but(job, "circuits", rcd_for_fault="yes")) == {FAIL}


def test_only_the_last_attempt_counts():
    rows = (readings_row(zs=2.0), readings_row(attempt=2, zs=0.39))
    assert judge(MEASURED, build(readings=rows)) == [(NINE, NOTE)]


@pytest.mark.parametrize(
    ("zs", "verdict"),
    # 0.24 Ω + 0.15 Ω = 0.39 Ω ± 0.1 Ω
    [(0.39, PASS), (0.49, PASS), (0.50, QUERY), (0.29, PASS), (0.28, QUERY)],
)
def test_zs_is_the_sum_of_its_parts(zs, verdict):
    assert judge("zs_agrees_with_its_parts", but(build(), "readings", zs=zs)) == [(NINE, verdict)]


def test_a_parallel_path_explains_a_low_zs_but_not_a_high_one():
    rule = "zs_agrees_with_its_parts"
    job = but(build(), "circuits", parallel_path="yes")
    assert verdicts(rule, but(job, "readings", zs=0.20)) == {PASS}
    assert verdicts(rule, but(job, "readings", zs=0.60)) == {QUERY}


def test_a_no_trip_reading_has_a_wider_band():
    rule = "zs_agrees_with_its_parts"
    job = but(build(), "instruments", loop_method=LoopMethod.NO_TRIP)
    assert verdicts(rule, but(job, "readings", zs=0.69)) == {PASS}
    assert verdicts(rule, but(job, "readings", zs=0.70)) == {QUERY}


@pytest.mark.parametrize(("zs", "verdict"), [(0.39, PASS), (0.40, FAIL), (0.20, FAIL)])
def test_a_calculated_zs_is_exactly_its_sum(zs, verdict):
    job = but(build(), "readings", zs=zs, zs_source="calculated")
    assert judge("zs_agrees_with_its_parts", job) == [(NINE, verdict)]


def test_a_reading_at_the_board_stands_for_the_impedance_upstream():
    job = build(boards=(board_row(board_zs=0.60),))
    assert verdicts("zs_agrees_with_its_parts", job) == {QUERY}
    assert verdicts("zs_agrees_with_its_parts", but(job, "readings", zs=0.75)) == {PASS}
    assert verdicts("zs_agrees_with_its_parts", but(build(), "supply", ze_by="by enquiry")) == {NOT_APPLICABLE}


@pytest.mark.parametrize(
    ("length", "r1_r2", "verdict"),
    [
        # 22 m of 2.5/1.5 mm²: (7.41 + 12.1) × 22 / 1000 = 0.429 Ω at 20 °C (IEC 60228)
        (22, 0.43, PASS),
        (22, 4.29, QUERY),
        (22, 0.536, PASS),
        (22, 0.537, QUERY),
        # 60 % of it less one step of the display
        (22, 0.248, PASS),
        (22, 0.247, QUERY),
        (None, 0.43, NOT_ASSESSED),
        (22, None, NOT_ASSESSED),
    ],
)
def test_r1_r2_fits_length_and_size(length, r1_r2, verdict):
    job = but(build(), "circuits", live_size=2.5, cpc_size=1.5, length=length)
    assert judge("r1_r2_fits_the_cable", but(job, "readings", r1_r2=r1_r2, ambient=20)) == [(NINE, verdict)]


def test_a_metal_path_explains_a_low_r1_r2():
    job = but(build(), "readings", r1_r2=0.05)
    assert verdicts("r1_r2_fits_the_cable", job) == {QUERY}
    assert verdicts("r1_r2_fits_the_cable", but(job, "circuits", parallel_path="yes")) == {PASS}


@pytest.mark.parametrize(("r1_r2", "verdict"), [(0.0483, PASS), (0.0482, QUERY)])
def test_no_metal_path_takes_the_line_conductor_s_part(r1_r2, verdict):
    """20 m of 6 mm²: 0.8 × 3.08 × 20 / 1000 × 0.98 = 0.0483 Ω for the line conductor alone."""
    job = but(build(), "circuits", length=20, cpc="core and armour", parallel_path="yes")
    assert verdicts("r1_r2_fits_the_cable", but(job, "readings", r1_r2=r1_r2, ambient=15)) == {verdict}


def test_a_temperature_that_is_not_told_is_told():
    rule = "temperatures_at_the_test_are_told"
    assert judge(rule, build()) == [(NINE, PASS)]
    assert judge(rule, but(build(), "readings", ambient=None)) == [(NINE, NOTE)]
    assert judge(rule, but(build(), "readings", ambient=None, r1_r2="LIM")) == []
    # 14 m of 6/2.5 mm² at 20 °C: 0.147 Ω
    (finding,) = found("r1_r2_fits_the_cable", but(build(), "readings", ambient=None))
    assert finding.calculation.numbers.startswith("1 × ")


def test_the_band_around_a_cable_is_told_with_all_its_parts():
    def limit(length, r1_r2, **cells):
        job = but(but(build(), "circuits", length=length, **cells), "readings", r1_r2=r1_r2)
        return found("r1_r2_fits_the_cable", job)[0].calculation.limit

    assert limit(14, 0.15).endswith("common practice: −40 % and a step of the display, + 0.05 Ω or 25 %)")
    # 0.8 × 3.08 mΩ/m × 40 m at 15 °C
    assert limit(40, 0.2, parallel_path="yes").startswith("0.09659 Ω to ")
    assert limit(40, 0.2, parallel_path="yes").endswith(
        "common practice: 0.8 × R_1 beside a metal path, + 0.05 Ω or 25 %)"
    )


def test_the_part_of_the_instrument_is_told_beside_the_band():
    accuracy = put(Accuracy, instrument="T1", function=Function.CONTINUITY, percent=2, digits=2, last_place="0.01 Ω")
    job = build(accuracies=(accuracy,))
    assert found("r1_r2_fits_the_cable", job)[0].calculation.limit.endswith("25 %, ± 0.023 Ω of the instrument)")


@pytest.mark.parametrize(
    ("megohms", "work", "verdict"),
    [
        (412, "new circuit", PASS),
        (2, "new circuit", PASS),
        (1.9, "new circuit", QUERY),
        (0.9, "new circuit", QUERY),
        (50, "new installation", PASS),
        (10, "new installation", NOTE),
        (9.9, "new installation", QUERY),
        (0.9, "new installation", FAIL),
        (None, "new circuit", NOT_APPLICABLE),
        ("LIM: fridge", "new circuit", NOT_APPLICABLE),
    ],
)
def test_a_whole_board_is_insulated(megohms, work, verdict):
    job = but(but(build(), "boards", insulation=megohms), "row", work=work)
    assert judge("boards_are_insulated", job) == [("Board MAIN", verdict)]


def test_a_no_trip_reading_is_not_excused_below_the_loop_before_it():
    """No-trip testers read too high: their band of 0.3 Ω is none downwards."""
    testers = (change(build().instruments[0], loop_method=LoopMethod.NO_TRIP), build().instruments[1])
    job = build(instruments=testers)
    for zs, verdict in ((0.39, PASS), (0.65, PASS), (0.24, PASS), (0.23, NOTE), (0.14, NOTE), (0.13, QUERY)):
        assert verdicts("zs_agrees_with_its_parts", but(job, "readings", zs=zs)) == {verdict}, zs
    assert verdicts(
        "zs_agrees_with_its_parts", but(but(job, "readings", zs=0.13), "circuits", parallel_path="yes")
    ) == {PASS}


def test_r2_alone_is_compared_with_r2():
    # 14 m of 2.5 mm²: 7.41 × 14 / 1000 × 0.98 = 0.102 Ω
    job = but(build(), "readings", r1_r2=None, r2=0.10)
    assert verdicts("r1_r2_fits_the_cable", job) == {PASS}
    assert verdicts("r1_r2_fits_the_cable", but(job, "readings", r2=0.20)) == {QUERY}


@pytest.mark.parametrize("typed", ["N/A", "LIM: no access", None])
def test_r2_stands_for_an_r1_r2_that_has_no_figure(typed):
    job = but(build(), "readings", r1_r2=typed, r2=0.10)
    assert verdicts("r1_r2_fits_the_cable", job) == {PASS}
    assert verdicts("zs_agrees_with_its_parts", job) == {NOT_APPLICABLE}


def test_a_reason_instead_of_a_figure_is_shown_without_a_unit():
    job = but(build(), "readings", r1_r2="N/A")
    finding = found("r1_r2_fits_the_cable", job)[0]
    assert (finding.verdict, finding.found) == (NOT_ASSESSED, "N/A")


def test_the_end_of_a_note_tells_how_sure_the_figure_is_and_its_input_which():
    finding = found(MEASURED, build())[0]
    assert finding.message == "Zs is within its limit. Figure carried over."
    unsure = {each.symbol for each in finding.calculation.inputs if each.confidence is Confidence.CARRIED_OVER}
    assert unsure == {"share"}


@pytest.mark.parametrize(
    ("half", "verdict"), [("holds", PASS), ("trips", FAIL), ("N/A", NOT_APPLICABLE), (None, NOT_APPLICABLE)]
)
def test_an_rcd_holds_at_half_its_current(half, verdict):
    assert judge("rcds_hold_at_half_their_current", but(build(), "readings", rcd_half=half)) == [(NINE, verdict)]


def test_the_margin_of_insulation_is_its_distance_in_per_cent_of_the_limit():
    finding = found("insulation_resistance_is_high_enough", but(build(), "readings", insulation_le=4))[1]
    assert finding.calculation.margin == pytest.approx(300)
    nought = found("insulation_resistance_is_high_enough", but(build(), "readings", insulation_le=0))[1]
    assert (nought.verdict, nought.calculation.margin) == (FAIL, -100)


def test_an_instrument_s_accuracy_widens_the_band_of_r1_r2():
    job = but(build(), "circuits", live_size=2.5, cpc_size=1.5, length=22)
    job = but(job, "readings", r1_r2=0.54, ambient=20)
    exact = (put(Accuracy, instrument="T1", function=Function.CONTINUITY, percent=3, digits=2, last_place="0.01 Ω"),)
    assert verdicts("r1_r2_fits_the_cable", job) == {QUERY}
    assert verdicts("r1_r2_fits_the_cable", job.model_copy(update={"accuracies": exact})) == {PASS}


@pytest.mark.parametrize(
    ("value", "new", "verdict"),
    [
        (">999", "new", PASS),
        (50, "new", PASS),
        (49.9, "new", NOTE),
        (10, "new", NOTE),
        (9.9, "new", QUERY),
        (1, "new", QUERY),
        (0.99, "new", FAIL),
        (2, "existing", PASS),
        (1.9, "existing", QUERY),
        (0.9, "existing", FAIL),
        (None, "new", NOT_ASSESSED),
        ("LIM: wet", "new", NOT_ASSESSED),
    ],
)
def test_insulation_of_a_new_circuit_reads_far_more_than_the_limit(value, new, verdict):
    job = but(but(build(), "readings", insulation_le=value), "circuits", new=new)
    assert judge("insulation_resistance_is_high_enough", job) == [(NINE, PASS), (NINE, verdict)]


@pytest.mark.parametrize(
    ("voltage", "connected", "verdict"),
    [(500, "no", PASS), (499, "no", QUERY), (250, "no", QUERY), (None, "no", NOT_ASSESSED), (500, None, NOT_ASSESSED)],
)
def test_250_v_is_no_default(voltage, connected, verdict):
    job = but(build(), "readings", insulation_voltage=voltage, point_connected=connected)
    assert judge("insulation_is_tested_at_its_voltage", job) == [(NINE, verdict)]


def test_a_connected_point_is_tested_only_as_its_maker_allows():
    rule = "insulation_is_tested_at_its_voltage"
    job = but(build(), "readings", insulation_voltage=250, point_connected="yes")
    assert judge(rule, job) == [("Charge point CP1", QUERY)]
    allowed = but(job, "models", insulation_test="yes", insulation_voltage=250)
    assert judge(rule, allowed) == [("Charge point CP1", PASS)]
    assert verdicts(rule, but(allowed, "readings", insulation_voltage=500)) == {QUERY}


def test_a_board_that_reads_far_less_than_its_circuits_is_asked_about():
    rule = "board_and_circuits_agree_on_insulation"
    job = but(but(build(), "row", work="new installation"), "boards", insulation=0.5)
    assert verdicts(rule, job) == {QUERY}
    assert verdicts(rule, but(job, "row", work="new circuit")) == {PASS}
    assert verdicts(rule, build()) == {NOT_APPLICABLE}


@pytest.mark.parametrize(
    ("polarity", "verdict"), [("confirmed", PASS), ("wrong", FAIL), ("N/A", QUERY), (None, NOT_ASSESSED)]
)
def test_polarity_is_confirmed(polarity, verdict):
    assert judge("polarity_is_confirmed", but(build(), "readings", polarity=polarity)) == [(NINE, verdict)]


def test_phase_sequence_is_a_matter_of_three_phases():
    rule = "phase_sequence_is_confirmed"
    assert verdicts(rule, build()) == {NOT_APPLICABLE}
    assert verdicts(rule, three_phase_tt()) == {PASS}
    assert verdicts(rule, but(three_phase_tt(), "readings", sequence="wrong")) == {FAIL}
    assert verdicts(rule, but(three_phase_tt(), "readings", sequence="N/A")) == {QUERY}
    assert verdicts(rule, but(three_phase_tt(), "readings", sequence=None)) == {NOT_ASSESSED}


@pytest.mark.parametrize(
    ("volts", "verdict"),
    [(236, NOTE), (216.2, NOTE), (216.1, QUERY), (253, NOTE), (253.1, QUERY), (0, QUERY), (None, NOT_ASSESSED)],
)
def test_the_supply_voltage_is_within_its_band(volts, verdict):
    # the lower limit is from memory, so a pass is a note
    assert judge("supply_voltage_is_within_its_band", but(build(), "supply", voltage_l1=volts)) == [("Supply", verdict)]


def test_a_three_phase_supply_is_measured_on_every_phase():
    job = but(three_phase_tt(), "supply", voltage_l3=None)
    assert [each for _, each in judge("supply_voltage_is_within_its_band", job)] == [NOTE, NOTE, NOT_ASSESSED]


def test_limitations_weigh_by_what_they_are_on():
    rule = "limitations_are_permissible"
    assert judge(rule, build()) == [("Job", PASS)]
    assert judge(rule, but(build(), "readings", zs="LIM: no access")) == [(NINE, FAIL)]
    assert judge(rule, but(build(), "readings", rcd_time_5="LIM: no time")) == [(NINE, QUERY)]
    assert judge(rule, but(build(), "boards", board_zs="LIM: sealed")) == [("Board MAIN", NOTE)]
    assert judge(rule, but(build(), "boards", board_zs="LIM")) == [("Board MAIN", QUERY)]
    old = but(but(build(), "readings", zs="LIM: no access"), "circuits", new="existing")
    assert judge(rule, old) == [(NINE, NOTE)]


def test_a_limitation_of_an_earlier_attempt_is_past():
    rows = (readings_row(zs="LIM: no access"), readings_row(attempt=2))
    assert judge("limitations_are_permissible", build(readings=rows)) == [("Job", PASS)]


def test_the_cells_of_a_loop_reading_are_named():
    finding = found(MEASURED, but(build(), "readings", zs=2.0))[0]
    assert any(str(each).startswith("Readings") for each in finding.places)
    assert change(build().readings[0], zs=2.0).shown("zs") == "2.00"
