"""What many tests share: the demo week as rows that may be spoilt, a workbook of them, the day of the check."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path

import pytest

from pipeline import place
from pipeline.demo.site import Rows
from pipeline.demo.week import TODAY
from pipeline.demo.week import demo_rows as make_rows
from pipeline.workbook.write import write_workbook

# what somebody has built in this checkout is no neighbour of what the tests build
place.USUAL = Path(__file__).parent / "no-outputs"


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print what tests have told by `record_property("told", …)`: rates and durations, from every worker."""
    for report in terminalreporter.getreports("passed") + terminalreporter.getreports("failed"):
        for name, text in report.user_properties if report.when == "call" else ():
            if name == "told":
                terminalreporter.write_line(text)


@pytest.fixture
def demo_rows() -> Rows:
    """The rows of the demo week, fresh for each test."""
    return make_rows()


@pytest.fixture
def today() -> date:
    """The day on which everything is checked."""
    return TODAY


@pytest.fixture
def workbook(tmp_path: Path) -> Callable[[Mapping[str, Sequence[Mapping[str, object]]]], Path]:
    """Writes rows into a workbook and gives its path."""

    def write(rows: Mapping[str, Sequence[Mapping[str, object]]]) -> Path:
        path = tmp_path / "week.xlsx"
        write_workbook(path, rows)
        return path

    return write
