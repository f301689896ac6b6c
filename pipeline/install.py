"""Set up everything the project needs on a fresh machine, then run a command in it.

    python3 pipeline/install.py -- handover build inputs/demo-week.xlsx
    python3 pipeline/install.py --tests -- pytest

Uses the standard library only and imports nothing of the project, because nothing is installed yet when it
starts. Where everything is already there it adds a fraction of a second.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import platform
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
SCRIPTS = ENVIRONMENT / ("Scripts" if os.name == "nt" else "bin")
STAMP = ENVIRONMENT / "made-from.txt"
OLDEST_PYTHON = (3, 11)
TROUBLE = 3
WRONG_COMMAND = 2

# programs outside Python: what to look for, and the Debian package that brings it
WRITER = {"libreoffice-writer-nogui": ("soffice.bin", "soffice")}
TEST_PROGRAMS = {
    "libreoffice-calc-nogui": ("/usr/lib/libreoffice/program/libsclo.so",),
    "poppler-utils": ("pdftotext",),
    "qpdf": ("qpdf",),
    "faketime": ("faketime",),
    "strace": ("strace",),
    # the page of the register is tried in it; not every release of Ubuntu has it as a package
    "chromium?": ("chromium", "chromium-browser", "google-chrome"),
    # what drives the browser is linked against it
    "libatomic1": tuple(f"/usr/lib/{machine}-linux-gnu/libatomic.so.1" for machine in ("x86_64", "aarch64")),
}
PROGRAM_FOLDERS = (
    "/usr/lib/libreoffice/program",
    "/usr/lib64/libreoffice/program",
    "/opt/libreoffice/program",
    "/Applications/LibreOffice.app/Contents/MacOS",
    r"C:\Program Files\LibreOffice\program",
)
FONT_FOLDERS = (
    "/usr/share/fonts",
    "/usr/local/share/fonts",
    "/Library/Fonts",
    r"C:\Windows\Fonts",
    "~/.local/share/fonts",
)
FONT_FILE = "LiberationSans-Regular.ttf"
FONT_PACKAGE = "fonts-liberation2|fonts-liberation"
BY_HAND = {
    "Linux": "sudo dnf install libreoffice-writer liberation-sans-fonts   (Fedora)",
    "Darwin": "brew install --cask libreoffice font-liberation",
    "Windows": "winget install TheDocumentFoundation.LibreOffice   (it brings the Liberation fonts)",
}


class SetUpError(Exception):
    """The set-up cannot go on; the text says why and what to do."""


def say(text: str) -> None:
    """One line of talk, beside the product of the command."""
    print(text, file=sys.stderr, flush=True)


def run(arguments: list[str], what: str) -> None:
    """Run a program quietly; its last lines are shown when it fails."""
    try:
        done = subprocess.run(arguments, cwd=ROOT, capture_output=True, text=True, check=False)
    except OSError as trouble:
        raise SetUpError(f"{what} did not start: {trouble.strerror or trouble}.") from trouble
    if done.returncode:
        tail = "\n".join((done.stdout + done.stderr).strip().splitlines()[-12:])
        raise SetUpError(f"{what} failed. Check the network and the disk, then run the same line again.\n{tail}")


def lock_file(*, tests: bool) -> Path:
    """The list of locked packages."""
    return ROOT / ".lock" / ("tests.txt" if tests else "run.txt")


def wanted_stamp(*, tests: bool) -> str:
    """What the environment is made from; another stamp means that it must be brought up to date."""
    content = b"".join(path.read_bytes() for path in (lock_file(tests=tests), ROOT / "pyproject.toml"))
    kind = "tests" if tests else "run"
    return f"{kind} {hashlib.sha256(content).hexdigest()} {platform.python_version()} {ROOT}"


def is_current(*, tests: bool) -> bool:
    """Whether the environment was made from today's lists; one made for the tests serves every command."""
    found = STAMP.read_text(encoding="utf-8") if STAMP.exists() else ""
    return found == wanted_stamp(tests=True) or (not tests and found == wanted_stamp(tests=False))


def install_packages(*names: str) -> None:
    """Install Debian packages, as root or through sudo.

    Each name may list choices for other releases, with `|`; one that ends in `?` is left out where there is none.
    """
    as_root = [] if os.geteuid() == 0 else ["sudo"]
    if as_root and not shutil.which("sudo"):
        raise SetUpError(f"Ask your administrator for: apt-get install {' '.join(names)}")
    say(f"Installing {', '.join(names)} …")
    quiet = [*as_root, "env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-qq"]
    run([*quiet, "update"], "Reading the list of packages")
    chosen = [each for name in names if (each := next(filter(is_known, name.rstrip("?").split("|")), name))[-1] != "?"]
    if left_out := [name[:-1] for name in names if name.endswith("?") and name[:-1] not in chosen]:
        say(f"This system has no package {', '.join(left_out)}; what is tried with it is skipped.")
    if not chosen:
        return
    run([*quiet, "install", "-y", "--no-install-recommends", *chosen], f"Installing {', '.join(chosen)}")


def is_known(package: str) -> bool:
    """Whether this release of Debian or Ubuntu has a package."""
    return bool(subprocess.run(["apt-cache", "show", package], capture_output=True, check=False).stdout)


def make_environment(*, tests: bool) -> None:
    """Make the virtual environment with the locked packages and the project itself."""
    if importlib.util.find_spec("ensurepip") is None:
        if not shutil.which("apt-get"):
            raise SetUpError("This Python has no 'venv' module: install it with your system's package manager.")
        install_packages("python3-venv")
    if not (SCRIPTS / ("python.exe" if os.name == "nt" else "python")).exists():
        say("Making the virtual environment …")
        run([sys.executable, "-m", "venv", "--clear", str(ENVIRONMENT)], "Making the virtual environment")
    say("Installing the locked packages (a few minutes the first time) …")
    pip = [str(SCRIPTS / "python"), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    run([*pip, "--require-hashes", "-r", str(lock_file(tests=tests))], "Installing the locked packages")
    run([*pip, "--no-deps", "--no-build-isolation", "--editable", str(ROOT)], "Installing the project")
    STAMP.write_text(wanted_stamp(tests=tests), encoding="utf-8")


def is_there(names: tuple[str, ...]) -> bool:
    """Whether any of these programs or files is on the machine."""
    return any(
        shutil.which(name) or Path(name).is_file() or any((Path(folder) / name).is_file() for folder in PROGRAM_FOLDERS)
        for name in names
    )


def font_is_there() -> bool:
    """Whether the one typeface of the documents is on the machine."""
    folders = [Path(each).expanduser() for each in FONT_FOLDERS] + [
        Path(each) / "../../share/fonts" for each in PROGRAM_FOLDERS
    ]
    return any(next(folder.rglob(FONT_FILE), None) for folder in folders if folder.is_dir())


def bring_programs(*, tests: bool) -> None:
    """Bring LibreOffice Writer and the fonts; where that cannot be done from here, say what to type."""
    programs = WRITER | (TEST_PROGRAMS if tests else {})
    missing = [package for package, names in programs.items() if not is_there(names)]
    if not font_is_there():
        missing.append(FONT_PACKAGE)
    if missing and shutil.which("apt-get"):
        install_packages(*missing)
    elif missing:
        say("LibreOffice Writer or its Liberation fonts are missing; no document can be issued without them. Type:")
        say("    " + BY_HAND.get(platform.system(), BY_HAND["Linux"]))


def split_command(arguments: list[str]) -> tuple[bool, list[str]]:
    """What was asked for: whether the tests' packages are wanted, and the command behind `--`."""
    place = arguments.index("--") if "--" in arguments else len(arguments)
    own, command = arguments[:place], arguments[place + 1 :]
    if set(own) - {"--tests"}:
        raise SetUpError(f"Unknown option: {' '.join(own)}. Use: install.py [--tests] [-- COMMAND …]")
    return "--tests" in own, command


def run_command(command: list[str]) -> int:
    """Run a command of the environment in its place and give its exit code."""
    program = shutil.which(command[0], path=f"{SCRIPTS}{os.pathsep}{os.environ.get('PATH', '')}")
    if not program:
        raise SetUpError(f"There is no command '{command[0]}'.")
    if os.name != "nt":
        os.execv(program, [program, *command[1:]])  # noqa: S606 - the command that was asked for
    return subprocess.run([program, *command[1:]], check=False).returncode


def main(arguments: list[str]) -> int:
    """Set up what is missing, then run the command; exit code 3 when the set-up fails."""
    try:
        tests, command = split_command(arguments)
        if sys.version_info < OLDEST_PYTHON:
            raise SetUpError("Python 3.11 or newer is needed: install it, then run this line with it.")
        if not is_current(tests=tests):
            make_environment(tests=tests)
        bring_programs(tests=tests)
        return run_command(command) if command else 0
    except SetUpError as trouble:
        say(str(trouble))
        return WRONG_COMMAND if str(trouble).startswith(("Unknown option", "There is no command")) else TROUBLE


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
