"""Figures in another unit than the column's, and days that are none, may be two, or cannot be."""

from datetime import date, timedelta

from tests.catalogue.entry import FAILS, NOT_ON_TT, NOTED, QUERIED, Entry, Typed, cells, type_into
from tests.catalogue.surgery import BOOK, tag
from tests.catalogue.week import JOBS

FLAT = ("LN-101", "LN-103", "LN-109")
CREW_A, CREW_B = ("LN-101", "LN-103", "LN-105"), ("LN-106", "LN-109")


def times(factor):
    """The figure of the cell in another unit."""
    return lambda value: round(value * factor, 4)


def several(**values):
    """Types into several columns of a row."""

    def change(book, spot):
        for attribute, value in values.items():
            type_into(book, spot, attribute, value)

    return change


def shown(form):
    """The day of the cell as text."""
    return lambda day: form.format(day, d=day.day, m=day.month, y=day.year)


def moved(days):
    """Work and tests another day."""
    later = {"worked", "dead_tested", "energised", "live_tested"}
    return several(**dict.fromkeys(later, lambda day: day + timedelta(days=days)))


def two_orders(book, spot):
    """One date with the month first, another that can be read both ways."""
    type_into(book, spot, "next_inspection", "11/16/2036")
    type_into(book, spot, "surveyed", "10/09/2026")


def one_order(book, spot):
    """Two dates as text, both with the day first."""
    type_into(book, spot, "next_inspection", lambda day: f"{day:%d/%m/%Y}")
    type_into(book, spot, "surveyed", lambda day: f"{day:%d/%m/%Y}")


UNITS: list[Entry] = [
    *cells(
        "insulation-in-ohms",
        "Insulation in Ω.",
        "Readings.insulation_le",
        [1_000_000, 200_000_000],
        FAILS,
        twin=(1000,),
    ),
    *cells(
        "insulation-in-words",
        "Insulation with its unit.",
        "Readings.insulation_le",
        ["250 MΩ", "250000 kΩ", "250 Mohm", "250 megohms", "0.25 GΩ", "250MΩ"],
        NOTED,
        twin=(250,),
    ),
    *cells("loop-in-milliohms", "R1+R2 in mΩ.", "Readings.r1_r2", times(1000), FAILS, twin=(times(1),)),
    *cells(
        "loop-tenfold",
        "A slip of the decimal point in Zs.",
        "Readings.zs",
        times(10),
        FAILS,
        twin=(times(1),),
        jobs=NOT_ON_TT,
    ),
    *cells(
        "fault-current-in-amperes",
        "Fault current in A.",
        "Supplies.fault_current",
        [times(1000), 6000],
        FAILS,
        twin=(times(1),),
    ),
    *cells(
        "rcd-in-amperes",
        "The rating of an RCD in A.",
        "Circuits.rcd_rating",
        [0.03, 0.1, "0.03", "0,03"],
        QUERIED,
        twin=(30, times(1)),
        rows={"rcd_type": "A"},
    ),
    *cells(
        "rcd-with-its-unit",
        "The rating of an RCD with its unit.",
        "Circuits.rcd_rating",
        ["30 mA", "30mA", "0.03 A", "0,03 A"],
        NOTED,
        twin=(30,),
        rows={"rcd_type": "A"},
    ),
    *cells(
        "size-with-its-unit",
        "A cross-section with its unit in other letters.",
        "Circuits.live_size",
        [
            "6 mm2",
            "6mm\u00b2",
            "6 sqmm",
            "6mm",
            "6 sq mm",
            "6 sq. mm",
            "6 mm^2",
            "6 mm sq",
            "6.0 mm\u00b2",
            "6 sq.mm",
            "6 mm\u00b2 ",
        ],
        NOTED,
        twin=(6, 6.0),
        jobs=FLAT,
    ),
    *cells(
        "size-too-large",
        "A size that is standard too, but not this cable's.",
        "Circuits.live_size",
        [16],
        QUERIED,
        twin=(6,),
        jobs=FLAT,
    ),
    *cells(
        "no-size",
        "A cross-section that no cable has.",
        "Circuits.live_size",
        [7, 2.6],
        QUERIED,
        twin=(6,),
        jobs=FLAT,
    ),
    *cells(
        "no-terminal",
        "A cross-section that no terminal takes.",
        "Circuits.live_size",
        [25, 60],
        FAILS,
        twin=(6,),
        jobs=FLAT,
    ),
    *cells(
        "length-in-feet", "The length in feet.", "Circuits.length", times(3.28084), QUERIED, twin=(times(1),), jobs=FLAT
    ),
    *cells(
        "length-in-centimetres", "The length in cm.", "Circuits.length", times(100), FAILS, twin=(times(1),), jobs=FLAT
    ),
    *cells(
        "length-with-its-unit",
        "The length with its unit.",
        "Circuits.length",
        [
            lambda v: f"{v} m",
            lambda v: f"{v}m",
            lambda v: f"{v} metres",
            lambda v: f"{v} mtrs",
            lambda v: f"{v * 100} cm",
            lambda v: f"{v} meters",
        ],
        NOTED,
        twin=(times(1),),
    ),
    *cells(
        "length-in-foreign-units",
        "The length in feet, said so.",
        "Circuits.length",
        [lambda v: f"{v * 3} ft", lambda v: f"{v * 3}'", lambda v: f"{v} yards"],
        FAILS,
        twin=(times(1),),
    ),
    *cells(
        "other-units",
        "Units that convert, in other columns.",
        "Readings.rcd_time",
        [lambda v: f"{v} ms", lambda v: f"{v}msec", lambda v: f"{v / 1000} s"],
        NOTED,
        twin=(times(1),),
        rows={"rcd_button": "works"},
    ),
    *cells(
        "torque-with-its-unit",
        "A torque with its unit.",
        "Charge points.torque",
        [
            lambda v: f"{v} Nm",
            lambda v: f"{v} N\u00b7m",
            lambda v: f"{v} nm",
            lambda v: f"{v}N-m",
            lambda v: f"{v} newton metres",
        ],
        NOTED,
        twin=(times(1),),
    ),
    *cells(
        "degrees",
        "A temperature with its unit.",
        "Readings.ambient",
        [
            lambda v: f"{v} \u00b0C",
            lambda v: f"{v}\u00b0",
            lambda v: f"{v} degC",
            lambda v: f"{v}\u2103",
            lambda v: f"{v} C",
            lambda v: f"{v} \u00baC",
        ],
        NOTED,
        twin=(times(1),),
    ),
    *cells(
        "power-with-its-unit",
        "A power with its unit.",
        "Charge points.charge_power",
        [lambda v: f"{v} kW", lambda v: f"{v}kw", lambda v: f"{v} KW", lambda v: f"{round(v * 1000)} W"],
        NOTED,
        twin=(times(1),),
    ),
    *cells(
        "voltage-of-two-phases",
        "Phase to phase where phase to neutral belongs.",
        "Supplies.voltage_l1",
        [0, 415, 110],
        QUERIED,
        twin=(236,),
    ),
    *cells(
        "temperature-left-out",
        "No temperature at the test: R1+R2 is told with the 20 °C that were taken.",
        "Readings.ambient",
        None,
        NOTED,
        twin=(12,),
    ),
]

DATES: list[Entry] = [
    *cells(
        "year-of-two-digits",
        "A year of two digits.",
        "Jobs.live_tested",
        [shown("{:%d/%m/%y}"), shown("{:%d.%m.%y}"), shown("{:%d-%b-%y}"), shown("{:%d %B '%y}"), shown("{:%y-%m-%d}")],
        QUERIED,
        twin=(lambda v: v,),
    ),
    *cells(
        "date-as-text",
        "A date as text, the day first.",
        "Jobs.live_tested",
        [
            shown("{:%d/%m/%Y}"),
            shown("{d}.{m}.{y}"),
            shown("{:%d-%m-%Y}"),
            shown("{:%d %b %Y}"),
            shown("{d}th {:%B %Y}"),
            shown("{:%Y-%m-%d}"),
            shown("{:%A %d %B %Y}"),
            shown("{:%a %d/%m/%Y}"),
            shown("{:%B %d, %Y}"),
            shown("{:%d/%b/%Y}"),
            shown("{:%d-%B-%Y}"),
            shown("{d}th of {:%B} {y}"),
            shown("{:%d/%m/%Y 14:30}"),
            shown("{:%Y-%m-%dT00:00:00}"),
            shown("{:%d / %m / %Y}"),
            shown("{:%d/%m/%Y 2:30 PM}"),
            shown("{:%a, %d %b %Y}"),
        ],
        NOTED,
        twin=(lambda v: v,),
    ),
    Entry("two-orders", "Day first and month first in one file.", "Jobs", two_orders, FAILS),
    *cells(
        "date-of-two-days",
        "A date as text that can be two days.",
        "Jobs.live_tested",
        ["11/10/2026", "10.11.2026", "9-11-2026", "11/10/2026 14:30", "Tue 11/10/2026"],
        QUERIED,
        twin=(lambda v: v,),
    ),
    Entry(
        "calendar-of-1904",
        "The other calendar of Excel switched on: all dates move by four years and a day.",
        "Jobs",
        lambda book, _: book.tree(BOOK).find(tag("workbookPr")).set("date1904", "1"),
        FAILS,
        holds=JOBS,
    ),
    Entry("one-order", "Two dates as text, the day first in both.", "Jobs", one_order, NOTED),
    *cells(
        "day-that-never-was",
        "The 29th of February 1900.",
        "Jobs.live_tested",
        [
            Typed(raw={"v": "60"}, code="dd/mm/yyyy"),
            Typed(raw={"v": "1"}, code="dd/mm/yyyy"),
            Typed(raw={"v": "-5"}, code="dd/mm/yyyy"),
            Typed(raw={"v": "9999999"}, code="dd/mm/yyyy"),
        ],
        FAILS,
        twin=(lambda v: Typed(v, "yyyy-mm-dd"),),
    ),
    *cells(
        "time-of-day",
        "A date with the time of day.",
        "Jobs.live_tested",
        [
            lambda v: Typed((v - date(1899, 12, 30)).days + 0.5, "dd/mm/yyyy"),
            lambda v: Typed((v - date(1899, 12, 30)).days + 0.99998, "dd/mm/yyyy hh:mm"),
            lambda v: Typed((v - date(1899, 12, 30)).days + 0.00001, "dd/mm/yyyy"),
        ],
        NOTED,
        twin=(lambda v: Typed(v, "dd/mm/yyyy hh:mm"),),
    ),
    *cells(
        "impossible-date",
        "A day that no calendar has.",
        "Jobs.live_tested",
        ["31/02/2026", "2026-13-01", "00/11/2026", "31 Nov 2026", "32.10.2026", "29/02/2026", "30/02/2026", "0/0/0000"],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "no-date",
        "Words where a date belongs.",
        "Jobs.live_tested",
        [
            "Monday",
            "last week",
            "tbc",
            "mid November",
            "Nov 2026",
            "11/2026",
            "Week 47",
            "yesterday",
            "16/11",
            "Q4 2026",
            "20261116",
            "161126",
        ],
        FAILS,
        twin=(lambda v: v,),
    ),
    Entry(
        "late",
        "Tested long before the day of issue.",
        "Jobs",
        several(
            surveyed=date(2026, 4, 1),
            designed=date(2026, 4, 20),
            worked=date(2026, 5, 4),
            dead_tested=date(2026, 5, 4),
            energised=date(2026, 5, 4),
            live_tested=date(2026, 5, 4),
            next_inspection=date(2031, 5, 4),
        ),
        QUERIED,
    ),
    *cells(
        "next-on-the-same-day",
        "The next inspection on the day of the test.",
        "Jobs.next_inspection",
        lambda v: v.replace(year=2026),
        QUERIED,
        twin=(lambda v: v,),
    ),
    *cells(
        "next-far-away",
        "The next inspection more than ten years on.",
        "Jobs.next_inspection",
        [date(2038, 11, 20), date(2041, 1, 1)],
        QUERIED,
        twin=(date(2030, 1, 1),),
    ),
    *cells(
        "year-alone",
        "A year where a date belongs.",
        "Jobs.live_tested",
        [2026, "2026", 20261116, Typed(46342, "General"), Typed(46342, "0")],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "date-in-the-future",
        "A date after the day of the check.",
        "Jobs.live_tested",
        [date(2027, 11, 16), date(2062, 11, 16), date(1926, 11, 16)],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "calibration-lapsed",
        "An instrument whose calibration had lapsed.",
        "Instruments.due",
        date(2026, 11, 1),
        QUERIED,
        twin=(date(2027, 1, 1),),
        rows={"instrument": "T1"},
        holds=CREW_A,
    ),
    *cells(
        "calibrated-afterwards",
        "An instrument calibrated after the tests only.",
        "Instruments.calibrated",
        date(2026, 11, 23),
        QUERIED,
        twin=(date(2026, 2, 2),),
        rows={"instrument": "T2"},
        holds=CREW_B,
    ),
]

ENTRIES = [*UNITS, *DATES]
