"""How a run says where it is: a bar on a terminal, plain lines when piped; always beside the product, on stderr."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Protocol


class Tell(Protocol):
    """Says what is being done, and how far it has come where that is known."""

    def __call__(self, text: str, done: int = 0, total: int = 0) -> None:
        """One line of talk."""


def silent(text: str, done: int = 0, total: int = 0) -> None:
    """Say nothing."""


@contextmanager
def progress(*, terminal: bool) -> Iterator[Tell]:
    """A teller for as long as a run lasts."""
    import sys  # noqa: PLC0415

    if not terminal:
        yield lambda text, done=0, total=0: print(text[:1].upper() + text[1:], file=sys.stderr, flush=True)  # noqa: ARG005, T201
        return
    from rich.console import Console  # noqa: PLC0415 - heavy, not needed when piped
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn  # noqa: PLC0415

    columns = (SpinnerColumn(), BarColumn(bar_width=30), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("starting", total=None)

        def tell(text: str, done: int = 0, total: int = 0) -> None:
            bar.update(task, description=text, completed=done, total=total or None)

        yield tell
