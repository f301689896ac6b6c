"""A command line that was typed wrongly, told in plain words."""

import argparse
import difflib
import re
import sys
from typing import NoReturn

from pipeline.errors import ExitCode

_CHOICE = re.compile(r"argument (?P<what>\S+): invalid choice: '(?P<given>.*?)' \(choose from (?P<known>.*)\)")
_FIGURE = re.compile(r"argument (?P<what>\S+): invalid \w+ value: (?P<given>.*)")
_BARE = re.compile(r"argument (?P<what>\S+): expected (?:one|at least one) argument")
_MISSING = "the following arguments are required: "
_SURPLUS = "unrecognized arguments: "
COMMAND, EXAMPLE = "COMMAND", "handover build week-48.xlsx"


def sentence(about: str) -> str:
    """What a command does, as a sentence by itself."""
    return f"{about[:1].upper()}{about[1:]}."


class PlainParser(argparse.ArgumentParser):
    """A parser that says in plain words what is wrong with a command line."""

    def error(self, message: str) -> NoReturn:
        """One or two sentences, and where help is; exit code 2."""
        print(f"{plain(message)}\nSee: {self.prog} --help", file=sys.stderr)
        raise SystemExit(int(ExitCode.UNREADABLE))


def plain(message: str) -> str:
    """What the parser found, as a person says it."""
    if found := _CHOICE.match(message):
        return _choice(found["what"], found["given"], [each.strip("' ") for each in found["known"].split(", ")])
    if found := _FIGURE.match(message):
        return f"{found['what']} needs a number, and {found['given']} is none."
    if found := _BARE.match(message):
        return f"Nothing stands behind {found['what']}."
    if message.startswith(_MISSING):
        missing = message.removeprefix(_MISSING)
        return f"Something is missing: {missing}." if missing != COMMAND else f"Say what to do, as in: {EXAMPLE}"
    if message.startswith(_SURPLUS):
        return _surplus(message.removeprefix(_SURPLUS))
    return f"The command line is not complete: {message}."


def _choice(what: str, given: str, known: list[str]) -> str:
    """What to say of a word that is not one of those that are known."""
    near = difflib.get_close_matches(given, known, 1)
    advice = f"Did you mean '{near[0]}'?" if near else f"There are: {', '.join(known)}."
    return f"There is no command '{given}'. {advice}" if what == COMMAND else f"{what} cannot be '{given}'. {advice}"


def _surplus(given: str) -> str:
    """What to say of words that a command does not take."""
    if given.startswith("-"):
        return f"The command has no option {given.split(maxsplit=1)[0]}."
    return f"'{given}' is one thing too many: a command takes one file, and a name with blanks needs quotation marks."
