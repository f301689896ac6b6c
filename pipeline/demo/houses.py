"""Honest jobs at plain houses: each is sound in every figure, and each differs in what it shows."""

from datetime import date

from pipeline.demo.physics import Loops
from pipeline.demo.site import CREW_A, CREW_B, Site, armoured, flat

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY = (date(2026, 11, day) for day in range(16, 21))
BEFORE_CHANGE = date(2026, 10, 9)
"""A design date under the edition that was withdrawn on 15 October 2026."""
PHOTOS = ("cut-out", "board inside", "finished charge point")
DEVICE = "separate device"


def _guarded(serial: str) -> dict[str, object]:
    """The cells of a separate single-phase device against an open PEN conductor."""
    return {"open_pen": DEVICE, "open_pen_evidence": f"Open-PEN device, serial {serial}", "open_pen_phases": 1}


def terraced_house() -> Site:
    """Single-phase on TN-C-S; a tethered point behind a separate open-PEN device."""
    site = Site("LN-101", CREW_A, MONDAY)
    site.describe("Sam O'Sample", "14 Make-Believe Terrace, Nowhere-on-Sea ZZ1 2AB", client_email="sam@example.com")
    site.supply("TN-C-S", Loops(0.21, 0.21))
    site.board("CU")
    site.circuit("CU", "9", flat(6, 11), 40)
    site.test("CU", "9")
    site.point("CP1", "CU", "9", "TD-7T", **_guarded("OPD-20418"))
    site.inspect()
    site.photos(*PHOTOS, "earth terminal")
    return site


def welsh_cottage() -> Site:
    """TN-S in Wales, designed before the change of edition; a socket-outlet point."""
    site = Site("LN-102", CREW_B, MONDAY)
    site.describe(
        "Siân Ŵyn-Enghraifft",
        "Bwthyn Dychmygol, Lôn Ffug, Unlle ZZ9 3CD",
        nation="Wales",
        surveyed=date(2026, 10, 2),
        designed=BEFORE_CHANGE,
    )
    site.supply("TN-S", Loops(0.44, 0.26), bonding_to="water", arc_fault="not asked for")
    site.board("CU", insulation=640)
    site.circuit("CU", "7", flat(6, 16), 40)
    # this crew also tries RCDs at five times and at half their current, which nobody must
    site.test("CU", "7", rcd_time_5=11, rcd_half="holds")
    site.point("CP1", "CU", "7", "TD-7S", place="Gable wall beside the gate")
    site.inspect()
    site.photos(*PHOTOS)
    return site


def farm_house() -> Site:
    """TT with an earth electrode, a time-delayed RCD before the board and the point's own RCD behind it."""
    site = Site("LN-103", CREW_A, MONDAY)
    site.describe(
        'Bartholomew Maximilian Featherstonehaugh-Placeholder of the "Old Pretend Dairy"',
        "The Old Pretend Dairy, Long Imaginary Lane, Nowhere-under-Hill ZZ4 5EF",
        nation="Scotland",
    )
    electrode = 58.3
    site.supply("TT", Loops(0.3, 0.3).at_electrode(electrode), bonding_to="water, oil", intake_place="Porch")
    site.board("CU", place="Porch", rcd_type="A", rcd_rating=100, rcd_delay="S", rcd_time=212)
    site.circuit("CU", "3", flat(6, 13), 40, rcd_for_fault="yes")
    site.test("CU", "3")
    site.point("CP1", "CU", "3", "TD-7T", place="Barn wall", open_pen="not needed")
    site.add(
        "Earth electrodes",
        {
            "electrode": "rod",
            "place": "Flower bed left of the porch",
            "resistance": electrode,
            "expected": 70,
            "conductor_size": 16,
            "conductor_run": "buried, protected against corrosion only",
            "measured_on": MONDAY,
            "instrument": CREW_A.tester,
        },
    )
    site.inspect()
    site.photos(*PHOTOS, "earth electrode")
    return site


def island() -> Site:
    """A TT island for the point of a house that stays on TN-C-S."""
    site = Site("LN-104", CREW_B, MONDAY)
    site.describe(
        "Jürgen & Änne Beispiel-Platzhalter", "6 Nonesuch Close, Nowhere-on-Sea ZZ1 4GH", client_language="German"
    )
    site.supply("TN-C-S", Loops(0.19, 0.19))
    site.board("CU")
    # the protective core joins the electrode at the point and ends at the enclosure; the armour reaches the house only
    cable = armoured(6, 18, parallel_path="no")
    site.circuit("CU", "8", cable, 40, earthing_system="TT", rcd_for_fault="yes")
    electrode = 41.6
    site.loops["CU/8"] = site.loops["CU/8"].at_electrode(electrode)
    site.test("CU", "8")
    site.point(
        "CP1", "CU", "8", "TD-7T", open_pen="TT island", open_pen_evidence="Electrode reading 41.6 Ω", dc_trip=4.6
    )
    site.add(
        "Earth electrodes",
        {
            "board": "CU",
            "circuit": "8",
            "electrode": "rod",
            "place": "Border behind the point",
            "resistance": electrode,
            "expected": 60,
            "rod_length": 2.4,
            "rod_diameter": 14.2,
            "soil": 100,
            "conductor_size": 16,
            "conductor_run": "buried, protected against corrosion only",
            "measured_on": MONDAY,
            "instrument": CREW_B.tester,
            "supply_earth_stops": "At the enclosure beside the consumer unit",
            "armour_isolated": "yes",
            "separation": 3.5,
        },
    )
    site.inspect()
    site.photos(*PHOTOS, "earth electrode")
    return site


def replacement() -> Site:
    """A point replaced on its existing circuit: no new circuit, so a minor works certificate."""
    site = Site("LN-111", CREW_A, THURSDAY)
    site.describe(
        "Jude Hypothetical",
        "3 Phantom Row, Nowhere-on-Sea ZZ1 9QR",
        work="addition or alteration without a new circuit",
        extent="Charge point replaced on its existing circuit; RCBO and cable unchanged",
        previous_document="XX-0457",
        previous_date=date(2021, 5, 20),
    )
    site.supply("TN-C-S", Loops(0.20, 0.20), surge="already there")
    site.board("CU")
    site.circuit("CU", "6", flat(6, 14, length_by="paced along the route"), 40, new="existing")
    site.test("CU", "6", insulation_ll=214, insulation_le=187)
    site.point("CP1", "CU", "6", "TD-7S")
    site.inspect()
    site.photos("board inside", "data plate", "finished charge point")
    return site


def let_house() -> Site:
    """A rented house, designed before the change of edition."""
    site = Site("LN-118", CREW_A, FRIDAY)
    site.describe(
        'A. Landlord & Sons <"Lettings">',
        "8 Mirage Street, Nowhere-on-Sea ZZ1 5ST",
        occupier="Kit Tenant-Example",
        client_address="Suite 2, 1 Unreal Parade, Nowhere-on-Sea ZZ1 1UV",
        premises="rented dwelling",
        surveyed=date(2026, 10, 1),
        designed=BEFORE_CHANGE,
        next_inspection=date(2031, 11, 20),
        next_reason="Rented dwelling: five years",
        client_shown="Kit Tenant-Example",
    )
    site.supply("TN-C-S", Loops(0.18, 0.18))
    site.board("CU", place="Under the stairs")
    cable = flat(10, 12, method="100 above ceiling, insulation to 100 mm")
    site.circuit("CU", "4", cable, 40)
    site.test("CU", "4")
    site.point("CP1", "CU", "4", "TD-7T", **_guarded("OPD-20431"))
    site.inspect()
    site.photos(*PHOTOS)
    return site


def retested_house() -> Site:
    """A first test that failed and was mended: both attempts stay on the record."""
    site = Site("LN-119", CREW_B, FRIDAY)
    site.describe("Łukasz Ćwiczebny", "55 Conjecture Crescent, Nowhere-on-Sea ZZ1 8WX")
    site.supply("TN-C-S", Loops(0.22, 0.22))
    site.board("CU")
    site.circuit("CU", "12", flat(6, 19), 40)
    not_live = dict.fromkeys(("zs", "rcd_time", "rcd_time_180"), "LIM")
    site.test(
        "CU",
        "12",
        insulation_le=0.4,
        attempt=1,
        **not_live,
        rcd_button="not tested",
        limitation_reason="Not energised, since the insulation had failed",
        remarks="Cable nicked at the entry; cut back and terminated again",
    )
    site.test("CU", "12", attempt=2)
    site.point("CP1", "CU", "12", "TD-7S")
    site.inspect()
    site.photos(*PHOTOS)
    return site


def tiled_house() -> Site:
    """What could not be reached in the existing installation is a limitation; a defect seen there is told."""
    site = Site("LN-116", CREW_B, FRIDAY)
    site.describe(
        "Ashley Supposition",
        "30 Chimera Gardens, Nowhere-on-Sea ZZ1 6YZ",
        limitations="Bonding clamp at the water pipe is behind tiles and was not uncovered; agreed with the client",
        defects="Socket-outlet in the utility room is loose on the wall; no live part within reach",
        defects_danger="no",
    )
    reason = "LIM: clamp is behind tiles"
    site.supply("TN-C-S", Loops(0.17, 0.17), bonding_continuity=reason)
    site.board("CU", insulation="LIM: existing circuits could not be switched off")
    site.circuit("CU", "5", flat(6, 8), 40)
    site.test("CU", "5")
    site.point("CP1", "CU", "5", "TD-7S")
    site.inspect(bonding="LIM")
    site.add(
        "Inspection remarks",
        {
            "aspect": "Protective and bonding conductors present and adequate",
            "remark": "Bonding clamp at the water pipe is behind tiles; conductor seen at the earth terminal only",
        },
    )
    site.photos(*PHOTOS, "other")
    return site


HOUSES = (
    terraced_house,
    welsh_cottage,
    farm_house,
    island,
    replacement,
    tiled_house,
    let_house,
    retested_house,
)
