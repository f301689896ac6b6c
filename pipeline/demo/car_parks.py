"""Two car parks with load management: a public one with two bays, and one with twelve."""

from datetime import date

from pipeline.demo.houses import PHOTOS, TUESDAY, WEDNESDAY
from pipeline.demo.physics import Loops, whole
from pipeline.demo.site import CREW_A, Cable, Site, TypedRow, armoured, multicore


def village_hall() -> Site:
    """Two public bays on a board of their own behind a distribution circuit."""
    site = Site("LN-107", CREW_A, TUESDAY)
    site.describe(
        "Nowhere-under-Hill Village Hall Trust",
        "Village Hall, Pretence Green, Nowhere-under-Hill ZZ4 2BC",
        premises="public",
        charging="public",
        extent="Distribution circuit to the car park, board there, two charge points and their circuits",
        circuits_total=3,
        points_total=2,
        client_shown="Robin Caretaker",
        next_inspection=date(2029, 11, 17),
        next_reason="Public charging: three years",
    )
    site.supply(
        "TN-C-S",
        Loops(0.12, 0.12),
        phases=3,
        neutral_size=35,
        agreed_capacity=100,
        operator_consent="given",
        consent_reference="NPN-2026-0398",
        demand_by="logged",
    )
    site.board("DB1", description="Distribution board", place="Plant room", main_switch_rating=125)
    _feed(site, armoured(16, 28), 63)
    site.board(
        "CP",
        fed=("DB1", "9"),
        description="Car-park board",
        place="Pillar beside bay 1",
        main_switch_rating=100,
    )
    for bay, length in ((1, 7), (2, 11)):
        _bay(site, bay, multicore(10, length), default_hours=None, random_delay=None)
    _manage(site, group_limit=40, fallback=6, tested_points=2)
    site.inspect(load_management="pass")
    site.photos(*PHOTOS)
    return site


def office_car_park() -> Site:
    """Twelve bays of an office, fed from a fuse-switch through a long armoured cable, on TN-S."""
    site = Site("LN-108", CREW_A, WEDNESDAY)
    site.describe(
        "Mirage & Partners <Consulting> plc",
        "Car park B, Nowhere Business Park, Nowhere-on-Sea ZZ2 8DE",
        premises="commercial",
        extent="Distribution circuit to the car park, board there, twelve charge points and their circuits",
        circuits_total=13,
        points_total=12,
        client_shown="Alex Facilities-Example",
        next_inspection=date(2031, 11, 18),
        next_reason="Commercial premises: five years",
    )
    _office_supply(site)
    site.board("MAIN", description="Panel board", place="Switch room", main_switch_rating=250)
    _feed(
        site,
        armoured(50, 53, cpc="separate conductor", cpc_size=25),
        125,
        device="BS 88-2",
        device_type="gG",
        device_poles=3,
        breaking_capacity=80,
    )
    site.board(
        "CP",
        fed=("MAIN", "9"),
        description="Car-park board",
        place="Feeder pillar beside bay 1",
        main_switch_rating=160,
    )
    for bay in range(1, 13):
        tray = {"method": "E", "grouped": 12, "grouping": "perforated tray"}
        _bay(site, bay, multicore(10, 6 + 3 * bay + whole(0, 2, "bay", bay), **tray))
    _manage(site, group_limit=100, fallback=6, tested_points=12)
    site.inspect(load_management="pass")
    site.photos(*PHOTOS, "data plate")
    return site


def _office_supply(site: Site) -> None:
    """A large three-phase intake, its demand logged."""
    site.supply(
        "TN-S",
        Loops(0.05, 0.05),
        phases=3,
        cutout_standard="BS 88-2",
        cutout_rating=200,
        agreed_capacity=200,
        tails_size=95,
        neutral_size=95,
        earthing_conductor=50,
        bonding_size=25,
        meter_rating=400,
        intake_place="Switch room",
        operator_consent="given",
        consent_reference="NPN-2026-0366",
        demand_l1=71,
        demand_l2=64,
        demand_l3=68,
        demand_by="logged",
    )


def _feed(site: Site, cable: Cable, rating: float, **cells: object) -> None:
    """The tested distribution circuit to the car park, way 9 of the first board."""
    board = str(site.rows["Boards"][0]["board"])
    usual: TypedRow = {"description": "Car-park board", "feeds": "distribution circuit", "device": "BS EN 60898"}
    site.circuit(board, "9", cable, rating, **{**usual, "breaking_capacity": 10, **cells})
    site.test(board, "9")


def _bay(site: Site, bay: int, cable: Cable, **cells: object) -> None:
    """One bay with its circuit, its test and its point under the common limit."""
    way = str(bay)
    site.circuit("CP", way, cable, 40, description=f"Charge point, bay {bay}", breaking_capacity=10)
    site.test("CP", way)
    usual: TypedRow = {"place": f"Post at bay {bay}", "scheme": "LM1", "data_link": "wired"}
    site.point(f"CP{bay}", "CP", way, "TD-22S", **{**usual, **cells})


def _manage(site: Site, **cells: object) -> None:
    """The load-management scheme of the car park, as set and as tested."""
    usual: TypedRow = {
        "scheme": "LM1",
        "board": "CP",
        "sensor_place": "Cable to the car-park board, at its first end",
        "sensor_checked": "yes",
        "changed_by": "Installer only",
        "limit_held": "yes",
        "fallback_held": "yes",
    }
    site.add("Load management", {**usual, **cells})


CAR_PARKS = (village_hall, office_car_park)
