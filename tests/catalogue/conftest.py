"""These sweeps are long: they run with `-m long`, not by default."""

from pathlib import Path

import pytest

HERE = Path(__file__).parent


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    """Mark what lies in this folder."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.long)
