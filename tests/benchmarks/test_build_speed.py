"""The benchmark of builds runs and measures what it names; how fast a machine is, it does not judge."""

import pytest

from tests.benchmarks.build_speed import measure
from tests.pack.samples import OFFICE


@pytest.mark.long
@OFFICE
@pytest.mark.xdist_group("alone")
def test_a_build_is_measured_beside_the_converter_alone_and_a_plain_script(tmp_path, capsys):
    told = measure(4, 1, tmp_path)
    with capsys.disabled():
        print("\n" + "\n".join(f"{name}: {figure:.2f}" for name, figure in told.items()))  # noqa: T201
    assert told["jobs"] == 4
    assert told["Word files a job"] >= 10
    assert told["nothing changed s"] < told["one job changed s"] < told["build s"] * 3
