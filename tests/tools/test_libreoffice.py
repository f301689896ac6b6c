import io
import signal
import subprocess
import sys
import threading
import time
import zipfile
from pathlib import Path

import pikepdf
import pytest

from pipeline.errors import MachineError
from pipeline.tools.libreoffice import LARGEST_BATCH, Limits, Office, Trouble, batched
from tests.pack.samples import OFFICE, SAMPLES, converted
from tests.tools.test_process import vanish

posix = pytest.mark.skipif(sys.platform == "win32", reason="the fake program is a script of a POSIX shell")

# A stand-in for LibreOffice that does to each document what stands in it.
FAKE = """#!/bin/sh
echo $$ >> {log}
target= previous=
for word in "$@"; do
  case "$previous" in --outdir) target=$word;; esac
  case "$word" in -env:UserInstallation=file://*) profile=${{word#-env:UserInstallation=file://}};; esac
  case "$word" in
  *.docx)
    made=$target/$(basename "$word" .docx).pdf
    if grep -q HANG "$word"; then sleep 60 & echo $! >> {log}; wait
    elif grep -q NOTHING "$word"; then :
    elif grep -q GARBAGE "$word"; then echo rubbish > "$made"
    elif grep -q TORN "$word"; then head -c 300 {pdf} > "$made"
    elif grep -q CRASH "$word"; then kill -SEGV $$
    elif grep -q AGAIN "$word" && [ ! -e "$profile/warm" ]; then mkdir -p "$profile"; touch "$profile/warm"; exit 81
    else cp {pdf} "$made"
    fi;;
  esac
  previous=$word
done
"""


def document(word="fine"):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("word/document.xml", f"<document>{word}</document>")
    return stream.getvalue()


@pytest.fixture
def fake(tmp_path):
    """An office on a fake program; its `log` names every process that it started."""
    pdf = tmp_path / "page.pdf"
    with pikepdf.Pdf.new() as one:
        one.add_blank_page()
        one.save(pdf)
    log = tmp_path / "log"
    log.touch()
    program = tmp_path / "fake"
    program.write_text(FAKE.format(log=log, pdf=pdf))
    program.chmod(0o755)
    with Office(program, limits=Limits(0.5, 0.05)) as office:
        office.log = log
        yield office
    assert vanish([int(line) for line in log.read_text().split()])


def starts(office):
    return len(office.log.read_text().split())


@posix
def test_every_document_becomes_a_pdf_under_its_name(fake):
    made = fake.convert({f"EX-0042/{n}": document() for n in range(9)})
    assert list(made) == [f"EX-0042/{n}" for n in range(9)]
    assert all(content.startswith(b"%PDF") for content in made.values())


@posix
@pytest.mark.parametrize(
    ("word", "words"),
    [
        ("HANG", "did not come to an end"),
        ("CRASH", "could not"),
        ("NOTHING", "could not"),
        ("GARBAGE", "could not"),
        ("TORN", "could not"),
    ],
)
def test_the_one_document_at_fault_is_named_and_the_others_are_made(fake, word, words):
    made = fake.convert({"first": document(), "bad": document(word), **{f"{n}": document() for n in range(6)}})
    troubles = {name: made for name, made in made.items() if isinstance(made, Trouble)}
    assert list(troubles) == ["bad"]
    assert words in troubles["bad"].message
    assert "bad" in troubles["bad"].message


@posix
def test_a_start_that_only_set_up_its_profile_is_started_again(fake):
    made = fake.convert({"first": document("AGAIN")})
    assert isinstance(made["first"], bytes)
    assert starts(fake) == 2
    fake.convert({"second": document("AGAIN")})
    fake.convert({"third": document("AGAIN")})
    assert starts(fake) <= 5  # a warm profile is kept


@posix
def test_a_damaged_word_file_never_reaches_the_program(fake):
    made = fake.convert({"empty": b"", "text": b"no zip", "torn": document()[:60]})
    assert all(isinstance(each, Trouble) and "damaged" in each.message for each in made.values())
    assert starts(fake) == 0


@posix
def test_a_program_that_never_makes_anything_is_the_machines_trouble(fake):
    with pytest.raises(MachineError, match="made no PDF of any"):
        fake.convert({f"{n}": document("NOTHING") for n in range(12)})


@posix
def test_closing_ends_a_running_conversion_and_leaves_no_file(fake):
    folder = fake._folder
    failures = []

    def convert():
        try:
            fake.convert({"bad": document("HANG")})
        except MachineError as stopped:
            failures.append(stopped)

    fake.limits = Limits(60, 0)
    runner = threading.Thread(target=convert)
    runner.start()
    while starts(fake) < 2:
        time.sleep(0.02)
    fake.close()
    runner.join(10)
    assert not runner.is_alive()
    assert failures
    assert not folder.exists()


@posix
def test_ctrl_c_ends_the_conversion_at_once_and_leaves_nothing(fake, tmp_path):
    (tmp_path / "bad.docx").write_bytes(document("HANG"))
    us = f"""
import signal
from pathlib import Path
from pipeline.tools.libreoffice import Office
signal.signal(signal.SIGINT, signal.default_int_handler)  # tests may run where it is ignored
signal.pthread_sigmask(signal.SIG_UNBLOCK, [signal.SIGINT])
with Office(Path({str(fake.program)!r})) as office:
    print(office._folder, flush=True)
    office.convert({{"bad": Path({str(tmp_path / "bad.docx")!r}).read_bytes()}})
"""
    process = subprocess.Popen([sys.executable, "-c", us], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    while starts(fake) < 2:
        time.sleep(0.02)
    time.sleep(0.5)  # on a busy machine the waiting thread comes to rest later than the program it waits for
    process.send_signal(signal.SIGINT)
    said, sighed = process.communicate(timeout=60)
    assert "KeyboardInterrupt" in sighed
    assert vanish([int(line) for line in fake.log.read_text().split()])
    assert not Path(said.strip()).exists()


def test_batches_are_shared_out_evenly_and_none_is_too_large():
    assert batched([], 2) == []
    assert [len(each) for each in batched(["x"] * 10, 2)] == [5, 5]
    assert [len(each) for each in batched(["x"] * 3, 2)] == [3]
    sizes = [len(each) for each in batched(["x"] * 245, 2)]
    assert sum(sizes) == 245
    assert max(sizes) <= LARGEST_BATCH
    assert min(sizes) > 25


@OFFICE
def test_the_real_program_makes_every_sample():
    made = converted()
    assert list(made) == list(SAMPLES)
    for name, content in made.items():
        assert isinstance(content, bytes), name


@OFFICE
def test_text_that_only_calls_itself_a_word_file_is_refused(tmp_path):
    converted()
    with Office() as office:
        assert office.version.startswith("LibreOffice")
        made = office.convert({"text": b"just text", "other": document("no Word text at all")})
    assert all(isinstance(each, Trouble) for each in made.values())
    assert office.program.name.startswith("soffice")
    assert not office._folder.exists()
