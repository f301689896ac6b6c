"""A stand-in for LibreOffice: it makes a blank page of each Word file, and does to one of them what it is told to."""

import io
import sys
from pathlib import Path

import pikepdf

from pipeline.pack.metadata import CLAIMS
from pipeline.stages import make
from pipeline.tools import libreoffice, program

PROGRAM = """#!{python} -SE
import os, signal, subprocess, sys, time, zipfile
from pathlib import Path

page, log = Path({page!r}).read_bytes(), open({log!r}, "a")
log.write(f"{{os.getpid()}}\\n")
log.flush()
words = sys.argv[1:]
target = Path(words[words.index("--outdir") + 1])
for word in (Path(each) for each in words if each.endswith(".docx")):
    with zipfile.ZipFile(word) as parts:
        text = b"".join(parts.read(each) for each in parts.namelist() if each.startswith("word/"))
    made = target / f"{{word.stem}}.pdf"
    how = {how!r} if all(each in text for each in {wanted!r}) else ""
    if how in ("hang", "late") and not os.fork():
        log.write(f"{{os.getpid()}}\\n")
        log.flush()
        time.sleep(60 if how == "hang" else 0.3)
        made.write_bytes(page)
        os._exit(0)
    if how == "hang":
        time.sleep(60)
    elif how == "die":
        os.kill(os.getpid(), signal.SIGSEGV)
    elif how == "garbage":
        made.write_bytes(b"rubbish" * 99)
    elif how == "torn":
        made.write_bytes(page[: len(page) // 2])
    elif how not in ("nothing", "late"):
        made.write_bytes(page)
"""
HOW = ("hang", "die", "nothing", "garbage", "torn", "late")


class Converter:
    """A stand-in in a folder of its own; `log` names every process of it."""

    def __init__(self, folder: Path, how: str = "", wanted: tuple[bytes, ...] = (), seconds: float = 1.5) -> None:
        folder.mkdir()
        page = io.BytesIO()
        with pikepdf.new() as pdf:
            pdf.add_blank_page()
            pdf.save(page)
        (folder / "page.pdf").write_bytes(page.getvalue())
        self.log, self.program, self.seconds = folder / "log", folder / "office", seconds
        self.log.touch()
        facts = {"python": sys.executable, "page": str(folder / "page.pdf"), "log": str(self.log)}
        self.program.write_text(PROGRAM.format(**facts, how=how, wanted=wanted))
        self.program.chmod(0o755)

    def put_in(self) -> None:
        """Let this process convert with it; pages are then neither bound nor read, since they are blank."""
        limits = libreoffice.Limits(self.seconds, 0.05)
        program._places = lambda: iter((self.program,))
        libreoffice.Limits = lambda: limits
        make.assemble = lambda *_: (b"%PDF bound", CLAIMS[0])
        make.inspect_pack = lambda *_: []
        make.settled = lambda *_: b"%PDF single"
        make.settle = lambda pdf, *_: pdf

    def processes(self) -> list[int]:
        """Every process that it ever was."""
        return [int(each) for each in self.log.read_text().split()]
