"""The invented firm: its people, instruments, charge-point models, and the values that fill blank cells.

Makers, models and all their figures are invented; they are plausible and belong to no product.
"""

from datetime import date

TypedRow = dict[str, object]

FIRM: TypedRow = {
    "name": "Larkspur & Nettle Charging (invented)",
    "address": "3 Pretend Yard, Nowhere-on-Sea ZZ1 1ZZ",
    "telephone": "01632 960010",
    "email": "office@example.com",
    "registration_body": "Imaginary Register of Electricians",
    "registration_number": "IRE-000123",
    "registration_covers": "Electrical work in dwellings and small commercial premises",
    "self_certifies": "yes",
    "prefix": "LN",
    "complaints": "complaints@example.com",
    "privacy": "We keep names and addresses only to hold your certificate; ask us for a copy at any time.",
    "emergency": "999 or 112",
    "colour": "1F4E5F",
    "building_email": "notices@example.com",
}

_DEFAULTS: dict[str, TypedRow] = {
    "Jobs": {
        "Rules": "uk",
        "Nation": "England",
        "Kind of work": "new circuit",
        "Premises": "dwelling",
        "Charging": "private",
        "Reason for that date": "Ten years, or a change of occupier if sooner",
        "Designer": "CJN",
        "Supervisor": "CJN",
    },
    "Supplies": {
        "Phases": 1,
        "Nominal voltage": 230,
        "Frequency": 50,
        "Cut-out standard": "BS 88-3",
        "Cut-out fuse type": "gG",
        "Operator's emergency number": "01632 960105",
        "Operator's e-mail": "connections@example.com",
        "Earthing conductor material": "copper",
        "Bonding material": "copper",
    },
    "Boards": {"Phases": 1, "Main switch standard": "BS EN 60947-3", "Devices of mixed makes": "no"},
    "Circuits": {
        "Feeds": "final circuit of a charge point",
        "New or existing": "new",
        "Phases": 1,
        "Cable": "flat twin and earth",
        "Insulation": "PVC 70 °C",
        "Protective conductor": "core of the cable",
        "Reference method": "C",
        "Circuits grouped": 1,
        "Ambient or ground temperature": 30,
        "Length within thermal insulation": 0,
        "Terminals rated": 70,
        "Device standard": "BS EN 61009",
        "Device type": "B",
        "Device poles": 2,
        "Breaking capacity": 6,
        "RCD is the fault protection": "no",
        "Parallel earth path": "no",
    },
    "Readings": {"Attempt": 1, "Point connected during it": "no"},
    "Charge points": {
        "Indoors or outdoors": "outdoors",
        "Can a vehicle be charged outdoors from it": "yes",
        "Its own RCD is": "at the board",
    },
}
DEFAULTS: list[TypedRow] = [
    {"sheet": sheet, "column": column, "value": value}
    for sheet, columns in _DEFAULTS.items()
    for column, value in columns.items()
]

_AUTHORISED: TypedRow = {"valid_from": date(2026, 1, 1), "valid_to": date(2027, 12, 31), "signs": "ink"}
PEOPLE: list[TypedRow] = [
    {
        "person": "AMP",
        "name": "Ada May Placeholder",
        "roles": "construction, inspection and testing",
        "qualification": "Qualified electrician",
        "registration": "IRE-P-0101",
        "email": "ada@example.com",
        **_AUTHORISED,
    },
    {
        "person": "BWD",
        "name": "Bryn Ŵyn Dychmygol",
        "roles": "construction, inspection and testing",
        "qualification": "Qualified electrician",
        "registration": "IRE-P-0102",
        "email": "bryn@example.com",
        **_AUTHORISED,
    },
    {
        "person": "CJN",
        "name": "Cass Jo Notional",
        "roles": "design, inspection and testing, qualified supervisor",
        "qualification": "Electrical engineer",
        "registration": "IRE-P-0100",
        "email": "cass@example.com",
        **_AUTHORISED,
    },
]

_MULTIFUNCTION = (
    "continuity, insulation resistance, loop impedance, prospective fault current, RCD, earth electrode, "
    "voltage, phase sequence"
)
INSTRUMENTS: list[TypedRow] = [
    {
        "instrument": name,
        "description": description,
        "serial": f"INV-{number:05}",
        "functions": functions,
        "loop_method": "no-trip" if functions == _MULTIFUNCTION else None,
        "certificate": f"CAL-2026-{number % 1000:03}",
        "calibrated": date(2026, 3, 9),
        "due": date(2027, 3, 9),
    }
    for name, description, number, functions in (
        ("T1", "Multifunction tester", 40117, _MULTIFUNCTION),
        ("T2", "Multifunction tester", 40233, _MULTIFUNCTION),
        ("TQ1", "Torque screwdriver", 52018, "torque"),
        ("TQ2", "Torque screwdriver", 52019, "torque"),
        ("PA1", "Charge-point adapter with duty meter", 61004, "control pilot"),
    )
]
ACCURACIES: list[TypedRow] = [
    {"instrument": instrument, "function": function, "percent": percent, "digits": digits, "last_place": place}
    for instrument in ("T1", "T2")
    for function, percent, digits, place in (
        ("continuity", 2, 2, "0.01 Ω"),
        ("insulation resistance", 3, 2, "0.1 MΩ"),
        ("loop impedance", 3, 3, "0.01 Ω"),
        ("prospective fault current", 5, 3, "0.01 kA"),
        ("RCD", 2, 2, "1 ms"),
        ("earth electrode", 2, 3, "0.1 Ω"),
        ("voltage", 2, 2, "0.1 V"),
    )
]

_ALIKE: TypedRow = {
    "maker": "Thistledown Devices (invented)",
    "instructions": "Issue 3, 2026-02",
    "lowest_limit": 6,
    "terminal_smallest": 2.5,
    "terminal_largest": 16,
    "terminal_rating": 70,
    "stripping": 12,
    "torque": 2.0,
    "torque_tolerance": 10,
    "height_lowest": 0.75,
    "height_highest": 1.2,
    "mass": 4.8,
    "entry_smallest": 9,
    "entry_largest": 25,
    "ip": "IP54",
    "ik": "IK10",
    "coldest": -25,
    "hottest": 45,
    "dc_detection": "6 mA device",
    "dc_testable": "yes",
    "rcd_inside": "no",
    "upstream_rcd": "A",
    "insulation_test": "no",
    "data_links": "wireless, wired",
    "returns_power": "no",
    "start_steps": "Plug the cable into the car. The light turns blue and charging starts, or waits for its hours.",
    "stop_steps": "Unlock the car and pull out the plug, then hang the cable up.",
}
_TETHERED: TypedRow = {"connection": "tethered cable", "cable_length": 6}
_SOCKET: TypedRow = {
    "connection": "socket-outlet",
    "start_steps": "Plug your cable into the point, then into the car. The light turns blue when charging starts.",
    "stop_steps": "Unlock the car, pull out its plug, then the plug at the point.",
}
_SINGLE: TypedRow = {"phases": 1, "upstream_device": "40 A, type B or C"}
_THREE: TypedRow = {"phases": 3, "torque": 2.5, "mass": 6.2}
_AT_32: TypedRow = {"rated_current": 32, "highest_limit": 32}
MODELS: list[TypedRow] = [
    {**_ALIKE, **each}
    for each in (
        {
            "model": "TD-7T",
            "designation": "Meadow 7 tethered",
            "rated_power": 7.4,
            "open_pen_inside": "none",
            **_TETHERED,
            **_SINGLE,
            **_AT_32,
        },
        {
            "model": "TD-7S",
            "designation": "Meadow 7 socket",
            "rated_power": 7.4,
            "open_pen_inside": "single-phase",
            **_SOCKET,
            **_SINGLE,
            **_AT_32,
        },
        {
            "model": "TD-22S",
            "designation": "Meadow 22 socket",
            "rated_power": 22,
            "open_pen_inside": "three-phase",
            "upstream_device": "40 A, type B or C",
            **_SOCKET,
            **_THREE,
            **_AT_32,
        },
        {
            "model": "TD-11T",
            "designation": "Meadow 11 tethered",
            "rated_power": 11,
            "rated_current": 16,
            "highest_limit": 16,
            "open_pen_inside": "none",
            "upstream_device": "20 A, type B or C",
            "returns_power": "yes",
            **_TETHERED,
            **_THREE,
        },
    )
]
FIXINGS: list[TypedRow] = [
    {
        "model": model["model"],
        "place": place,
        "count": count,
        "screw_diameter": 5.5,
        "screw_length": 60,
        "plug_diameter": 8,
        "plug_length": 40,
        "hole_diameter": 8,
        "hole_depth": 55,
        "proud": proud,
    }
    for model in MODELS
    for place, count, proud in (("wall plate", 4, None), ("cable hook", 2, None))
    if place == "wall plate" or model["connection"] == "tethered cable"
]
INDICATORS: list[TypedRow] = [
    {"model": model["model"], "shows": shows, "means": means, "action": action}
    for model in MODELS
    for shows, means, action in (
        ("Steady white", "Ready", "Nothing"),
        ("Slow blue", "Waiting for its charging hours", "Nothing; press 'charge now' in the app to start at once"),
        ("Steady blue", "Charging", "Nothing"),
        ("Flashing red", "Fault", "Unplug, switch off at the board, call the installer"),
    )
]
WEEK_ROWS: dict[str, list[TypedRow]] = {
    "Firm": [FIRM],
    "Defaults": DEFAULTS,
    "People": PEOPLE,
    "Instruments": INSTRUMENTS,
    "Accuracies": ACCURACIES,
    "Models": MODELS,
    "Fixings": FIXINGS,
    "Indicators": INDICATORS,
}
