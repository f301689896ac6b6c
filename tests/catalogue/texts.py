"""Words: names that must pass as they are, and characters that a page would lose."""

from tests.catalogue.entry import ACCEPTED, FAILS, NOTED, QUERIED, Entry, Typed, cells, type_into
from tests.catalogue.week import base_rows, row_numbers

CLIENT, SITE, REMARK = "Jobs.client", "Jobs.site", "Readings.remarks"


def renamed(value):
    """The job's reference written otherwise on every sheet."""

    def change(book, spot):
        for sheet, rows in base_rows().items():
            if rows and "job" in rows[0]:
                for number in row_numbers(sheet, spot.job):
                    type_into(book, type(spot)(sheet, number), "job", value)

    return change


def reference(name, says, values, verdict, **more):
    """An entry for each of several ways to write a job's reference on every sheet."""
    values = values if isinstance(values, list) else [values]
    return [
        Entry(f"{name}-{n}" if len(values) > 1 else name, says, "Jobs", renamed(value), verdict, **more)
        for n, value in enumerate(values, start=1)
    ]


WORDS: list[Entry] = [
    *cells(
        "honest-names",
        "Names as people have them.",
        CLIENT,
        [
            "A & B <Ltd>",
            "Smith <select> Ltd",
            'O\'Brien "Unit 4"',
            "D\u2019Arcy & Sons",
            "\u0174yn \u0176stwyth",
            "\u0141ukasz \u017b\u00f3\u0142\u0107",
            "\u0391\u03bb\u03ad\u03be\u03b7\u03c2",
            "Ngu\u1ec5n V\u0103n \u0110\u1ea1i",
            "\u015eirin \u00c7elik",
            "Bj\u00f6rk Gu\u00f0mundsd\u00f3ttir",
            "\u0418\u0432\u0430\u043d \u041f\u0435\u0442\u0440\u043e\u0432",
            "Null & Void Ltd",
            "Mr None",
            "{{ client }}",
            "{% for x in y %}",
            "${7*7}",
            "3M",
            "50/50 Club",
            "Zoe\u0308 \u2013 Tom",
            "True Power Ltd",
        ],
        ACCEPTED,
    ),
    *cells(
        "code-in-words",
        "Words that another program would run.",
        REMARK,
        [
            "</w:t></w:r><w:r><w:t>PASS",
            "'); DROP TABLE register;--",
            "<b>bold</b> [a](http://example.com)",
            "https://example.com/a?b=1",
            "+Plus",
            "-Minus",
            "@home",
            "=SUM(A1)",
            "\tTab first",
            "<script>x</script>",
            "%TEMP% $HOME `id`",
            "&lt; &amp;amp;",
            "cmd|' /C calc'!A0",
        ],
        ACCEPTED,
    ),
    *cells(
        "formula-in-words",
        "A formula where words belong.",
        "Jobs.extent",
        [
            Typed(raw={"f": "A1&B1", "v": "x"}),
            Typed(raw={"t": "str", "f": 'HYPERLINK("http://example.com")', "v": "x"}),
            Typed(raw={"f": "A1"}),
        ],
        FAILS,
        twin=("=A1&B1",),
    ),
    *cells(
        "broken-character",
        "Half a character, or one that was lost.",
        SITE,
        ["1 Sample Road \ud83d", "1 Sample Road \udd0c, Anytown", "1 Sample \ufffd Road"],
        FAILS,
        twin=("1 Sample Road",),
    ),
    *cells(
        "letters-the-typeface-lacks",
        "Pictures among the letters, and scripts that the typeface has not.",
        CLIENT,
        [
            "Sam \U0001f50c Sample",
            "Sam \u2728",
            "\u5f20\u4f1f",
            "\u7530\u4e2d",
            "\uae40\uccb0\uc218",
            "\u0939\u0930\u093f",
            "\u0e2a\u0e21\u0e0a\u0e32\u0e22",
            "\u2603 Snow",
            "\U0001d400\U0001d401",
            "\u0531\u0580\u0561\u0574",
            "Sam \ue000",
            "\u13a0\u13a1",
            "\uff1dA1",
            "\uff0b1",
            "\uff20x",
            "Done \u2713",
            "\u2460 Sample",
            "\u10d2\u10d0",
        ],
        QUERIED,
        twin=("Sam Sample",),
    ),
    *cells(
        "right-to-left",
        "Names written from right to left.",
        CLIENT,
        [
            "\u0645\u062d\u0645\u062f \u0639\u0644\u064a",
            "\u05d3\u05d5\u05d3 \u05dc\u05d5\u05d9",
            "Sam \u0639\u0644\u064a",
            "\u067e\u06cc\u0645\u0627\u0646",
        ],
        QUERIED,
        twin=("Sam Sample",),
    ),
    *cells(
        "turning-characters",
        "Invisible characters that turn the direction of writing.",
        CLIENT,
        ["Sam \u202eelpmaS", "\u2067Sam\u2069", "Sam\u200f Sample", "\u202aSam"],
        FAILS,
        twin=("Sam Sample",),
    ),
    *cells(
        "invisible-in-words",
        "Characters without a width in words.",
        CLIENT,
        ["Sam\u200b Sample", "\ufeffSam Sample", "Sam\u00ad Sample", "Sam\u2060Sample"],
        NOTED,
        twin=("Sam Sample",),
    ),
    *cells(
        "control-characters",
        "Control characters from a copied text.",
        SITE,
        [
            "1 Sample Road\x0bAnytown",
            "1 Sample Road\x0cAnytown",
            "1 Sample\x00 Road",
            "1 Sample\x07 Road",
            "1 Sample\x85 Road",
            "1 Sample\u2028Road",
            "1 Sample\x1b[0m Road",
        ],
        FAILS,
        twin=("1 Sample Road\nAnytown", "1 Sample Road\r\nAnytown", "1 Sample Road,\tAnytown"),
    ),
    *cells(
        "endless-text",
        "A text that Excel has cut off.",
        SITE,
        ["a" * 40_000, "a" * 32_767],
        FAILS,
        twin=("1 " + "Long " * 40 + "Road",),
    ),
    *cells("old-limit-exactly", "A text of exactly 255 characters.", SITE, ["abcde" * 51], NOTED, twin=("abcde" * 50,)),
    *cells(
        "words-of-programs",
        "What a program prints where a value is missing.",
        "Jobs.extent",
        [
            "None",
            "NULL",
            "nan",
            "NaN",
            "undefined",
            "#N/A",
            "null",
            "<NA>",
            "[object Object]",
            "(null)",
            "#REF!",
            "NaT",
        ],
        FAILS,
        twin=("None of the existing wiring was altered",),
    ),
    *cells(
        "no-answer-in-words",
        "Words that are no answer where every job has one.",
        SITE,
        ["tbc", "n/k", "unknown", "N/A", "not applicable", "as above", "?", "-", "not available", "XXX"],
        FAILS,
        twin=("1 Unknown Lane", "Flat 1, The Missing House"),
    ),
    *cells(
        "personal-data",
        "A telephone number or mail address where a pack would keep it.",
        REMARK,
        [
            "Call 07700 900123",
            "mob +44 7700 900123",
            "ring sam@example.com",
            "tel. 01632 960123",
            "(01632) 960123",
            "0044 7700 900123",
            "07700900123",
        ],
        NOTED,
        twin=("Tested at 14:30 on 16/11/2026", "Serial 123456789012", "Way 7, 0.28 to 0.31 Ω"),
    ),
    *cells(
        "garbled",
        "A text read in the wrong character set.",
        SITE,
        ["Caf\u00c3\u00a9 Road", "L\u00c3\u00b4n Ffug", "O\u00e2\u20ac\u2122Brien Road"],
        QUERIED,
        twin=("Caf\u00e9 Road", "L\u00f4n Ffug", "O\u2019Brien Road", "\u00c2mes Road"),
    ),
    *cells(
        "mail-addresses",
        "More than one plain address.",
        "Jobs.client_email",
        [
            "Sam, Sample <sam@example.com>",
            "a@example.com; b@example.com",
            "a@example.com, b@example.com",
            "sam@example",
            "sam(at)example.com",
            "mailto:sam@example.com",
            "sam@example.com.",
        ],
        QUERIED,
        twin=("its.own@example.com", "s.o'brien+ev@mail.example.com"),
    ),
    *cells(
        "mail-header",
        "A line break that would write into the head of a mail.",
        "Jobs.client_email",
        ["sam@example.com\nBcc: all@example.com", "sam@example.com\r\nSubject: x"],
        FAILS,
        twin=("its.own@example.com\n",),
    ),
]

NAMES: list[Entry] = [
    *reference(
        "path-in-a-reference",
        "A job's reference that leads through folders.",
        [
            "../../etc/x",
            "..",
            "/etc/passwd",
            "C:\\x",
            "a/b",
            "a:b",
            "a\\b",
            "~",
            "J1*",
            "J?1",
            "J|1",
            "J<1>",
            "J;1",
            "J%2F1",
            "$J",
            "a\nb",
            "a\x00b",
        ],
        FAILS,
    ),
    *reference(
        "reserved-reference",
        "A job's reference that Windows keeps for itself.",
        ["CON", "NUL", "COM1", "nul.txt", "aux", "LPT9", "con", "CONIN$"],
        FAILS,
    ),
    *reference(
        "reference-ending-in-a-dot",
        "A job's reference with a sign at its end.",
        ["J1.", "J1-", "-J1", "_J1", ".J1", "J1 1"],
        FAILS,
    ),
    *reference("long-reference", "A job's reference of 300 characters.", "J" * 300, FAILS),
    *reference(
        "invisible-in-a-reference",
        "Characters without a width in a job's reference.",
        ["LN\u200b-1", "LN-1\ufeff", "LN\u00ad-1", "L\u2060N-1", "LN\u00a01", "LN\u20111", "LN\u20131", "LN\u22121"],
        FAILS,
    ),
    *reference(
        "reference-of-twins",
        "Letters of another script in a job's reference.",
        ["\u0410-101", "LN-\u0661", "\uff2c\uff2e-1", "LN-1\u00b2", "L\u0301N-1", "\u039d-101", "LN-\u0406"],
        FAILS,
    ),
    *reference(
        "reference-with-blanks",
        "A job's reference with blanks around it.",
        ["XY-1 ", "\u00a0XY-1", "XY-1\u00a0", "\tXY-1\n", " XY-1"],
        NOTED,
    ),
    *reference("plain-reference", "Another plain reference.", ["XY-1", "2026-114", "a", "J0001"], ACCEPTED),
]

ENTRIES = [*WORDS, *NAMES]
