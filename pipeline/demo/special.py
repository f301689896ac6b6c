"""Honest jobs with something that a plain house has not: three phases, a second board, a second source, other rules."""

from datetime import date

from pipeline.demo.houses import PHOTOS, THURSDAY, TUESDAY
from pipeline.demo.physics import Loops
from pipeline.demo.site import CREW_A, CREW_B, Site, armoured, flat, multicore


def workshop() -> Site:
    """Three-phase 22 kW at a workshop on TN-C-S; a socket-outlet point that watches all three phases."""
    site = Site("LN-105", CREW_A, TUESDAY)
    site.describe(
        "Pritchard & Daughters <Joinery> Ltd",
        "Unit 4, Fictional Works, Nowhere-on-Sea ZZ2 1JK",
        premises="commercial",
        next_inspection=date(2031, 11, 17),
        next_reason="Commercial premises: five years",
        client_shown="Morgan Pritchard",
    )
    site.supply(
        "TN-C-S",
        Loops(0.11, 0.11),
        phases=3,
        agreed_capacity=100,
        neutral_size=35,
        operator_consent="given",
        consent_reference="NPN-2026-0417",
        demand_by="logged",
    )
    site.board("DB1", description="Distribution board", main_switch_rating=125, place="Workshop, back wall")
    site.circuit("DB1", "5", multicore(10, 24, method="C"), 40, breaking_capacity=10)
    site.test("DB1", "5")
    site.point("CP1", "DB1", "5", "TD-22S", place="Yard wall beside the shutter")
    site.inspect()
    site.photos(*PHOTOS, "data plate")
    return site


def garage() -> Site:
    """A detached garage at the end of a long armoured cable, with a board of its own."""
    site = Site("LN-106", CREW_B, TUESDAY)
    site.describe(
        "Rowan Figment",
        "Invention House, Nowhere-under-Hill ZZ4 6LM",
        extent="Armoured cable to the garage, board there, one charge point and its circuit",
        circuits_total=2,
        buried_services="Water pipe along the drive, marked on the plan",
    )
    site.supply("TN-C-S", Loops(0.16, 0.16))
    site.board("CU")
    site.circuit(
        "CU",
        "10",
        armoured(16, 42, method="D1 in duct", ambient=20, burial_depth=0.6),
        63,
        description="Garage board",
        feeds="distribution circuit",
        device="BS EN 60898",
    )
    site.test("CU", "10")
    site.board(
        "GARAGE",
        fed=("CU", "10"),
        description="Garage board",
        place="Garage, beside the door",
        main_switch_rating=63,
    )
    site.circuit("GARAGE", "1", flat(6, 5), 40)
    site.test("GARAGE", "1")
    site.point("CP1", "GARAGE", "1", "TD-7S", place="Outside wall of the garage")
    site.inspect(buried="pass")
    site.photos(*PHOTOS, "trench before backfill")
    return site


def solar_house() -> Site:
    """A house with solar generation on the board that feeds the point."""
    site = Site("LN-109", CREW_B, TUESDAY)
    site.describe("Łucja Żółkiewska-Przykład", "21 Daydream Avenue, Nowhere-on-Sea ZZ1 7NP")
    # an 80 A fuse and 16 A of generation together are within the board's 100 A
    site.supply("TN-C-S", Loops(0.23, 0.23), cutout_rating=80)
    site.board("CU")
    site.circuit("CU", "11", flat(6, 9), 40, directions="both directions")
    site.test("CU", "11")
    site.point("CP1", "CU", "11", "TD-7S")
    site.add(
        "Other sources",
        {
            "source": "solar",
            "rating": 3.6,
            "phases": 1,
            "board": "CU",
            "consent": "given",
            "island_mode": "no",
            "isolator_place": "Loft, beside the inverter",
            "notices_fitted": "yes",
        },
    )
    site.inspect(other_sources="pass")
    site.photos(*PHOTOS)
    return site


def abroad() -> Site:
    """A house elsewhere, judged by the international rules: three-phase, 11 kW in both directions, TN-S."""
    site = Site("LN-112", CREW_B, THURSDAY)
    site.describe(
        "Zażółć Gęślą-Jaźń",
        "Ulica Zmyślona 7, 00-000 Nigdzie",
        family="iec",
        nation="elsewhere",
        emergency="112",
        surveyed=date(2026, 9, 24),
        designed=date(2026, 10, 1),
    )
    site.supply(
        "TN-S",
        Loops(0.28, 0.19),
        phases=3,
        cutout_standard="BS 88-2",
        cutout_rating=63,
        operator_emergency="01632 960199",
    )
    site.board("RG", description="Main board", main_switch_rating=80, main_switch_poles=4)
    site.circuit("RG", "F7", multicore(4, 17), 20, directions="both directions")
    site.test("RG", "F7")
    later = {
        "temporary_limit": 10,
        "charge_power": 6.9,
        "temporary_reason": "Until the client's meter is changed, expected in January",
    }
    site.point("CP1", "RG", "F7", "TD-11T", default_hours=None, random_delay=None, cable_diameter=15, **later)
    site.add(
        "Other sources",
        {
            "source": "vehicle",
            "rating": 11,
            "phases": 3,
            "board": "RG",
            "consent": "given",
            "island_mode": "no",
            "isolator_place": "Main board, way F7",
            "notices_fitted": "yes",
        },
    )
    site.inspect(other_sources="pass")
    site.photos(*PHOTOS)
    return site


SPECIAL = (workshop, garage, solar_house, abroad)
