"""Cells that were typed in haste, or that a spreadsheet changed behind its user's back."""

from xml.etree import ElementTree as ET

from tests.catalogue.entry import ACCEPTED, FAILS, NOT_ON_TT, NOTED, QUERIED, Entry, Typed, cells, type_into, typing
from tests.catalogue.surgery import MAIN
from tests.catalogue.week import row_numbers

ZS, R1R2, LIVE_EARTH, LIVE_LIVE = "Readings.zs", "Readings.r1_r2", "Readings.insulation_le", "Readings.insulation_ll"


def text(form):
    """The figure of the cell in other letters."""
    return lambda value: form.format(value, comma=str(value).replace(".", ","), milli=round(value * 1000))


def result(formula, cached):
    """A formula with what it gave last."""
    return Typed(raw={"f": formula, "v": cached})


def circuit_called(value, code=None):
    """Another name for a circuit wherever its job uses it."""

    def change(book, spot):
        for sheet in ("Circuits", "Readings", "Charge points"):
            for number in numbers(sheet, spot):
                type_into(book, type(spot)(sheet, number), "circuit", Typed(value, code) if code else value)

    return change


def numbers(sheet, spot):
    """The rows of the same circuit on another sheet."""
    return row_numbers(sheet, spot.job, board=spot.row["board"], circuit=spot.row["circuit"])


def both(first, second):
    """The same value in two columns of a row."""
    return lambda value: lambda book, spot: [type_into(book, spot, each, value) for each in (first, second)]


def in_runs(xml):
    """The figure of Zs as rich text."""

    def change(book, spot):
        whole = str(spot.row["zs"])
        made = ET.fromstring(f"<is xmlns='{MAIN}'>{xml.format(whole[:-1], whole[-1])}</is>")  # noqa: S314 - our own
        cell = book.put(spot.sheet, spot.at("zs"), None)
        cell.set("t", "inlineStr")
        cell.append(made)

    return change


MILLION = both("insulation_ll", "insulation_le")

ENTRIES: list[Entry] = [
    *cells("number-as-text", "A number that the cell holds as text.", ZS, text("{}"), NOTED, twin=(lambda v: v,)),
    *cells("decimal-comma", "A decimal comma.", ZS, text("{comma}"), NOTED, twin=(lambda v: v,)),
    *cells(
        "thousands",
        "A separator that may stand for thousands or for the decimal point.",
        LIVE_EARTH,
        ["1,250", "1 250", "1\u00a0250", "1\u202f250", "1'250", "1\u2009250", "12,500"],
        QUERIED,
        twin=(1250,),
    ),
    *cells(
        "unit-in-cell",
        "The unit of the column behind the figure.",
        ZS,
        [text("{} Ω"), text("{}Ω"), text("{} \u2126"), text("{} ohm"), text("{} Ohms"), text("{comma} Ω")],
        NOTED,
        twin=(lambda v: v,),
    ),
    *cells(
        "other-unit-in-cell",
        "A unit that converts into the column's without doubt.",
        ZS,
        [text("{milli}mΩ"), text("{milli} milliohm"), text("{milli} mOhm"), text("{milli} milliohms")],
        NOTED,
        twin=(lambda v: v,),
    ),
    *cells(
        "folded-unit",
        "Mega for milli: a unit is its letters, large and small.",
        ZS,
        ["280 MΩ", "280 M\u2126", "280 Mohm"],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "foreign-unit",
        "A unit of something else.",
        ZS,
        ["0.28 A", "0.28 ms", "0.28 V", "0.28 Ωm", "0.28 xyz"],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "unit-in-format",
        "A number format that writes a unit or a factor beside the number.",
        ZS,
        [
            lambda v: Typed(v, '0.00" kΩ"'),
            lambda v: Typed(v, "0.00\\ \\m\\Ω"),
            lambda v: Typed(v, "0.00,"),
            lambda v: Typed(v, '0.00"k"'),
            lambda v: Typed(v, "0.00%"),
            lambda v: Typed(v, "[>0.1]0.00\\k;0.00"),
            lambda v: Typed(v, '"9"0.00'),
        ],
        FAILS,
        twin=(lambda v: Typed(v, "0.000"), lambda v: Typed(v, "0.00_ ;[Red]-0.00")),
    ),
    *cells(
        "shown-rounded",
        "A format that shows fewer digits than there are.",
        ZS,
        [lambda v: Typed(v + 0.001, "0.0"), lambda v: Typed(v + 0.001, "0.00"), lambda v: Typed(v + 0.001, "#,##0.0")],
        NOTED,
        twin=(lambda v: Typed(v, "0.000"),),
    ),
    *cells(
        "number-as-date",
        "A number that its format turns into a date or a time.",
        ZS,
        [
            lambda v: Typed(v, "dd/mm/yyyy"),
            lambda v: Typed(v, "hh:mm"),
            lambda v: Typed(v, "[h]:mm:ss"),
            lambda v: Typed(v, "mmm-yy"),
            Typed(raw={"t": "d", "v": "2026-03-04T00:00:00"}),
        ],
        FAILS,
        twin=(lambda v: Typed(v, "0.00"),),
    ),
    *cells(
        "yes-or-no-of-excel", "TRUE or FALSE where a number belongs.", ZS, [True, False], FAILS, twin=(lambda v: v,)
    ),
    *cells(
        "formula",
        "A formula, with a stale result, a right one, or none.",
        ZS,
        [result("0.14+0.14", "0.10"), result("0.14+0.14", "0.28"), result("0.14+0.14", ""), result("A1", "#REF!")],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "error-value",
        "An error value, as such and as a text.",
        ZS,
        [
            *(
                Typed(raw={"t": "e", "v": each})
                for each in ("#REF!", "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!", "#SPILL!", "#FIELD!")
            ),
            "#REF!",
            "#n/a",
            "#DIV/0",
            "Err:502",
            "#BLOCKED!",
        ],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "error-value-in-words",
        "An error value where words belong.",
        "Jobs.extent",
        [Typed(raw={"t": "e", "v": "#N/A"}), "#REF!", "#CONNECT!", "Err:504"],
        FAILS,
        twin=("One charge point #2 and its circuit",),
    ),
    *cells(
        "endless-number",
        "A number beyond every number.",
        ZS,
        [Typed(raw={"v": "1e400"}), "1e400", "1" * 400, "-1e999"],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "negative", "A negative resistance.", R1R2, [-0.5, "-0.5", "(0.5)", "\u22120.5"], FAILS, twin=(lambda v: v,)
    ),
    *cells("zero-zs", "Nought, which no loop has.", ZS, [0, "0", "0.00"], QUERIED, twin=(lambda v: v,), jobs=NOT_ON_TT),
    *cells("zero-r1r2", "Nought, which no conductor has.", R1R2, [0, "0,0"], QUERIED, twin=(lambda v: v,)),
    *cells(
        "open-circuit",
        "Beyond the range in a test of a low resistance.",
        ZS,
        [">999", "> 20", "\uff1e999", "over 999", "OL", "O/R", "\u221e", "1."],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "open-circuit-cpc", "Beyond the range in R1+R2.", R1R2, [">19.99", ">999", "OL"], FAILS, twin=(lambda v: v,)
    ),
    *cells(
        "beyond-the-range",
        "Beyond the range of an insulation tester, in other signs.",
        LIVE_EARTH,
        ["> 999", ">=500", "\u2265999", "=>200", "\uff1e999", "\u2a7e 999", ">999 MΩ", ">1 GΩ", "> 1,5 GΩ"],
        NOTED,
        twin=(">999", ">200", ">1000"),
    ),
    Entry(
        "lost-sign",
        "The end of a range again and again, without its sign.",
        "Readings",
        MILLION(999),
        QUERIED,
        twins=(MILLION(">999"), MILLION(412)),
    ),
    Entry(
        "lost-sign-of-another",
        "The end of another range again and again.",
        "Readings",
        MILLION(9999),
        QUERIED,
        twins=(MILLION(730),),
    ),
    *cells(
        "upper-bound",
        "Below what the instrument resolves.",
        "Supplies.bonding_continuity",
        ["<0.05", "< 0,05", "\u22640.05"],
        NOTED,
        twin=(0.04,),
    ),
    *cells(
        "limited-in-silence",
        "A limitation without a reason.",
        "Supplies.bonding_continuity",
        ["LIM", "LIM:", "lim", "LIM -"],
        FAILS,
        twin=("N/A",),
    ),
    *cells(
        "not-applicable",
        "N/A where a field takes it.",
        "Charge points.duty_cycle",
        ["N/A", "n/a"],
        ACCEPTED,
        twin=(None,),
    ),
    *cells(
        "not-applicable-in-other-letters",
        "N/A in other letters.",
        "Charge points.duty_cycle",
        ["NA", "n.a.", "N / A", "not applicable", "N\\A"],
        NOTED,
    ),
    *cells(
        "not-applicable-here",
        "N/A where a figure is due.",
        "Supplies.demand_l1",
        ["N/A", "LIM", "n/a"],
        FAILS,
        twin=(20,),
    ),
    *cells(
        "blank-reading",
        "A blank where a reading is due.",
        LIVE_EARTH,
        [None, "", "   ", "\u00a0", "\u200b", "\t\n"],
        FAILS,
        twin=(">999",),
    ),
    *cells(
        "placeholder",
        "A mark that stands for a value.",
        LIVE_EARTH,
        [
            "-",
            "\u2013",
            ".",
            "?",
            "tbc",
            "as before",
            "ditto",
            '"',
            "\u3003",
            "TBA",
            "n/k",
            "see above",
            "xx",
            "___",
            "\u2026",
            "to follow",
            "not taken",
            "not measured",
            "unknown",
            "missing",
            "no reading",
            "same as circuit 1",
            "as CP1",
            "???",
            "pending",
            "\u2014 \u2014",
            "do",
            "\u201d",
            "0?",
            "~",
            "\u00d8",
            "nil",
            "none",
            "\u2191",
            "idem",
            "#",
        ],
        FAILS,
        twin=(">999",),
    ),
    *cells(
        "letters-for-digits",
        "Letters, blanks and points that make no number.",
        ZS,
        [
            "O.62",
            "l.2",
            "0.6 2",
            "0..62",
            "0.62.",
            "0,,62",
            "0.6.2",
            "0.62x",
            "ca. 0.3",
            "~0.3",
            "0.3?",
            "0.2-0.3",
            "0.3/0.4",
            "0.28;",
            "S.2",
            "0.3 approx",
            "1/4",
            "0:28",
            "0.28 0.29",
            "+-0.3",
            "2\u00bd",
            "\u00bd",
            "6\u00b2",
            "0x1F",
        ],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells(
        "foreign-digits",
        "Signs that look like digits or a minus, and what a program would make a number of.",
        ZS,
        [
            "\uff10\uff0e\uff16\uff12",
            "\u0660\u066b\u0662",
            "\u0967.\u0968",
            "\u22120.62",
            "1_000",
            "\u2460",
            "\U0001d7ce.\U0001d7d4",
            "0\u066b28",
            "0\u00b728",
            "\u06f0.\u06f3",
            "0.\u00b2",
            "\u216b",
            "2\u00b710\u207b\u00b9",
        ],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells("exponent", "A figure with an exponent.", ZS, ["2.8e-1", "28E-2", "2,8E-1"], FAILS, twin=(lambda v: v,)),
    Entry(
        "name-of-digits",
        "A circuit called 0012, as text.",
        "Circuits",
        circuit_called("0012"),
        ACCEPTED,
        jobs=("LN-101", "LN-103", "LN-105", "LN-109"),
    ),
    Entry(
        "name-shown-with-zeros",
        "A circuit called 12 that its format shows as 0012.",
        "Circuits",
        circuit_called(12, "0000"),
        QUERIED,
        twins=(circuit_called("12"), circuit_called(12)),
        jobs=("LN-101", "LN-103", "LN-105", "LN-109"),
    ),
    Entry(
        "name-shown-as-another",
        "A circuit called 12 that its format shows as C-12.",
        "Circuits",
        circuit_called(12, '"C-"0'),
        QUERIED,
        twins=(circuit_called("C-12"),),
        jobs=("LN-101", "LN-103", "LN-105", "LN-109"),
    ),
    *cells(
        "ticks",
        "A tick, a cross or a yes for the word of a list.",
        "Readings.polarity",
        [
            "\u2713",
            "\u2714",
            "\u2714\ufe0f",
            "\u2705",
            "\u2611",
            "x",
            "X",
            "Yes",
            "Y",
            "Pass",
            "ok",
            1,
            "1",
            "\u2717",
            "\u274c",
            "P",
            "good",
            "true",
            "correct",
            "+",
            "\u25cf",
            "\U0001f44d",
            "c",
        ],
        QUERIED,
        twin=("confirmed",),
    ),
    *cells(
        "word-in-other-case",
        "The word of a list in other letters.",
        "Readings.polarity",
        ["CONFIRMED", "Confirmed"],
        NOTED,
        twin=("confirmed", " confirmed ", "confirmed\n"),
    ),
    *cells(
        "word-misspelt",
        "Nearly a word of the list.",
        "Readings.polarity",
        ["confirmd", "comfirmed", "confirmed.", "confirmed?"],
        FAILS,
        twin=("confirmed",),
    ),
    Entry(
        "runs",
        "A number put together from runs, one of them raised.",
        "Readings",
        in_runs("<r><t>{}</t></r><r><rPr><vertAlign val='superscript'/></rPr><t>{}</t></r>"),
        NOTED,
        twins=(typing("zs", lambda v: v),),
    ),
    Entry(
        "runs-of-more",
        "A number with a raised word behind it.",
        "Readings",
        in_runs("<r><t>{}{}</t></r><r><t> see note</t></r>"),
        FAILS,
    ),
    *cells(
        "line-break",
        "A figure with blanks or a line break behind it.",
        ZS,
        [text("{}\n"), text("{} "), text("\t{}"), text("{}\u00a0"), text("\u2009{}\u2009"), text("'{}")],
        NOTED,
        twin=(lambda v: v,),
    ),
]
