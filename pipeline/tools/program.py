"""LibreOffice as a program: where it lies, which version it is, and how one start of it is worded."""

import json
import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

from pipeline.errors import MachineError
from pipeline.tools.fonts import missing_fonts, system
from pipeline.tools.fonts import remedy as font_remedy

# exit status of a start that only set up its profile and asks to be started again
START_AGAIN = 81

# A text file named .docx would be taken for plain text without this.
_IN_FILTER = "MS Word 2007 XML"
# 3 = PDF/A-3. The export's own PDF/UA switch is left off: it writes metadata that PDF/A forbids.
_OUT_FILTER = {
    "SelectPdfVersion": {"type": "long", "value": "3"},
    "UseTaggedPDF": {"type": "boolean", "value": "true"},
    "ExportBookmarks": {"type": "boolean", "value": "true"},
}

_REMEDIES = {
    "debian": "Install it with: sudo apt-get install libreoffice-writer-nogui fonts-liberation2",
    "fedora": "Install it with: sudo dnf install libreoffice-writer liberation-sans-fonts",
    "darwin": "Install it with: brew install --cask libreoffice font-liberation",
    "win32": "Install it with: winget install TheDocumentFoundation.LibreOffice",
}


def find_program() -> Path:
    """The LibreOffice program itself, not its launcher, which cuts long lists of files without a word.

    Raises `MachineError` with this system's install command when there is none.
    """
    found = next((path for path in _places() if path.is_file() and os.access(path, os.X_OK)), None)
    if found is None:
        raise MachineError("LibreOffice is not on this machine.", _REMEDIES[system()])
    return found


def program_version(program: Path) -> str:
    """What the program says of itself, for example `LibreOffice 7.4.7.2 40(Build:2)`.

    Raises `MachineError` when it does not even say that.
    """
    try:
        done = subprocess.run([program, "--version"], capture_output=True, text=True, timeout=60, check=False)
    except (OSError, subprocess.TimeoutExpired) as error:
        raise MachineError(f"LibreOffice does not start: {error}.", _REMEDIES[system()]) from error
    version = done.stdout.strip()
    if not version:
        raise MachineError(f"LibreOffice at {program} does not say its version.", _REMEDIES[system()])
    return version


def check_machine() -> list[str]:
    """What this machine lacks for making documents, one plain line each, with the way to mend it."""
    lines = [f"The font {name} is missing. {font_remedy()}" for name in missing_fonts()]
    try:
        program_version(find_program())
    except MachineError as error:
        lines.append(f"{error.message} {error.remedy}")
    return lines


def command(program: Path, profile: Path, sources: list[Path], target: Path) -> list[str]:
    """The command line that turns Word files into PDFs in the folder `target`."""
    return [
        str(program),
        f"-env:UserInstallation={profile.as_uri()}",
        "--headless",
        "--norestore",
        "--nolockcheck",
        "--nodefault",
        f"--infilter={_IN_FILTER}",
        "--convert-to",
        f"pdf:writer_pdf_Export:{json.dumps(_OUT_FILTER, separators=(',', ':'))}",
        "--outdir",
        str(target),
        *(str(source) for source in sources),
    ]


def _places() -> Iterator[Path]:
    """Where the systems put the program, the most usual place first."""
    for name in ("soffice", "libreoffice"):
        launcher = shutil.which(name)
        if launcher:
            yield Path(launcher).resolve().with_name("soffice.bin")
    yield Path("/usr/lib/libreoffice/program/soffice.bin")
    yield Path("/usr/lib64/libreoffice/program/soffice.bin")
    yield from sorted(Path("/opt").glob("libreoffice*/program/soffice.bin"), reverse=True)
    yield Path("/Applications/LibreOffice.app/Contents/MacOS/soffice")
    for variable in ("PROGRAMFILES", "PROGRAMFILES(X86)"):
        if variable in os.environ:
            yield Path(os.environ[variable], "LibreOffice", "program", "soffice.bin")
