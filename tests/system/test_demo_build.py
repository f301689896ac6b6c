"""The demo week built whole: each job with the outcome intended, each figure of the workbook in its pack."""

import html
import io
import json
import os
import re
import shutil
import subprocess
import zipfile
from collections.abc import Iterator
from pathlib import Path

import bagit
import pikepdf
import pytest
from pypdf import PdfReader

from pipeline.demo.__main__ import write_demo
from pipeline.demo.week import EXPECTED, TODAY
from pipeline.demo.week import demo_rows as make_rows
from pipeline.facts.findings import holds
from pipeline.facts.record import fingerprint
from pipeline.facts.sheets import BY_TITLE
from pipeline.pack.conformance import failures
from pipeline.pack.opening import opened
from pipeline.pack.wholeness import attached_files, claim_of, content_of
from pipeline.progress import silent
from pipeline.report import corrections
from pipeline.run import Options, Report, build
from pipeline.signing.key import open_key
from pipeline.signing.sign import signed
from pipeline.signing.trial import make_trial_keys
from pipeline.stages.decide import Status

# one build serves all tests of this file, so they run one after the other on one worker
pytestmark = pytest.mark.xdist_group("demo build")

SIGNABLE = [job for job, expected in EXPECTED.items() if expected.outcome == "awaiting signature"]
FIGURES = {
    "Readings": ("zs", "r1_r2", "insulation_le", "rcd_time"),
    "Circuits": ("length", "live_size", "device_rating"),
    "Charge points": ("serial", "current_limit", "height", "charge_power"),
    "Supplies": ("ze", "cutout_rating"),
    "Jobs": ("client", "site", "extent"),
}


@pytest.fixture(scope="session")
def built(tmp_path_factory) -> tuple[Report, Path]:
    """The report and the outputs of one build of the demo week."""
    root = tmp_path_factory.mktemp("demo")
    workbook = write_demo(root / "inputs")
    report = build(Options(workbook, root / "outputs", as_of=TODAY), silent)
    return report, root / "outputs"


@pytest.fixture(scope="session")
def numbers(built) -> dict[str, str]:
    return {each.reference: each.number for each in built[0].decisions}


@pytest.fixture(scope="session")
def pages(built, numbers) -> dict[str, list[str]]:
    """The text of each page of each pack, read by another reader than the one that inspected it."""
    packs = built[1] / "packs"
    return {
        job: [
            page.extract_text() for page in PdfReader(packs / numbers[job] / f"{numbers[job]}-handover-pack.pdf").pages
        ]
        for job in SIGNABLE
    }


def squeezed(text: str) -> str:
    return re.sub(r"\s", "", text)


def decision(report: Report, job: str):
    return next(each for each in report.decisions if each.reference == job)


@pytest.mark.parametrize("job", EXPECTED)
def test_each_job_has_the_outcome_that_the_scenario_intends(built, job):
    assert str(decision(built[0], job).status) == EXPECTED[job].outcome


@pytest.mark.parametrize("job", [job for job, expected in EXPECTED.items() if expected.reasons])
def test_a_held_job_is_held_for_the_reason_intended(built, job):
    judged = decision(built[0], job).judged
    for reason in EXPECTED[job].reasons:
        heading = list(BY_TITLE[reason.sheet].row.fields()).index(reason.attribute)
        assert any(
            each.verdict is reason.verdict
            and any(place.sheet == reason.sheet and _column(place.cell) == heading for place in each.places)
            for each in judged.findings
            if holds(each)
        ), reason


def _column(cell: str) -> int:
    number = 0
    for letter in re.match(r"[A-Z]*", cell).group():
        number = number * 26 + ord(letter) - 64
    return number - 1


@pytest.mark.parametrize("job", SIGNABLE)
def test_the_figures_of_the_workbook_stand_in_the_pack(pages, job):
    text = squeezed(" ".join(pages[job]))
    for sheet, attributes in FIGURES.items():
        for row in make_rows()[sheet]:
            if row["job"] != job:
                continue
            for attribute in attributes:
                typed = row.get(attribute)
                if typed is not None and str(typed) not in {"N/A", "LIM"}:
                    printed = f"{typed:g}" if isinstance(typed, float) else str(typed)
                    assert squeezed(printed) in text, (sheet, attribute, typed)


@pytest.mark.parametrize("job", SIGNABLE)
def test_the_figures_of_the_workbook_stand_in_the_word_files(built, numbers, job):
    from docx import Document

    folder = built[1] / "packs" / numbers[job]
    document = Document(folder / f"{numbers[job]}-circuits.docx")
    cells = {cell.text for table in document.tables for row in table.rows for cell in row.cells}
    for row in make_rows()["Readings"]:
        if row["job"] == job and isinstance(row.get("zs"), float):
            assert any(text.startswith(str(row["zs"])) for text in cells), row


@pytest.mark.parametrize("job", SIGNABLE)
def test_each_page_carries_its_place_in_the_whole_pack(pages, job):
    count = len(pages[job])
    for number, text in enumerate(pages[job], start=1):
        assert f"{number} / {count}" in text.replace("\n", " ")


@pytest.mark.parametrize("job", SIGNABLE)
def test_every_document_is_there_as_word_and_as_pdf(built, numbers, job):
    names = {path.name for path in (built[1] / "packs" / numbers[job]).iterdir()}
    documents = {name.removesuffix(".docx") for name in names if name.endswith(".docx")}
    assert {f"{each}.pdf" for each in documents} <= names
    required = {"cover", "inspections", "circuits", "commissioning", "calculations", "user-instructions", "notices"}
    assert {f"{numbers[job]}-{each}" for each in required} <= documents


def test_the_kind_of_work_chooses_the_certificate(built, numbers):
    minor = {row["job"] for row in make_rows()["Jobs"] if "without" in str(row.get("work"))}
    assert minor & set(SIGNABLE)
    for job in SIGNABLE:
        names = {path.name.removeprefix(f"{numbers[job]}-") for path in (built[1] / "packs" / numbers[job]).iterdir()}
        assert ("minor-works-certificate.pdf" in names) is (job in minor)
        assert ("installation-certificate.pdf" in names) is (job not in minor)


@pytest.mark.parametrize("job", SIGNABLE)
def test_a_pack_carries_the_record_that_lies_in_the_archive(built, numbers, job):
    folder = built[1] / "archive" / numbers[job] / "data"
    pack = PdfReader(folder / f"{numbers[job]}-handover-pack.pdf")
    [attached] = pack.attachments["record.json"]
    assert attached == (folder / f"{numbers[job]}-record.json").read_bytes()
    assert json.loads(attached)["job"]["row"]["job"]["typed"] == job


def test_every_archive_folder_is_a_valid_bag_that_nobody_can_write_to(built, numbers):
    bags = sorted((built[1] / "archive").iterdir())
    assert [each.name for each in bags] == sorted(numbers[job] for job in SIGNABLE)
    for folder in bags:
        assert bagit.Bag(str(folder)).validate()
        assert all(path.stat().st_mode & 0o222 == 0 for path in folder.rglob("*") if path.is_file())


def _all_texts(pack: Path, page_texts) -> Iterator[tuple[str, str]]:
    """Everything that can be read in a pack: pages, metadata, every object, attachments and what is packed in them."""
    yield "pages", "\n".join(page_texts)
    with opened(pack.read_bytes()) as pdf:
        yield "metadata", pdf.Root.Metadata.read_bytes().decode()
        yield "information", "\n".join(map(str, pdf.trailer.Info.values()))
        yield "objects", "\n".join(str(value) for each in pdf.objects for value in strings_of(each))
        for name, each in attached_files(pdf).items():
            content = content_of(each)
            yield f"{name}, description", f"{name} {each.get('/Desc', '')}"
            if name.endswith((".docx", ".xlsx")):
                with zipfile.ZipFile(io.BytesIO(content)) as inside:
                    for part in inside.namelist():
                        yield f"{name}, {part}", re.sub("<[^>]*>", "", inside.read(part).decode("utf-8", "replace"))
            else:
                yield name, content.decode()


def strings_of(item):
    """The strings in one object of a PDF, its own dictionaries and lists followed, references not."""
    if isinstance(item, pikepdf.String):
        yield item
    elif isinstance(item, pikepdf.Dictionary | pikepdf.Stream):
        for name in item.keys():  # noqa: SIM118 - a stream has no other way
            if not (item[name].is_indirect if isinstance(item[name], pikepdf.Object) else False):
                yield from strings_of(item[name])
    elif isinstance(item, pikepdf.Array):
        for each in item:
            if not (isinstance(each, pikepdf.Object) and each.is_indirect):
                yield from strings_of(each)


PRIVATE = ("client", "client_address", "client_email", "client_telephone", "site", "occupier", "access")


def private_words(job) -> set[str]:
    """What names the client of a job, or would lead to them, as it was typed."""
    rows = make_rows()
    row = next(each for each in rows["Jobs"] if each["job"] == job)
    supply = [each.get(name) for each in rows["Supplies"] if each["job"] == job for name in ("supply_number", "meter")]
    return {str(each) for each in (job, *(row.get(name) for name in PRIVATE), *supply) if each and len(str(each)) > 4}


@pytest.mark.parametrize("job", SIGNABLE)
def test_nothing_of_another_job_is_in_a_pack_its_attachments_or_its_metadata(built, numbers, pages, job):
    folder, own = built[1] / "packs" / numbers[job], private_words(job)
    strange = set().union(*map(private_words, EXPECTED)) - own
    assert len(strange) > 30
    texts = dict(_all_texts(folder / f"{numbers[job]}-handover-pack.pdf", pages[job]))
    assert {"pages", "metadata", "objects", "record.json"} <= texts.keys()
    everything = {place: squeezed(html.unescape(text)) for place, text in texts.items()}
    assert any(squeezed(str(each)) in everything["record.json"] for each in own)
    found = {(place, word) for place, text in everything.items() for word in strange if squeezed(word) in text}
    assert not {(place, word) for place, word in found if not any(word in each for each in own)}


def test_the_search_for_another_client_finds_one_wherever_it_hides(built, numbers, pages):
    """Else the test above could pass over something."""
    job = SIGNABLE[0]
    texts = dict(_all_texts(built[1] / "packs" / numbers[job] / f"{numbers[job]}-handover-pack.pdf", pages[job]))
    client = squeezed(next(each["client"] for each in make_rows()["Jobs"] if each["job"] == job))
    places = {place.partition(",")[0] for place, text in texts.items() if client in squeezed(html.unescape(text))}
    assert {"pages", "record.json"} < places
    assert any(each.endswith(".docx") for each in places)
    assert any(each.endswith(".xlsx") for each in places)


def test_odd_names_come_out_letter_by_letter(pages):
    odd = {
        row["job"]: str(row[name])
        for row in make_rows()["Jobs"]
        for name in ("client", "site", "extent")
        if row["job"] in SIGNABLE and any(sign in str(row.get(name)) for sign in "&<>'{")
    }
    assert odd
    for job, text in odd.items():
        assert squeezed(text) in squeezed(" ".join(pages[job]))


def test_nothing_leaks_from_the_machinery_onto_a_page(pages):
    for job, texts in pages.items():
        for number, text in enumerate(texts, start=1):
            leak = re.search(r"\{\{|\}\}|\{%|\bnan\b|\bUndefined\b|Traceback|\ufffd|<[a-z_.]+ object", text)
            assert leak is None, (job, number, leak)


def test_a_job_that_is_not_made_leaves_no_certificate(built, numbers):
    unmade = [job for job in EXPECTED if job not in SIGNABLE]
    assert unmade
    assert all(not numbers[job] for job in unmade)
    names = [path.name for path in (built[1] / "held").rglob("*") if path.is_file()]
    assert names
    assert set(names) == {"do-not-use.docx", "do-not-use.pdf"}


def test_the_corrections_name_every_cell_that_holds_a_job(built):
    report, _ = built
    text = corrections(report)
    for each in report.decisions:
        if each.status is Status.HELD:
            assert f"Job {each.reference} · held" in text
            assert any(
                str(place) in text for finding in each.judged.findings if holds(finding) for place in finding.places
            )


def test_building_again_changes_nothing(built):
    report, outputs = built
    before = {path: path.stat().st_mtime_ns for path in (outputs / "packs").rglob("*")}
    again = build(Options(outputs.parent / "inputs" / "demo-week.xlsx", outputs, as_of=TODAY), silent)
    assert again.check_value == report.check_value
    assert {str(each.status) for each in again.decisions} == {"unchanged", "held", "planned"}
    assert {path: path.stat().st_mtime_ns for path in (outputs / "packs").rglob("*")} == before


def soundness(path):
    """What programs of other families say against a file."""
    told = []
    if shutil.which("qpdf"):
        done = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
        told += [done.stdout + done.stderr] if done.returncode else []
    if shutil.which("pdftotext"):
        done = subprocess.run(["pdftotext", path, "-"], capture_output=True, text=True, check=False)
        told += [done.stderr] if done.returncode or done.stderr else []
    reader = PdfReader(path, strict=True)
    told += [f"page {number} reads empty" for number, page in enumerate(reader.pages, 1) if not page.extract_text()]
    return told


@pytest.fixture(scope="module")
def trial_key(tmp_path_factory):
    """A key for trying out, such as `handover keys` makes it."""
    folder = tmp_path_factory.mktemp("keys")
    made = make_trial_keys(folder, "Cass Jo Notional", "open sesame")
    return open_key(next(path for path in made if path.suffix == ".p12"), "open sesame")


@pytest.mark.skipif(not os.environ.get("CI") and not shutil.which("qpdf"), reason="qpdf is not on this machine")
@pytest.mark.parametrize("job", SIGNABLE)
def test_every_pack_is_sound_for_other_families_of_readers_signed_and_unsigned(
    built, numbers, trial_key, tmp_path, job
):
    assert shutil.which("qpdf"), "the set-up with --tests brings it"
    path = built[1] / "packs" / numbers[job] / f"{numbers[job]}-handover-pack.pdf"
    assert soundness(path) == []
    content = signed(path.read_bytes(), trial_key)
    other = tmp_path / "signed.pdf"
    other.write_bytes(content)
    assert soundness(other) == []
    with opened(content) as pdf:
        assert failures(content, claim_of(pdf)) == ()


@pytest.mark.parametrize("job", SIGNABLE)
def test_the_code_on_each_identity_notice_gives_number_and_fingerprint_to_a_camera(built, numbers, job):
    import pypdfium2
    import zxingcpp

    folder = built[1] / "packs" / numbers[job]
    points = sum(row["job"] == job for row in make_rows()["Charge points"])
    codes = []
    with pypdfium2.PdfDocument(folder / f"{numbers[job]}-notices.pdf") as document:
        for page in document:
            codes += [each.text for each in zxingcpp.read_barcodes(page.render(scale=200 / 72).to_pil())]
    record_sum = fingerprint((folder / f"{numbers[job]}-record.json").read_bytes())
    assert codes == [f"Certificate {numbers[job]}\nrecord sha256 {record_sum}"] * points


def test_every_pack_claims_the_highest_level_that_holds(built, numbers):
    for number in (numbers[job] for job in SIGNABLE):
        with (
            pikepdf.open(built[1] / "packs" / number / f"{number}-handover-pack.pdf") as pdf,
            pdf.open_metadata() as claims,
        ):
            assert (claims["pdfaid:part"], claims["pdfaid:conformance"], claims["pdfuaid:part"]) == ("3", "A", "1"), (
                number
            )


def test_a_domestic_pack_can_be_mailed(built, numbers):
    homes = {row["job"] for row in make_rows()["Jobs"] if "dwelling" in row.get("premises", "dwelling")} & set(SIGNABLE)
    assert len(homes) > 3
    for job in homes:
        path = built[1] / "packs" / numbers[job] / f"{numbers[job]}-handover-pack.pdf"
        assert path.stat().st_size < 2_000_000, job
