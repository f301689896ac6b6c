"""A command of the program: how it is asked for and what it does."""

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pipeline.errors import ExitCode


@dataclass(frozen=True, slots=True)
class Command:
    """`add` enters it into the command line, `run` does it and gives the exit code."""

    add: Callable[[Any], None]
    run: Callable[[argparse.Namespace], ExitCode]
