"""The closed choices of the workbook, in the trade's words; each becomes a drop-down list."""

from enum import StrEnum


class YesNo(StrEnum):
    """A plain question."""

    YES = "yes"
    NO = "no"


class YesNoUnknown(StrEnum):
    """A question that an honest answer may leave open."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class JobState(StrEnum):
    """Whether the electrician has been."""

    TO_VISIT = "to visit"
    TESTED = "tested"


class RuleFamily(StrEnum):
    """Which family of rules the job is judged by; its design date chooses the edition."""

    UK = "uk"
    IEC = "iec"


class Nation(StrEnum):
    """Where the site lies, for the duties to tell building control."""

    ENGLAND = "England"
    WALES = "Wales"
    SCOTLAND = "Scotland"
    NORTHERN_IRELAND = "Northern Ireland"
    ELSEWHERE = "elsewhere"


class WorkKind(StrEnum):
    """What was done; it chooses between the installation and the minor works certificate."""

    NEW_INSTALLATION = "new installation"
    NEW_CIRCUIT = "new circuit"
    NO_NEW_CIRCUIT = "addition or alteration without a new circuit"


class ClientLanguage(StrEnum):
    """Languages in which what the client reads can be had."""

    ENGLISH = "English"
    GERMAN = "German"


class Premises(StrEnum):
    """Kind of premises."""

    DWELLING = "dwelling"
    RENTED_DWELLING = "rented dwelling"
    FLATS = "flats"
    FLATS_CAR_PARK = "car park belonging to dwellings"
    COMMERCIAL = "commercial"
    INDUSTRIAL = "industrial"
    PUBLIC = "public"
    FARM = "farm"
    CARAVAN_PARK = "caravan park"
    MARINA = "marina"
    FILLING_STATION = "filling station"


class Charging(StrEnum):
    """Who may charge there."""

    PRIVATE = "private"
    PUBLIC = "public"


class Adequacy(StrEnum):
    """State of the earthing and bonding that was there before."""

    ADEQUATE = "adequate"
    INADEQUATE = "inadequate"
    IMPROVED = "improved with this work"
    NOT_APPLICABLE = "N/A"


class Role(StrEnum):
    """What a person may sign for."""

    DESIGN = "design"
    CONSTRUCTION = "construction"
    TESTING = "inspection and testing"
    SUPERVISOR = "qualified supervisor"


class Signs(StrEnum):
    """How a person signs."""

    KEY = "key"
    INK = "ink"


class Function(StrEnum):
    """What an instrument measures or is used for."""

    CONTINUITY = "continuity"
    INSULATION = "insulation resistance"
    LOOP = "loop impedance"
    FAULT_CURRENT = "prospective fault current"
    RCD = "RCD"
    ELECTRODE = "earth electrode"
    VOLTAGE = "voltage"
    SEQUENCE = "phase sequence"
    TORQUE = "torque"
    PILOT = "control pilot"


ELECTRICAL = frozenset(Function) - {Function.TORQUE, Function.PILOT}
"""What a tester of circuits does."""


class LoopMethod(StrEnum):
    """How an instrument measures loop impedance."""

    HIGH_CURRENT = "two-lead high current"
    NO_TRIP = "no-trip"


class Connection(StrEnum):
    """How the vehicle is connected."""

    TETHERED = "tethered cable"
    SOCKET = "socket-outlet"


class DcDetection(StrEnum):
    """Protection against smooth d.c. residual current inside the charge point."""

    NONE = "none"
    SIX_MA = "6 mA device"
    TYPE_B = "type B RCD"


class OpenPenInside(StrEnum):
    """Open-PEN protection built into a model."""

    NONE = "none"
    SINGLE_PHASE = "single-phase"
    THREE_PHASE = "three-phase"


class RcdType(StrEnum):
    """Types of residual current device by the currents they detect (IEC 60755)."""

    AC = "AC"
    A = "A"
    F = "F"
    B = "B"
    UNREAD = "type not read"


class RcdDelay(StrEnum):
    """Time delay of a residual current device."""

    NONE = "none"
    S = "S"


class DataLink(StrEnum):
    """How a charge point talks to the world."""

    WIRED = "wired"
    MOBILE = "mobile"
    WIRELESS = "wireless"
    NONE = "none"


class EarthingSystem(StrEnum):
    """Types of system earthing (IEC 60364-1, 312.2)."""

    TN_S = "TN-S"
    TN_C_S = "TN-C-S"
    TT = "TT"


class ByWhat(StrEnum):
    """How a value at the origin was found."""

    MEASURED = "measured"
    CALCULATED = "calculated"
    ENQUIRY = "by enquiry"


class ZsSource(StrEnum):
    """Whether a loop impedance was measured or calculated."""

    MEASURED = "measured"
    CALCULATED = "calculated"


class CutOutStatus(StrEnum):
    """How sure the rating of the supply cut-out is."""

    CONFIRMED = "confirmed"
    MARKED = "marked on the carrier"
    UNKNOWN = "unknown"


class Material(StrEnum):
    """Conductor material."""

    COPPER = "copper"
    ALUMINIUM = "aluminium"
    STEEL = "steel"


class DemandMethod(StrEnum):
    """How the demand before the work was found."""

    LOGGED = "logged"
    MEASURED = "measured"
    CALCULATED = "calculated with diversity"
    METER_DATA = "meter data"


class SurgeProtection(StrEnum):
    """Decision on surge protection."""

    FITTED = "fitted"
    PRESENT = "already there"
    OMITTED_RISK = "omitted after risk assessment"
    OMITTED_CLIENT = "omitted at the client's written wish"


class ArcFaultDetection(StrEnum):
    """Decision on arc-fault detection, where the premises ask for one."""

    FITTED = "fitted"
    NOT_ASKED = "not asked for"
    OMITTED = "omitted after risk assessment"


class HalfTest(StrEnum):
    """What an RCD did at half its rated residual current."""

    HOLDS = "holds"
    TRIPS = "trips"
    NOT_APPLICABLE = "N/A"


class SourceKind(StrEnum):
    """Other sources of supply at the site."""

    SOLAR = "solar"
    BATTERY = "battery"
    GENERATOR = "generator"
    VEHICLE = "vehicle"


class Consent(StrEnum):
    """The network operator's consent."""

    GIVEN = "given"
    APPLIED = "applied for"
    NOT_NEEDED = "not needed"
    NONE = "none"


class CircuitKind(StrEnum):
    """What a circuit feeds."""

    FINAL = "final circuit of a charge point"
    DISTRIBUTION = "distribution circuit"


class CableType(StrEnum):
    """Construction of a cable."""

    FLAT_TWIN = "flat twin and earth"
    MULTICORE = "multicore sheathed"
    ARMOURED = "armoured"
    SINGLES = "singles in conduit or trunking"


class Insulation(StrEnum):
    """Insulation of a cable with its highest operating temperature."""

    PVC_70 = "PVC 70 °C"
    XLPE_90 = "XLPE 90 °C"


class ProtectiveConductor(StrEnum):
    """What serves as protective conductor."""

    CORE = "core of the cable"
    ARMOUR = "armour"
    CORE_AND_ARMOUR = "core and armour"
    SEPARATE = "separate conductor"


class Method(StrEnum):
    """Installation reference methods (IEC 60364-5-52, Table B.52.1)."""

    A = "A"
    A1 = "A1"
    A2 = "A2"
    B = "B"
    B1 = "B1"
    B2 = "B2"
    C = "C"
    D1 = "D1 in duct"
    D2 = "D2 direct in ground"
    E = "E"
    LOFT_100 = "100 above ceiling, insulation to 100 mm"
    LOFT_101 = "101 above ceiling, insulation over 100 mm"
    WALL_102 = "102 in insulated wall, touching"
    WALL_103 = "103 in insulated wall, surrounded"


class Grouping(StrEnum):
    """How grouped circuits lie (rows of IEC 60364-5-52, Tables B.52.17 to B.52.19)."""

    BUNCHED = "bunched or enclosed"
    WALL = "single layer on wall or floor"
    CEILING = "single layer under ceiling"
    TRAY = "perforated tray"
    LADDER = "ladder"
    DUCTS = "ducts touching"
    BURIED = "buried touching"


class DeviceStandard(StrEnum):
    """Standards of overcurrent protective devices."""

    MCB = "BS EN 60898"
    RCBO = "BS EN 61009"
    MCCB = "BS EN 60947-2"
    FUSE_88_2 = "BS 88-2"
    FUSE_88_3 = "BS 88-3"
    FUSE_3036 = "BS 3036"
    FUSE_1361 = "BS 1361"


class DeviceType(StrEnum):
    """Tripping characteristic or utilisation category."""

    B = "B"
    C = "C"
    D = "D"
    GG = "gG"
    II = "II"


class SwitchStandard(StrEnum):
    """Standards of main switches."""

    SWITCH = "BS EN 60947-3"
    ISOLATOR = "BS EN 60669-2-4"
    RCCB = "BS EN 61008"
    BREAKER = "BS EN 60898"
    MCCB = "BS EN 60947-2"


class RcdStandard(StrEnum):
    """Standards of residual current devices."""

    RCCB = "BS EN 61008"
    RCBO = "BS EN 61009"
    F_OR_B = "BS EN 62423"
    CBR = "BS EN 60947-2"


class Directions(StrEnum):
    """Whether a device suits current in both directions."""

    BOTH = "both directions"
    ONE = "one direction"
    UNKNOWN = "unknown"


class NewOrExisting(StrEnum):
    """Whether a circuit came with this work."""

    NEW = "new"
    EXISTING = "existing"


class Confirmed(StrEnum):
    """Outcome of a check that has only two sides."""

    CONFIRMED = "confirmed"
    WRONG = "wrong"
    NOT_APPLICABLE = "N/A"


class Works(StrEnum):
    """Outcome of a functional test."""

    WORKS = "works"
    FAILED = "failed"
    NOT_TESTED = "not tested"
    NOT_APPLICABLE = "N/A"


class Done(StrEnum):
    """Whether a piece of workmanship was seen done."""

    DONE = "done"
    NOT_DONE = "not done"
    NOT_APPLICABLE = "N/A"


class DcTest(StrEnum):
    """Outcome of the test of the d.c. detection."""

    PASSED = "passed"
    FAILED = "failed"
    NOT_OFFERED = "no test offered by the model"


class OpenPenMeasure(StrEnum):
    """Measure against a broken PEN conductor of the supply."""

    INSIDE = "device inside the charge point"
    DEVICE = "separate device"
    ELECTRODE = "earth electrode with calculation"
    BALANCED = "balanced three-phase calculation"
    ISLAND = "TT island"
    NOT_NEEDED = "not needed"


class RcdPlace(StrEnum):
    """Where the residual current device of a point is."""

    BOARD = "at the board"
    INSIDE = "inside the charge point"


class Exposure(StrEnum):
    """Whether a charge point stands under the sky."""

    INDOORS = "indoors"
    OUTDOORS = "outdoors"


class PilotState(StrEnum):
    """States of the control pilot that were passed through (IEC 61851-1)."""

    A_TO_C = "A, B, C in turn"
    A_TO_D = "A, B, C, D in turn"
    FAULT = "a state failed"
    NOT_TESTED = "not tested"


class ChargeKind(StrEnum):
    """With what the final charge was made."""

    VEHICLE = "vehicle"
    SIMULATED = "simulated"


class Asbestos(StrEnum):
    """What is known of asbestos where holes are drilled."""

    NONE = "none known, survey seen"
    PRESENT = "present"
    UNKNOWN = "unknown"


class Outcome(StrEnum):
    """Outcome of an inspected aspect."""

    PASS = "pass"  # noqa: S105 - an outcome, not a secret
    NOT_APPLICABLE = "N/A"
    LIMITATION = "LIM"
    NOT_SATISFACTORY = "not satisfactory"


class ElectrodeKind(StrEnum):
    """Kind of earth electrode."""

    ROD = "rod"
    PLATE = "plate"
    TAPE = "tape"
    FOUNDATION = "foundation"


class EarthRun(StrEnum):
    """How the conductor of an earth electrode lies, and what protects it there."""

    NOT_BURIED = "not buried"
    PROTECTED = "buried, protected against corrosion and damage"
    SHEATHED = "buried, protected against corrosion only"
    BARE = "buried, bare"


class PhotoShows(StrEnum):
    """What a photo is evidence of."""

    CUT_OUT = "cut-out"
    EARTH_TERMINAL = "earth terminal"
    BOARD = "board inside"
    TRENCH = "trench before backfill"
    ELECTRODE = "earth electrode"
    DATA_PLATE = "data plate"
    FINISHED = "finished charge point"
    OTHER = "other"
