"""Edges that spoilt code once passed unseen; each fault is named by what it would have done."""

import pytest
from rules.honest import build, but, found, put

from pipeline.editions import CableRun, edition
from pipeline.facts.quantities import quantity as q
from pipeline.facts.rows.load_management import LoadManagement
from pipeline.standards.iec_61851_1_2017.annex_a import meaning_of_duty
from pipeline.standards.table import load

UK = edition("uk_2018_a2")


@pytest.mark.parametrize(("celsius", "counted"), [(70, "70"), (89.9, "70"), (90, "90"), (105, "90")])
def test_terminals_below_90_degrees_count_as_70(celsius, counted):
    """A cable of 90 °C is loaded to 90 °C only where its terminals bear all of it."""
    circuit = build().circuits[0].with_values(terminal_rating=q(celsius, "°C"))
    run = CableRun.of(put_insulation(circuit))
    assert UK.cables.operating_temperature(run) == counted


def put_insulation(circuit):
    """The same circuit with a cable of 90 °C."""
    return circuit.with_values(insulation=type(circuit.insulation)("XLPE 90 °C"))


@pytest.mark.parametrize(
    ("duty", "meaning"),
    [
        (2.9, "no charging"),
        (3, "digital communication only"),
        (7, "digital communication only"),
        (7.1, "an error"),
        (99.9, "an error"),
        (100, "no charging"),
    ],
)
def test_only_a_steady_pilot_means_no_charging(duty, meaning):
    assert meaning_of_duty(duty).startswith(meaning)


@pytest.mark.parametrize("name", ["bs_7671_2018_a2/table_41_3", "iec_60228_2004/table_1_2", "iec_61008_1_2010/table_1"])
def test_a_missing_figure_names_row_and_column_as_people_write_them(name):
    table = load(name)
    missing = table.cell(7.5, "nowhere")
    assert "row 7.5, column nowhere" in missing.reason
    assert table.title in missing.reason


DROP = "voltage_drop_is_within_its_limit"


@pytest.mark.parametrize(("volts", "metres", "verdict"), [(230, 66, "query"), (230, 80, "fail"), (220, 66, "fail")])
def test_a_drop_fails_where_it_leaves_less_than_any_supply_may_give(volts, metres, verdict):
    """7.3 mV/A/m × 32 A: over 66 m 15.4 V, which leaves 214.6 V of 230 V but 204.6 V of 220 V; over 80 m 18.7 V."""
    (finding,) = found(DROP, but(but(build(), "circuits", length=metres), "supply", voltage=volts))
    left = volts - 7.3 * 32 * metres / 1000
    assert str(finding.verdict) == verdict
    assert f"leaving {left:.1f} V at the vehicle" in finding.found


@pytest.mark.parametrize(("before", "demand"), [(24, "56 A"), (60, "80 A"), (85, "85 A")])
def test_a_scheme_at_the_intake_holds_the_sum_and_never_more_than_what_was_there(before, demand):
    """Limit 80 A: below it the sum counts, above it the limit, and a house that drew more before still draws it."""
    scheme = put(
        LoadManagement,
        scheme="LM1",
        group_limit=80,
        fallback=6,
        sensor_place="Intake",
        limit_held="yes",
        fallback_held="yes",
        sensor_checked="yes",
        tested_points=1,
    )
    job = but(but(build(), "supply", demand_l1=before), "points", scheme="LM1").model_copy(
        update={"schemes": (scheme,)}
    )
    (finding,) = found("demand_fits_the_cut_out", job)
    assert finding.calculation.result == demand


def test_r2_alone_is_expected_to_the_last_digit():
    """100 m of 2.5 mm² at 20 °C: 7.41 mΩ/m, 0.741 Ω, whatever the line conductor adds."""
    job = but(but(build(), "circuits", length=100), "readings", r1_r2=None, r2=0.74, ambient=20)
    (finding,) = found("r1_r2_fits_the_cable", job)
    assert "7.41 mΩ/m × 100 m = 0.741 Ω" in finding.calculation.numbers


@pytest.mark.parametrize(("duty", "amperes"), [(95.5, 78.75), (96, 80), (96.5, 80), (85, 51), (85.1, 52.75), (9.99, 6)])
def test_the_pilot_s_bands_meet_where_they_should(duty, amperes):
    assert UK.testing.pilot_current(q(duty, "%")).quantity.magnitude == pytest.approx(amperes)


@pytest.mark.parametrize("rule", ["far_end_faults_are_cleared", "fault_current_agrees_with_ze"])
def test_nothing_is_divided_by_an_impedance_of_nought(rule):
    assert [str(each.verdict) for each in found(rule, but(build(), "supply", ze=0))] == ["not assessed"]


@pytest.mark.parametrize(("rated", "cutout", "verdict"), [(16, 100, "pass"), (16, 101, "query"), (9.9, 100, "fail")])
def test_a_conditional_rating_counts_up_to_itself_and_behind_100_a(rated, cutout, verdict):
    """10 kA at a board of 6 kA devices: what its maker declares, behind a cut-out of at most 100 A (BS EN 61439-3)."""
    board = {"fault_current": 10, "conditional_rating": rated, "conditional_source": "Data sheet 1"}
    job = but(but(build(), "boards", **board), "supply", cutout_rating=cutout)
    (finding,) = found("breaking_capacity_covers_the_fault_current", job)
    assert str(finding.verdict) == verdict


@pytest.mark.parametrize(("kiloamperes", "verdict"), [(5.4, "pass"), (5.41, "note"), (6, "note"), (6.01, "fail")])
def test_a_device_with_hardly_a_reserve_is_told(kiloamperes, verdict):
    job = but(build(), "boards", fault_current=kiloamperes)
    (finding,) = found("breaking_capacity_covers_the_fault_current", job)
    assert str(finding.verdict) == verdict


@pytest.mark.parametrize(
    ("work", "verdict", "remedy"),
    [
        ("new circuit", "query", "Have the signatory decide"),
        ("new installation", "fail", "Put it right"),
    ],
)
def test_an_intake_that_was_there_before_is_for_the_signatory(work, verdict, remedy):
    job = but(but(build(), "row", work=work), "inspection", intake="not satisfactory")
    (finding,) = [
        each
        for each in found("inspected_aspects_are_satisfactory", job)
        if str(each.verdict) != "pass" and each.subject == "State of the intake"
    ]
    assert str(finding.verdict) == verdict
    assert finding.remedy.startswith(remedy)
