"""The texts of a job: selected and joined from its record alone."""

import json

from documents.sample import ENVELOPE, findings, job, record

from pipeline.documents.texts import BLANK
from pipeline.documents.view import View, view
from pipeline.facts.choices import SourceKind, YesNo
from pipeline.facts.findings import Finding, Verdict, WhenMissing
from pipeline.facts.job import Job
from pipeline.facts.record import canonical, fingerprint
from pipeline.facts.rows.jobs import JobRow
from pipeline.orders import Envelope
from pipeline.rules.outcomes import SHORT


def seen(of: Job, found: list[Finding] | None = None, envelope: Envelope = ENVELOPE) -> View:
    return view(record(of, found), envelope)


def test_the_view_is_the_same_from_a_record_that_was_stored():
    fresh = record(job())
    assert view(json.loads(canonical(fresh)), ENVELOPE) == view(fresh, ENVELOPE)


def test_no_text_is_empty_but_the_lines_to_sign_on_and_the_boxes_to_write_into():
    rows = seen(Job(row=JobRow(job="BARE")), [])
    texts = [*rows.single.values(), *(line for lines in rows.lists.values() for line in lines)]
    empty = {name for line in texts for name, text in line.items() if not text}
    assert empty == {"signature", "signed_on", "loaded", "as_found", "taken"}


def test_readings_are_printed_as_the_record_shows_them():
    results = seen(job()).lists["results"]
    assert {line["insulation_ll"] for line in results} == {">999"}
    assert {line["zs"] for line in results} == {"0.39"}


def test_the_last_attempt_counts_and_the_first_one_is_kept():
    rows = seen(job())
    last = next(line for line in rows.lists["results"] if line["name"] == "board GARAGE, circuit 1")
    assert (last["attempt"], last["zs"], last["remarks"]) == ("2", "0.39", "Terminal tightened")
    assert [(line["name"], line["attempt"], line["zs"]) for line in rows.lists["earlier"]] == [
        ("board GARAGE, circuit 1", "1", "1.52")
    ]


def test_a_circuit_without_readings_keeps_its_line():
    of = job()
    silent = of.model_copy(update={"readings": ()})
    assert [(line["name"], line["zs"]) for line in seen(silent, []).lists["results"]] == [
        ("board MAIN, circuit 1", BLANK),
        ("board GARAGE, circuit 1", BLANK),
        ("board GARAGE, circuit 2", BLANK),
    ]


def test_subjects_of_one_kind_are_named_together_and_the_others_apart():
    of = job()
    subjects = ("Board CP, circuit 1", "Supply", "Board CP, circuit 12", "Model EX-7, wall plate", "CP3")
    said = [Finding("a_rule", Verdict.PASS, of.reference, subject, "Sound.") for subject in subjects]
    line = seen(of, said).lists["plain_checks"][0]
    assert line["subject"] == "Board CP, circuit 1, 12; Supply; Model EX-7, wall plate; CP3"


def test_each_relation_stands_once_and_every_check_with_figures_names_its_number():
    rows = seen(job())
    assert [(line["relation"], line["check"]) for line in rows.lists["relations"]] == [
        ("1", "Measured Zs is within its limit")
    ]
    assert [line["relation"] for line in rows.lists["calculations"]] == ["1", "1", "1"]


def test_what_is_said_alike_of_several_subjects_takes_one_line():
    of = job()
    said = [Finding("a_rule", Verdict.PASS, of.reference, f"Charge point CP{n}", "Sound.") for n in (1, 2)]
    other = Finding("a_rule", Verdict.PASS, of.reference, "Charge point CP3", "Sound, too.")
    lines = seen(of, [*said, other]).lists["plain_checks"]
    assert [line["subject"] for line in lines] == ["Charge point CP1, CP2", "Charge point CP3"]


def test_the_names_of_rules_are_written_as_the_trade_writes_them():
    of = job()
    held = Finding("rcd_of_the_point_breaks_tt_in_time", Verdict.FAIL, of.reference, "Job", "Wrong.")
    assert seen(of, [held]).lists["queries"][0]["check"] == "RCD of the point breaks TT in time"


def test_the_permitted_loop_impedance_comes_from_the_check_of_that_reading():
    results = seen(job()).lists["results"]
    assert {line["zs_permitted"] for line in results} == {"1.09"}
    assert {line["zs_permitted"] for line in seen(job(), []).lists["results"]} == {BLANK}


def test_the_earthing_system_is_inherited_until_a_board_changes_it():
    circuits = {line["name"]: line["earthing"] for line in seen(job()).lists["circuits"]}
    assert circuits == {
        "board MAIN, circuit 1": "TN-C-S",
        "board GARAGE, circuit 1": "TT",
        "board GARAGE, circuit 2": "TT",
    }


def test_a_loop_of_boards_ends_where_it_closes():
    of = job()
    board, sub = of.boards
    fed = board.with_values(fed_board="GARAGE", fed_circuit="1")
    looped = of.model_copy(update={"boards": (fed, sub.with_values(earthing_system=None))})
    assert seen(looped).lists["boards"][0]["earthing"] == "TN-C-S"


def test_circuits_name_what_they_serve():
    assert [line["serves"] for line in seen(job()).lists["circuits"]] == [
        "board GARAGE",
        "charge point CP1",
        "charge point CP2",
    ]


def test_each_role_is_printed_even_if_one_person_fills_them_all():
    signing = seen(job()).lists["signing"]
    assert [line["role"] for line in signing][:3] == ["Design", "Construction", "Inspection and testing"]
    assert {line["name"] for line in signing} == {"Pat Example"}


def test_a_role_without_a_person_keeps_its_line():
    signing = seen(job(designer="NOBODY")).lists["signing"]
    assert (signing[0]["role"], signing[0]["name"]) == ("Design", BLANK)


def test_aspects_stand_in_the_order_of_the_walk_with_clause_and_remark():
    aspects = seen(job()).lists["aspects"]
    parts = list(dict.fromkeys(line["part"] for line in aspects))
    assert parts == ["Intake", "Board", "Route", "Charge point", "Surroundings", "Papers"]
    buried = next(line for line in aspects if line["outcome"] == "LIM")
    assert (buried["clause"], buried["remark"]) == ("IEC 60364-5-52, 522.8", "Backfilled before our visit")


def test_every_finding_is_printed_in_some_list():
    of = job()
    held = Finding("r", Verdict.FAIL, of.reference, "Job", "Wrong.")
    rows = seen(of, [*findings(of), held])
    lists = ("calculations", "plain_checks", "queries", "notes", "figure_notes", "not_assessed", "not_applicable")
    printed = {line["message"] for name in lists for line in rows.lists[name]}
    assert printed == {each.message for each in [*findings(of), held]}


def test_what_holds_a_job_is_told_apart_from_what_is_only_printed():
    of = job()
    held = Finding("a_rule", Verdict.NOT_ASSESSED, of.reference, "Job", "Missing.", when_missing=WhenMissing.HOLD)
    rows = seen(of, [*findings(of), held])
    assert [line["check"] for line in rows.lists["holding"]] == ["A rule"]
    assert len(rows.lists["not_assessed"]) == 2


def test_the_notes_are_told_apart_by_kind():
    of = job()
    unsure = [Finding("r", Verdict.NOTE, of.reference, "Job", f"Sound. {end}") for end in SHORT.values()]
    outcome = seen(of, [*findings(of), *unsure]).single["outcome"]
    assert outcome["notes_are"] == (
        "2 notes on who must be told; 2 checks that hold against figures not confirmed with the printed "
        "standard; 1 remark on the design, the work or the readings."
    )
    assert outcome["deadlines"].startswith("Network operator: To be told by 08 Dec 2026.")
    assert seen(of, [*findings(of), *unsure]).has("unconfirmed")
    assert not seen(of).has("unconfirmed")


def test_whoever_relies_on_a_figure_nobody_confirmed_settles_those_that_are_printed():
    matters = [each["matter"] for each in seen(job()).lists["settling"]]
    assert [each.partition(":")[0] for each in matters] == ["Design", "Inspection and testing"]
    assert all("the figures that the calculation record prints" in each for each in matters)


def test_who_tells_others_is_the_firm_only_where_it_may():
    of = job()
    by_firm = seen(of).lists["building_notices"][0]["sender"]
    assert by_firm == of.firm.name
    not_registered = of.model_copy(update={"firm": of.firm.with_values(self_certifies=YesNo.NO)})
    assert seen(not_registered).lists["building_notices"][0]["sender"] == "the owner, before the work"
    assert seen(not_registered).lists["operator_notices"][0]["sender"] == of.firm.name


def test_notices_of_several_sources_go_to_intake_board_and_every_place_of_isolation():
    places = [line["place"] for line in seen(job()).lists["source_places"]]
    assert places == [
        "Fix at: the intake and meter (Hall cupboard)",
        "Fix at: Consumer unit, Hall cupboard (board MAIN)",
        "Fix at: Loft, beside the inverter",
    ]
    point = seen(job()).lists["points"][0]
    assert (
        point["others"]
        == "the vehicle (unplug it and keep it unplugged); solar 3.6 kW, isolate at Loft, beside the inverter"
    )
    alone = job().model_copy(update={"sources": ()})
    assert not seen(alone).has("source_places")
    assert seen(alone).lists["points"][0]["others"] == "the vehicle (unplug it and keep it unplugged)"


def test_a_vehicle_that_feeds_back_is_unplugged_wherever_it_is_named_as_a_source():
    fed = job()
    [source] = fed.sources
    fed = fed.model_copy(update={"sources": (source.with_values(source=SourceKind.VEHICLE),)})
    assert (
        seen(fed)
        .single["job"]["sources_named"]
        .endswith("; vehicle 3.6 kW, unplug it and keep it unplugged, isolate at Loft, beside the inverter")
    )
    assert seen(fed).has("vehicle_feeds")
    assert not seen(job()).has("vehicle_feeds")


def test_the_notice_of_a_tt_island_goes_to_rod_points_and_where_the_supplys_earth_stops():
    places = [line["place"] for line in seen(job()).lists["island_places"]]
    assert places == [
        "Fix at: the earth electrode (Flower bed beside the garage)",
        "Fix at: charge point CP1",
        "Fix at: charge point CP2",
        "Fix at: where the supply's earth stops (At the board)",
    ]


def test_a_householder_looks_after_the_test_button_and_a_manager_does_so_elsewhere():
    assert seen(job()).has("household")
    public = seen(job(premises="public"))
    assert public.has("managed_site")
    assert not public.has("household")


def test_rows_of_further_phases_stand_only_where_there_are_any():
    of = job()
    assert not seen(of).has("several_phases")
    three = of.model_copy(update={"supply": of.supply.with_values(phases=3)})
    assert seen(three).has("several_phases")


def test_the_fixings_of_the_maker_are_named_with_their_sizes():
    first, second = seen(job()).lists["points"]
    assert first["fixings_asked"] == ("wall plate: 4 pieces, screw 5 × 60 mm, plug 8 × 40 mm, hole 8 × 55 mm")
    assert second["fixings_asked"] == BLANK


def test_the_outcome_counts_every_verdict():
    of = job()
    outcome = seen(of).single["outcome"]
    assert (outcome["passes"], outcome["notes"], outcome["fails"]) == ("4", "3", "0")
    assert outcome["sentence"] == "4 checks passed, 3 notes are printed, 1 check could not be assessed."


def test_a_check_is_as_sure_as_its_least_sure_figure():
    assert {line["confidence"] for line in seen(job()).lists["calculations"]} == {"from memory: Z_s,max"}


def test_the_certificate_names_the_record_by_its_fingerprint():
    of = record(job())
    assert view(of, ENVELOPE).single["certificate"]["record_sum"] == fingerprint(canonical(of))


def test_a_pack_awaits_signature_unless_it_is_a_draft():
    assert seen(job()).single["certificate"]["status"] == "awaiting signature"
    draft = Envelope("", 0, "2026-11-12", "", draft="DRAFT: not a certificate")
    rows = seen(job(), None, draft)
    assert (rows.single["certificate"]["status"], rows.single["certificate"]["name"]) == (draft.draft, draft.draft)


def test_parts_of_the_user_instructions_follow_what_was_installed():
    rows = seen(job())
    assert [line["point"] for line in rows.lists["points_tethered"]] == ["CP1"]
    assert [line["point"] for line in rows.lists["points_socket"]] == ["CP2"]
    assert rows.has("points_with_link")
    assert not rows.has("points_temporary")


def test_a_record_without_an_edition_can_still_be_printed():
    of = record(job()) | {"edition": {}}
    assert view(of, ENVELOPE).single["certificate"]["edition"] == BLANK


def test_the_clients_address_is_the_site_where_no_other_is_given():
    assert seen(job()).single["job"]["client_at"] == "7 Other Street, Anytown"
    assert seen(job(client_address=None)).single["job"]["client_at"] == "2 Sample Road, Anytown"


def test_a_danger_is_told_apart_from_a_defect():
    assert seen(job()).has("dangers")
    assert not seen(job(defects_danger="no")).has("dangers")
    assert seen(job(defects=None)).has("defects"), "a danger without a description still needs the letter"
    assert not seen(job(defects=None, defects_danger=None)).has("defects")
