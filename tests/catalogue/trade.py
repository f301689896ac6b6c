"""What is typed well and cannot be: keys that clash, readings against physics, people without authority, photos."""

import io
import shutil
from datetime import date
from pathlib import Path
from tempfile import mkdtemp

from pipeline.facts.sheets import BY_TITLE, FIRST_ROW
from tests.catalogue.entry import ACCEPTED, FAILS, NOTED, QUERIED, Entry, Spot, cells, type_into, typing
from tests.catalogue.week import JOBS, at, folder, row_numbers

PLAIN = ("LN-101", "LN-109")
ONE_CIRCUIT = ("LN-101", "LN-103", "LN-105", "LN-109")


def in_rows(sheet, attribute, value, **where):
    """Types into all rows of the job on another sheet."""

    def change(book, spot):
        for number in row_numbers(sheet, spot.job, **where):
            type_into(book, Spot(sheet, number), attribute, value)

    return change


def together(*changes):
    """Several changes at once."""
    return lambda book, spot: [each(book, spot) for each in changes]


def row_again(**other):
    """The row once more at the end of its sheet, with other values in some columns."""

    def change(book, spot, more=1):
        last = row_numbers(spot.sheet)[-1] + more
        for attribute in BY_TITLE[spot.sheet].row.fields():
            value = other.get(attribute, spot.row.get(attribute))
            address = spot.at(attribute)
            if value is not None:
                book.put(
                    spot.sheet, address.rstrip("0123456789") + str(last), value, book.style_of(spot.sheet, address)
                )

    return change


def without_row(book, spot):
    """The row cleared."""
    for attribute in BY_TITLE[spot.sheet].row.fields():
        book.put(spot.sheet, spot.at(attribute), None)


def readings_of(job):
    """The readings of another job in this one's row."""
    telling = ("r1_r2", "zs", "rcd_time", "rcd_time_180")

    def change(book, spot):
        other = Spot("Readings", row_numbers("Readings", job)[0]).row
        for attribute in telling:
            type_into(book, spot, attribute, other[attribute])

    return change


def same_day_as(*jobs, tester=None, instrument=None):
    """The work of a job on the day of others."""

    def change(book, spot):
        day = Spot("Jobs", row_numbers("Jobs", jobs[0])[0]).row["live_tested"]
        for attribute in ("worked", "dead_tested", "energised", "live_tested"):
            type_into(book, spot, attribute, day)
        type_into(book, spot, "next_inspection", day.replace(year=day.year + 10))
        if tester:
            type_into(book, spot, "tester", tester)
        if instrument:
            in_rows("Readings", "instrument", instrument)(book, spot)

    return change


def same_site_as(job):
    """The address and the day of another job."""

    def change(book, spot):
        other = Spot("Jobs", row_numbers("Jobs", job)[0])
        type_into(book, spot, "site", other.row["site"])
        same_day_as(job)(book, spot)

    return change


def zs(value, source="calculated"):
    """Zs and what it is."""
    return together(typing("zs", value), typing("zs_source", source))


def photo(make, name=None):
    """A folder of photos in which the file that the row names, or one more, is made anew."""

    def files(spot):
        made = Path(mkdtemp(prefix="catalogue-photos-"))
        shutil.copytree(folder() / "photos", made / "photos")
        path = made / "photos" / (name or spot.row["file"])
        path.unlink(missing_ok=True)
        make(made / "photos", path)
        return made / "photos"

    return files


def picture(size=(40, 30), mode="RGB", kind="JPEG", **saved):
    """Writes a small picture that no other photo has."""

    def make(photos, path):
        from PIL import Image

        stream = io.BytesIO()
        Image.new(mode, size, 77 if mode == "L" else (7,) * len(Image.new(mode, (1, 1)).getbands())).save(
            stream, kind, **saved
        )
        path.write_bytes(stream.getvalue())

    return make


def cut_short(photos, path):
    """A picture without its second half."""
    picture((400, 300))(photos, path)
    path.write_bytes(path.read_bytes()[:300])


def bomb(photos, path):
    """A small file that claims thirty thousand by thirty thousand pixels."""
    picture(kind="PNG")(photos, path)
    data = bytearray(path.read_bytes())
    data[16:24] = (30_000).to_bytes(4) * 2
    import zlib

    data[29:33] = zlib.crc32(data[12:29]).to_bytes(4)
    path.write_bytes(bytes(data))


def leading_out(photos, path):
    """A link to a picture outside of the folder."""
    outside = photos.parent / "outside.jpg"
    picture()(photos, outside)
    path.symlink_to(outside)


def turned(photos, path):
    """A picture whose upright is written beside it."""
    from PIL import Image

    image = Image.new("RGB", (40, 30), (9, 8, 7))
    exif = image.getexif()
    exif[0x0112] = 6
    image.save(path, "JPEG", exif=exif)


def copied(photos, path):
    """The job's first photo under another name; the last job of the week is spoilt first."""
    shutil.copy(photos / "ln-109-1.jpg", path)


def photo_entry(name, says, make, verdict, jobs=JOBS, file=None, **more):
    """An entry on one file of the photo folder; the workbook stays as it is."""
    return Entry(name, says, "Photos", lambda *_: None, verdict, photos=photo(make, file), jobs=jobs, **more)


PHOTOS: list[Entry] = [
    *cells(
        "photo-name-leading-out",
        "A photo's name that leads out of the folder.",
        "Photos.file",
        [
            "../../secret.jpg",
            "/etc/passwd.jpg",
            "C:\\x.jpg",
            "a/b.jpg",
            "..\\x.jpg",
            "\\\\server\\x.jpg",
            "x.jpg\x00.png",
        ],
        FAILS,
    ),
    *cells(
        "photo-that-is-not-there",
        "A photo that is not in the folder.",
        "Photos.file",
        ["gone.jpg", "ln-109-1.jpeg", "LN-109-1.JPG ."],
        FAILS,
    ),
    photo_entry("photo-through-a-link", "A link that leads out of the folder.", leading_out, FAILS),
    photo_entry("photo-cut-short", "Half a picture.", cut_short, FAILS),
    photo_entry("photo-bomb", "A picture that would fill the memory.", bomb, FAILS),
    photo_entry(
        "photo-of-words", "A text that is called a picture.", lambda _, path: path.write_text("no picture"), FAILS
    ),
    photo_entry("photo-moving", "Another kind of picture under this name.", picture(kind="GIF", mode="L"), FAILS),
    photo_entry("photo-empty", "An empty file.", lambda _, path: path.write_bytes(b""), FAILS),
    photo_entry("photo-left-over", "A photo that no row names.", picture(), NOTED, file="week-photo.jpg"),
    photo_entry("photo-turned", "A picture turned by its camera.", turned, ACCEPTED),
    photo_entry("photo-in-print-colours", "A picture in the colours of print.", picture(mode="CMYK"), ACCEPTED),
    photo_entry(
        "photo-see-through", "A picture that one can look through.", picture(mode="RGBA", kind="PNG"), ACCEPTED
    ),
    photo_entry(
        "photo-under-two-names",
        "One picture under two names in a job.",
        copied,
        QUERIED,
        jobs=("LN-109",),
        rows={"file": "ln-109-2.jpg"},
    ),
    photo_entry(
        "photo-of-another-job",
        "The picture of another job.",
        copied,
        QUERIED,
        jobs=("LN-101",),
        holds=("LN-101", "LN-109"),
    ),
    *cells(
        "photo-named-twice",
        "One file in two rows of a job.",
        "Photos.file",
        "ln-109-1.jpg",
        QUERIED,
        jobs=("LN-109",),
        rows={"file": "ln-109-2.jpg"},
    ),
    *cells(
        "photo-named-in-two-jobs",
        "One file in rows of two jobs.",
        "Photos.file",
        "ln-109-1.jpg",
        QUERIED,
        jobs=("LN-105",),
        holds=("LN-105", "LN-109"),
    ),
]


def answered(**cells):
    """A row on the sheet of answers besides those that the check asks for."""

    def change(book, spot):
        given = {"job": spot.job, "question_key": "0123456789abcdef", "person": "CJN", "reason": "Looked at twice."}
        for attribute, value in {**given, **cells}.items():
            book.put("Answers", at("Answers", attribute, FIRST_ROW), value)
        day = book.style(0, "dd/mm/yyyy")
        book.put("Answers", at("Answers", "day", FIRST_ROW), date(2026, 11, 23), day)

    return change


def ring(**changed):
    """The readings of a ring that agree with each other and with R1+R2, and then some that do not."""

    def change(book, spot):
        quarter = 4 * spot.row["r1_r2"]
        sound = {"ring_r1": quarter / 3.4, "ring_rn": quarter / 3.4, "ring_r2": quarter * 2.4 / 3.4}
        for attribute, value in sound.items():
            new = value * changed.get("factor", 1) + changed.get(attribute, 0)
            type_into(book, spot, attribute, round(new, 3))

    return change


def copied_down(*readings):
    """Three more circuits of different lengths that were there before, with these figures for R1+R2 and Zs."""

    def change(book, spot):
        for number, (length, (r1_r2, zs)) in enumerate(zip((8, 10, 12), readings, strict=True), start=1):
            circuit = Spot("Circuits", row_numbers("Circuits", spot.job)[0])
            more = {"circuit": f"2{number}", "length": length, "new": "existing", "description": "Sockets"}
            row_again(**more)(book, circuit, number)
            figures = {"r1_r2": r1_r2, "zs": zs, "rcd_time": 21 + number if r1_r2 != readings[0][0] else 22}
            row_again(circuit=f"2{number}", **figures)(book, spot, number)
        total = Spot("Jobs", row_numbers("Jobs", spot.job)[0])
        type_into(book, total, "circuits_total", total.row["circuits_total"] + 3)

    return change


KEYS: list[Entry] = [
    Entry(
        "circuit-twice", "One number of a circuit twice, with other values.", "Circuits", row_again(length=99), FAILS
    ),
    Entry("row-twice", "A row once more.", "Circuits", row_again(), FAILS),
    Entry("readings-twice", "An attempt at testing twice.", "Readings", row_again(), FAILS, twins=()),
    Entry("job-twice", "A job twice.", "Jobs", row_again(), FAILS),
    Entry("point-twice", "A charge point twice.", "Charge points", row_again(), FAILS),
    Entry("no-readings", "A job without readings.", "Readings", without_row, FAILS, jobs=ONE_CIRCUIT),
    Entry("row-lost", "A circuit's row lost.", "Circuits", without_row, FAILS, jobs=ONE_CIRCUIT),
    *cells("unknown-board", "A board that the job has not.", "Circuits.board", ["CU9", "DB-2"], FAILS),
    *cells(
        "unknown-instrument",
        "An instrument that is not listed.",
        "Readings.instrument",
        ["ZZ9", "Megger"],
        FAILS,
        twin=("T1",),
        jobs=("LN-101", "LN-103", "LN-105"),
    ),
    *cells("unknown-model", "A model that is not listed.", "Charge points.model", ["ZZ-7"], FAILS),
    *cells(
        "nearly-an-instrument",
        "An instrument's name with a letter that looks like its digit.",
        "Readings.instrument",
        ["Tl", "TI"],
        QUERIED,
        twin=("T1",),
        jobs=("LN-101", "LN-103", "LN-105"),
    ),
    *cells("unknown-job", "A row of a job that is not there.", "Readings.job", ["LN-999", "LN109"], FAILS),
    *cells("row-of-no-job", "A row without its job.", "Readings.job", None, FAILS),
    *cells(
        "homoglyph-in-a-row", "A letter of another script in a row's job.", "Readings.job", "\u041b\u039d-109", FAILS
    ),
    *cells(
        "control-total",
        "The number of circuits is not that of the rows.",
        "Jobs.circuits_total",
        [12, 0.5],
        FAILS,
        twin=(lambda v: v,),
    ),
    *cells("control-total-left-out", "No control total.", "Jobs.circuits_total", None, FAILS),
    *cells(
        "point-total", "The number of charge points is not that of the rows.", "Jobs.points_total", 2, FAILS, twin=(1,)
    ),
    Entry(
        "block-copied",
        "The readings of another job.",
        "Readings",
        readings_of("LN-101"),
        QUERIED,
        jobs=("LN-109",),
        holds=("LN-101", "LN-109"),
    ),
    Entry(
        "copied-down",
        "Readings copied down a column although the lengths differ.",
        "Readings",
        copied_down((0.09, 0.31), (0.09, 0.31), (0.09, 0.31)),
        QUERIED,
        jobs=PLAIN,
    ),
    Entry(
        "one-site-one-day",
        "Two jobs at one site on one day.",
        "Jobs",
        same_site_as("LN-106"),
        QUERIED,
        jobs=("LN-109",),
        holds=("LN-106", "LN-109"),
    ),
    Entry(
        "three-sites-a-day",
        "One tester at three sites on a day.",
        "Jobs",
        same_day_as("LN-101", tester="AMP"),
        NOTED,
        jobs=("LN-109",),
        twins=(same_day_as("LN-101"),),
    ),
    Entry(
        "one-instrument-two-testers",
        "One instrument in the hands of two testers on a day.",
        "Jobs",
        same_day_as("LN-101", instrument="T1"),
        NOTED,
        jobs=("LN-109",),
        twins=(same_day_as("LN-101"),),
    ),
]

PHYSICS: list[Entry] = [
    Entry(
        "ring-open",
        "The neutral of a ring far from its line.",
        "Readings",
        ring(ring_rn=0.3),
        QUERIED,
        jobs=PLAIN,
        twins=(ring(),),
    ),
    Entry(
        "ring-of-another-size",
        "A protective conductor far from the ratio of the sizes.",
        "Readings",
        ring(ring_r2=0.3),
        QUERIED,
        jobs=PLAIN,
    ),
    Entry(
        "ring-not-a-quarter", "R1+R2 far from a quarter of the ring.", "Readings", ring(factor=3), QUERIED, jobs=PLAIN
    ),
    *cells(
        "time-at-half-current",
        "A time at half the rated current, at which an RCD must hold.",
        "Readings.rcd_half",
        ["35", 35, "28 ms", "trips"],
        FAILS,
        twin=("holds",),
        rows={"rcd_button": "works"},
    ),
    *cells(
        "zs-below-ze",
        "Zs far below Ze.",
        "Readings.zs",
        0.06,
        QUERIED,
        jobs=PLAIN,
        twin=(lambda v: v,),
    ),
    *cells(
        "zs-not-its-sum",
        "Zs far from the sum of its parts.",
        "Readings.zs",
        lambda v: round(v + 0.35, 2),
        QUERIED,
        jobs=PLAIN,
        twin=(lambda v: round(v + 0.02, 2),),
    ),
    Entry(
        "zs-calculated-wrongly",
        "A calculated Zs that is no sum.",
        "Readings",
        zs(lambda v: round(v + 0.2, 2)),
        FAILS,
        jobs=PLAIN,
    ),
    *cells(
        "loop-against-length",
        "R1+R2 ten times what the cable gives.",
        "Readings.r1_r2",
        lambda v: round(v * 10, 2),
        QUERIED,
        twin=(lambda v: v,),
        jobs=PLAIN,
    ),
    *cells(
        "insulation-of-the-board",
        "The whole board too low, its new circuit beyond the range.",
        "Boards.insulation",
        0.5,
        QUERIED,
        jobs=ONE_CIRCUIT,
    ),
    *cells(
        "rcd-in-next-to-no-time",
        "An RCD that trips in next to no time.",
        "Readings.rcd_time",
        1,
        QUERIED,
        rows={"rcd_button": "works"},
    ),
    *cells(
        "rcd-in-no-time",
        "An RCD that trips in no time.",
        "Readings.rcd_time",
        0,
        FAILS,
        twin=(22,),
        rows={"rcd_button": "works"},
    ),
    Entry(
        "rcd-faster-at-less",
        "Five times the current takes longer.",
        "Readings",
        typing("rcd_time_5", 34),
        QUERIED,
        rows={"rcd_button": "works"},
    ),
    *cells(
        "fault-current-against-ze",
        "A fault current that Ze does not give.",
        "Supplies.fault_current",
        5.9,
        QUERIED,
        twin=(lambda v: v,),
        jobs=PLAIN,
    ),
    *cells(
        "breaking-capacity",
        "A device that cannot break the fault current.",
        "Boards.fault_current",
        12,
        FAILS,
        jobs=PLAIN,
    ),
    Entry(
        "no-rcd-on-tt",
        "No RCD on TT.",
        "Circuits",
        together(
            *(typing(each, None) for each in ("rcd_standard", "rcd_type", "rcd_rating", "rcd_delay", "rcd_poles")),
            in_rows("Readings", "rcd_time", None),
            in_rows("Readings", "rcd_time_180", None),
        ),
        FAILS,
        jobs=("LN-103",),
    ),
    Entry(
        "one-phase-of-three",
        "A three-phase supply with the voltage of one.",
        "Supplies",
        together(typing("voltage_l2", None), typing("voltage_l3", None)),
        FAILS,
        jobs=("LN-105",),
    ),
    *cells("polarity-without-zs", "Polarity confirmed, and no Zs.", "Readings.zs", None, FAILS, twin=(lambda v: v,)),
    *cells(
        "pass-beyond-the-limit", "All aspects pass, and Zs is beyond its limit.", "Readings.zs", 3.2, FAILS, jobs=PLAIN
    ),
]

AUTHORITY: list[Entry] = [
    Entry(
        "answer-of-another-week",
        "An answer whose key belongs to other figures.",
        "Jobs",
        answered(),
        FAILS,
    ),
    Entry("answer-to-everything", "An answer that is to settle everything.", "Jobs", answered(question_key="*"), FAILS),
    Entry(
        "answer-to-all-jobs",
        "An answer that is to settle every job.",
        "Jobs",
        answered(job="*", question_key="*"),
        FAILS,
        holds=(),
    ),
    Entry("answer-of-nobody", "An answer without a person.", "Jobs", answered(person=None), FAILS),
    Entry("answer-without-a-reason", "An answer without its reason.", "Jobs", answered(reason=None), FAILS),
    *cells(
        "unknown-signatory",
        "A signatory who is not listed.",
        "Jobs.supervisor",
        ["XYZ", "A. Placeholder"],
        FAILS,
        twin=("CJN",),
    ),
    *cells("no-authority-for-it", "A signatory without this role.", "Jobs.designer", "AMP", FAILS, twin=("CJN",)),
    Entry(
        "authority-ended",
        "An authority that ended before the work.",
        "People",
        typing("valid_to", date(2026, 11, 1)),
        FAILS,
        rows={"person": "BWD"},
        holds=("LN-106", "LN-109"),
    ),
    *cells(
        "signatory-in-other-letters",
        "A signatory's name in other letters.",
        "Jobs.tester",
        ["BVD", "BWD1"],
        FAILS,
        twin=("BWD",),
        jobs=("LN-106", "LN-109"),
    ),
    *cells(
        "signatory-in-other-case",
        "A signatory's name in small letters.",
        "Jobs.tester",
        ["Bwd", "bwd"],
        QUERIED,
        twin=("BWD",),
        jobs=("LN-106", "LN-109"),
    ),
    Entry(
        "remark-without-cause",
        "A defect remarked on an aspect that passed.",
        "Inspections",
        lambda book, spot: [
            book.put("Inspection remarks", f"{c}3", v)
            for c, v in zip("ABC", (spot.job, "Surge protection", "Device broken, must be replaced"), strict=True)
        ],
        FAILS,
    ),
    *cells(
        "not-satisfactory-in-silence",
        "Not satisfactory, and no remark.",
        "Inspections.surge",
        ["not satisfactory"],
        FAILS,
        twin=("pass",),
    ),
    *cells(
        "outcome-in-another-word",
        "An outcome in a word that the list has not.",
        "Inspections.surge",
        ["fail", "OK", "yes"],
        QUERIED,
        twin=("pass",),
    ),
]

ENTRIES = [*PHOTOS, *KEYS, *PHYSICS, *AUTHORITY]
