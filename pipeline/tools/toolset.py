"""What decides the bytes of a pack besides its order: the programs, fonts and libraries that make it."""

import hashlib
import platform
import zlib
from functools import cache
from importlib.metadata import version
from pathlib import Path

import pipeline
from pipeline.tools.fonts import font_files
from pipeline.tools.program import find_program, program_version

# those that write a part of a Word file, a picture or a PDF
_WRITERS = (
    "docxtpl",
    "python-docx",
    "jinja2",
    "lxml",
    "openpyxl",
    "pillow",
    "segno",
    "fonttools",
    "pikepdf",
    "rfc8785",
)


@cache
def toolset() -> dict[str, str]:
    """Each tool by its name with its version, or the sum of its files.

    Two machines with equal toolsets make equal bytes of equal orders. Raises MachineError without LibreOffice.
    """
    ours = Path(pipeline.__file__).parent
    return {
        "LibreOffice": program_version(find_program()),
        "fonts": _sum(font_files()),
        "this program": f"{pipeline.__version__}, sum {_sum(_files_of(ours), ours)}",
        "Python": platform.python_version(),
        "zlib": zlib.ZLIB_RUNTIME_VERSION,
    } | {name: version(name) for name in _WRITERS}


def unlike(ours: dict[str, str], theirs: dict[str, str]) -> list[str]:
    """The names of the tools in which two toolsets differ."""
    return sorted(name for name in {*ours, *theirs} if ours.get(name) != theirs.get(name))


def _files_of(folder: Path) -> list[Path]:
    """Code and data of the program, without what Python compiles of it and the templates, which an order brings."""
    passed_over = {"__pycache__", "templates"}
    return sorted(
        path for path in folder.rglob("*") if path.is_file() and not passed_over & {*path.relative_to(folder).parts}
    )


def _sum(files: list[Path], root: Path | None = None) -> str:
    """One short sum over files and their names."""
    whole = hashlib.sha256()
    for path in files:
        whole.update(str(path.relative_to(root) if root else path.name).encode() + path.read_bytes())
    return whole.hexdigest()[:16]
