"""What stands beside the symbols of a single-line diagram, worded from the cells of the record."""

from collections.abc import Iterable

from pipeline.documents.pictures.lettering import HARD_SPACE
from pipeline.documents.pictures.network import Block, Way, shown, told
from pipeline.documents.rows.origin import UNPLUG
from pipeline.documents.texts import Json
from pipeline.facts.choices import SourceKind


def listed(parts: Iterable[str], between: str = ", ") -> str:
    """The parts that say something."""
    return between.join(each for each in parts if each)


def after(word: str, text: str) -> str:
    """A word and a text, or nothing without the text."""
    return f"{word} {text}" if text else ""


def phases(row: Json) -> str:
    """One or three phases."""
    number = shown(row, "phases")
    return f"{number}-phase" if number else ""


def poles(row: Json, name: str) -> str:
    """The number of poles."""
    number = shown(row, name)
    return f"{number}-pole" if number else ""


def device(circuit: Json) -> str:
    """The overcurrent protective device of a circuit."""
    kind = after("type", shown(circuit, "device_type"))
    name = listed((shown(circuit, "device"), kind), " ")
    rating = listed((name, told(circuit, "device_rating")), " ")
    return listed((rating, poles(circuit, "device_poles"), told(circuit, "breaking_capacity")))


def residual(row: Json) -> str:
    """The residual current device of a circuit, a board or a point."""
    standard, kind, rating = shown(row, "rcd_standard"), shown(row, "rcd_type"), told(row, "rcd_rating")
    if not (standard or kind or rating):
        return ""
    delay = shown(row, "rcd_delay")
    head = listed(("RCD", standard, after("type", kind), rating), " ")
    return listed((head, poles(row, "rcd_poles"), after("delay", delay if delay != "none" else "")))


def contact(circuit: Json) -> str:
    """A switch or contactor in a circuit."""
    return after("switch or contactor", told(circuit, "switch_rating"))


def cable(circuit: Json) -> str:
    """Construction, conductors and length of a cable."""
    live, protective = shown(circuit, "live_size"), told(circuit, "cpc_size")
    sizes = f"{live}{HARD_SPACE}+{HARD_SPACE}{protective}" if live and protective else told(circuit, "live_size")
    return listed((shown(circuit, "cable"), sizes, told(circuit, "length")))


def route(circuit: Json) -> str:
    """What else a cable is and how it lies."""
    protective = after("protective conductor:", shown(circuit, "cpc"))
    method = after("method", shown(circuit, "method"))
    return listed(
        (phases(circuit), shown(circuit, "insulation"), method, protective, shown(circuit, "earthing_system"))
    )


def title(circuit: Json) -> str:
    """The description of a circuit and whether it came with this work."""
    return listed((shown(circuit, "description"), shown(circuit, "new")))


def point(row: Json, models: dict[str, Json]) -> str:
    """Everything about a charge point that the diagram says beside its designation."""
    short = shown(row, "model")
    model = models.get(short, {})
    measure = after("open PEN:", shown(row, "open_pen"))
    inside = after("inside:", residual(row))
    limit = listed((after("limit", told(row, "current_limit")), after("for now", told(row, "temporary_limit"))), ", ")
    managed = after("load management", shown(row, "scheme"))
    named = listed((short, shown(model, "designation")), " · ")
    return listed((named, phases(model), limit, shown(row, "place"), inside, measure, managed))


def electrode(row: Json) -> str:
    """An earth electrode."""
    resistance = told(row, "resistance") or after("expected", told(row, "expected"))
    kind = listed((shown(row, "electrode"), resistance), " ")
    stops = after("supply's earth stops:", shown(row, "supply_earth_stops"))
    return listed((after("Earth electrode:", kind) or "Earth electrode", shown(row, "place"), stops))


def scheme(row: Json) -> str:
    """A load management scheme where it measures, with the sensor's place on that line in the words of the record."""
    limit, fallback = told(row, "group_limit"), told(row, "fallback")
    sensor = after("sensor:", shown(row, "sensor_place"))
    return listed((after("Load management", shown(row, "scheme")), limit, after("falls back to", fallback), sensor))


def other_source(row: Json) -> str:
    """A source besides the public supply, without its kind."""
    island = after("runs without the grid:", shown(row, "island_mode"))
    isolated = after("isolated:", shown(row, "isolator_place"))
    unplug = UNPLUG if shown(row, "source") == SourceKind.VEHICLE else ""
    return listed((told(row, "rating"), phases(row), after("consent", shown(row, "consent")), island, unplug, isolated))


def main_switch(board: Json) -> str:
    """The main switch of a board."""
    text = listed((told(board, "main_switch_rating"), poles(board, "main_switch_poles")))
    return after("Main switch", text) if board else ""


def board(block: Block) -> str:
    """Everything about a board that its heading says beside its designation."""
    row = block.row
    if not row:
        return "not described on the sheet of boards"
    system = shown(row, "earthing_system")
    conditional = after("assembly", told(row, "conditional_rating"))
    return listed((shown(row, "description"), shown(row, "place"), phases(row), system, conditional))


def spoken(block: Block) -> str:
    """A board and its ways in one sentence, for those who cannot see the drawing."""
    ways = listed((_spoken_way(way) for way in block.ways), "; ")
    return f"Board {block.name or 'without a name'}: {ways or 'nothing leaves it'}."


def _spoken_way(way: Way) -> str:
    """One way in words."""
    if way.source:
        return f"{shown(way.source, 'source')} source"
    served = [*(shown(each, "point") for each in way.points), *(f"board {name}" for name in way.feeds)]
    head = listed((after("circuit", way.number) or "way without a number", way.remark))
    fed = after(", through which a vehicle feeds back:", UNPLUG if way.vehicles else "")
    return (after(head, after("to", listed(served))) if served else head) + fed


def intake(supply: Json) -> dict[str, str]:
    """The texts of the intake by what they stand beside."""
    source = listed(
        (
            after("Public supply:", listed((phases(supply), told(supply, "voltage"), told(supply, "frequency")))),
            shown(supply, "earthing_system"),
            listed((after("Ze", told(supply, "ze")), shown(supply, "ze_by")), " "),
            after("fault current", told(supply, "fault_current")),
            after("operator:", shown(supply, "operator")),
        )
    )
    rating = listed((after("Cut-out", shown(supply, "cutout_standard")), told(supply, "cutout_rating")))
    looped = after("looped supply:", shown(supply, "looped"))
    tails = listed((after("tails", told(supply, "tails_size")), told(supply, "tails_length")))
    return {
        "supply": source or "Public supply: not stated",
        "cut-out": listed((rating or "Cut-out: not stated", shown(supply, "cutout_status"), looped)),
        "meter": listed((listed(("Meter", told(supply, "meter_rating")), " "), tails)),
        "earth": _earth(supply),
    }


def _earth(supply: Json) -> str:
    """The main earthing terminal and what is joined to it."""
    bonding = listed((told(supply, "bonding_size"), shown(supply, "bonding_material")), " ")
    conductor = after("earthing conductor", told(supply, "earthing_conductor"))
    bonded = listed((after("bonding", bonding), after("to", shown(supply, "bonding_to"))), " ")
    return listed(("Main earthing terminal", conductor, bonded))
