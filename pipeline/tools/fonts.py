"""The one font family of all documents: whether this machine has it, and where its files lie."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from pipeline.errors import MachineError

FAMILY = "Liberation Sans"
STYLES = ("Regular", "Bold", "Italic", "BoldItalic")

_REMEDIES = {
    "debian": "Install it with: sudo apt-get install fonts-liberation2",
    "fedora": "Install it with: sudo dnf install liberation-sans-fonts",
    "darwin": "Install it with: brew install --cask font-liberation",
    "win32": "It comes with LibreOffice: repair the LibreOffice installation, or install the Liberation fonts",
}


@cache
def regular() -> Path:
    """The file of the upright style, for the page numbers that are printed on the finished pack.

    Raises `MachineError` when the family is not on this machine.
    """
    path = _file("Regular")
    if path is None:
        raise MachineError(f"The font {FAMILY} is not on this machine.", remedy())
    return path


def missing_fonts() -> list[str]:
    """The styles of the family that this machine lacks; LibreOffice would replace them without a word."""
    return [f"{FAMILY} {style}" for style in STYLES if _file(style) is None]


def font_files() -> list[Path]:
    """The files of all styles that this machine has."""
    return [path for style in STYLES if (path := _file(style))]


def remedy() -> str:
    """How this system gets the font."""
    return _REMEDIES[system()]


def system() -> str:
    """Which family of systems this is, as far as install commands differ."""
    if sys.platform in {"darwin", "win32"}:
        return sys.platform
    return "fedora" if shutil.which("dnf") else "debian"


def _file(style: str) -> Path | None:
    """The file of one style, or nothing."""
    name = f"LiberationSans-{style}.ttf"
    found = (path for folder in _folders() for path in sorted(folder.rglob(name)))
    return next(found, None) or _asked_of_fontconfig(style)


def _folders() -> Iterator[Path]:
    """Where the systems and LibreOffice itself keep fonts."""
    home = Path.home()
    known = (
        "/usr/share/fonts/truetype/liberation2",
        "/usr/share/fonts/truetype/liberation",
        "/usr/share/fonts/liberation-sans-fonts",
        "/usr/share/fonts/liberation-sans",
        "/usr/share/fonts/liberation",
        "/opt/homebrew/Caskroom/font-liberation",
        "/Library/Fonts",
        "/Applications/LibreOffice.app/Contents/Resources/fonts/truetype",
        str(home / "Library/Fonts"),
        str(home / ".local/share/fonts"),
        str(home / ".fonts"),
        os.path.expandvars(r"%WINDIR%\Fonts"),
        os.path.expandvars(r"%LOCALAPPDATA%\Microsoft\Windows\Fonts"),
        os.path.expandvars(r"%PROGRAMFILES%\LibreOffice\share\fonts\truetype"),
    )
    yield from (Path(folder) for folder in known if Path(folder).is_dir())


def _asked_of_fontconfig(style: str) -> Path | None:
    """What fontconfig knows of a style, where fontconfig is installed."""
    program = shutil.which("fc-match")
    if program is None:
        return None
    words = {"BoldItalic": "Bold Italic"}.get(style, style)
    question = [program, "--format=%{family}\n%{file}", f"{FAMILY}:style={words}"]
    answer = subprocess.run(question, capture_output=True, text=True, timeout=30, check=False).stdout
    family, _, file = answer.partition("\n")
    return Path(file) if FAMILY in family.split(",") and file else None
