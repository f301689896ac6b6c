"""Jobs that must not be issued, each for one kind of reason, and one that is still to be visited."""

from datetime import date

from pipeline.demo.houses import FRIDAY, PHOTOS, THURSDAY, WEDNESDAY
from pipeline.demo.physics import Loops
from pipeline.demo.site import CREW_A, CREW_B, Site, flat
from pipeline.facts.field import Needed
from pipeline.facts.sheets import BY_TITLE

AFTER_THE_VISIT = ("Readings", "Inspections", "Inspection remarks", "Photos")
DESIGNED = {
    "Charge points": (
        *("model", "place", "board", "circuit", "current_limit", "limit_locked", "open_pen", "reach_to"),
    ),
}


def old_upstream_rcd() -> Site:
    """A type AC RCD stands before the circuits of the board."""
    site = Site("LN-110", CREW_B, WEDNESDAY)
    site.describe("Frankie Fabricated", "12 Phantasm Place, Nowhere-on-Sea ZZ1 3FG")
    site.supply("TN-C-S", Loops(0.24, 0.24))
    site.board("CU", rcd_type="AC", rcd_rating=100, rcd_delay="S")
    site.circuit("CU", "8", flat(6, 10), 40)
    site.test("CU", "8")
    site.point("CP1", "CU", "8", "TD-7S")
    site.inspect()
    site.photos(*PHOTOS)
    return site


def high_loop() -> Site:
    """A loop impedance far beyond its limit: a loose protective conductor, live already."""
    site = Site("LN-113", CREW_A, THURSDAY)
    site.describe("Charlie Contrived", "77 Pretence Road, Nowhere-on-Sea ZZ1 3HJ")
    site.supply("TN-C-S", Loops(0.20, 0.20))
    site.board("CU")
    site.circuit("CU", "7", flat(6, 15), 40)
    site.test("CU", "7", zs=2.37)
    site.point("CP1", "CU", "7", "TD-7S")
    site.inspect()
    site.photos(*PHOTOS)
    return site


def mistyped() -> Site:
    """A sheet typed in a hurry: letters for digits, an impossible date, unknown names, a blank, a slip of the unit."""
    site = Site("LN-114", CREW_B, THURSDAY)
    site.describe(
        "Jo Nobody",
        "9 Illusion Lane, Nowhere-on-Sea ZZ1 3KL",
        energised="31/11/2026",
        tester="BVD",
        circuits_total=2,
    )
    site.supply("TN-C-S", Loops(0.22, 0.22), fault_current=1090)
    site.board("CU")
    # readings of another circuit, a ring, slipped into this row
    ends = {"ring_r1": 0.31, "ring_rn": 0.32, "ring_r2": 0.52}
    site.circuit("CU", "10", flat(6, 12), 40)
    site.test("CU", "10", r1_r2="O.12", insulation_le=None, polarity="ok", zs="ditto", **ends)
    site.point("CP1", "CU", "10", "TD-7S")
    site.inspect()
    site.photos(*PHOTOS)
    return site


def marginal() -> Site:
    """A long run on TN-S: nothing fails, but the loop and the insulation lie where a person has to look."""
    site = Site("LN-115", CREW_A, FRIDAY)
    site.describe("Billie Notreal", "101 Far End, Nowhere-under-Hill ZZ4 3MN")
    site.supply("TN-S", Loops(0.45, 0.31))
    site.board("CU")
    site.circuit("CU", "6", flat(10, 74), 40)
    site.test("CU", "6", insulation_le=6.8)
    site.point("CP1", "CU", "6", "TD-7S", place="Far end of the drive")
    site.inspect()
    site.photos(*PHOTOS)
    return site


def next_week() -> Site:
    """Surveyed and designed, to be visited next week: judged on its design alone."""
    site = Site("LN-117", CREW_A, date(2026, 12, 1))
    site.describe(
        "Robin Unreal",
        "2 Vision View, Nowhere-on-Sea ZZ1 3PQ",
        state="to visit",
        client_telephone="01632 960117",
        built=1974,
        asbestos="unknown",
        buried_services="Gas pipe along the drive, 0.5 m from the wall",
        may_isolate="Robin Unreal, householder",
        access="From 8:00; side gate is open, park on the drive",
    )
    site.supply(
        "TN-C-S",
        Loops(0.35, 0.35),
        ze_by="by enquiry",
        ze_date=date(2026, 11, 10),
        fault_current=16,
        fault_current_by="by enquiry",
    )
    # what the operator declares is more than the devices break alone
    site.board(
        "CU",
        fault_current=None,
        board_zs=None,
        conditional_rating=16,
        conditional_source="Declaration of the board's maker (invented)",
    )
    site.circuit("CU", "8", flat(6, 14), 40)
    site.point("CP1", "CU", "8", "TD-7S", reach_to="Left rear wing of a car parked nose first, 3.5 m from the point")
    _before_the_visit(site)
    return site


def _before_the_visit(site: Site) -> None:
    """Take out every cell that is only known once the electrician has been."""
    for sheet, rows in site.rows.items():
        fields = BY_TITLE[sheet].row.fields()
        kept = DESIGNED.get(sheet)
        for row in rows:
            for name in [each for each in row if fields[each].needed is Needed.TEST]:
                del row[name]
            if kept:
                for name in [each for each in row if not fields[each].key and each not in kept]:
                    del row[name]


HELD = (old_upstream_rcd, high_loop, mistyped, marginal)
PLANNED = (next_week,)
