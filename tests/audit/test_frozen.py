"""An old archive, a new program: what each release has made is still proved, to the last byte and figure."""

import shutil
import subprocess
import sys

import pytest

from pipeline import __version__
from pipeline.audit import pages
from pipeline.audit.faults import Kind
from pipeline.audit.recheck import Outcome
from pipeline.audit.results import Evidence
from tests.audit.freeze import FROZEN

pytestmark = pytest.mark.xdist_group("audit")
RELEASES = sorted(each.name for each in FROZEN.iterdir())
AGAIN = f"If {__version__} is not released yet, freeze it anew: python -m tests.audit.freeze"


@pytest.mark.parametrize("release", RELEASES)
def test_what_a_release_has_made_is_proved_by_a_later_one(full, monkeypatch, release):
    monkeypatch.setattr(pages, "PRODUCER", "charge-point-handover, a later version")
    found = full(FROZEN / release)
    assert found.packs
    assert {each.evidence for each in found.packs} == {Evidence.REGISTER}
    # a version that is still being made may get rules without saying so in its editions
    being_made = {Kind.UNEXPLAINED} if release == __version__ else set()
    assert [str(each) for each in found.faults if each.kind not in being_made] == [], AGAIN
    if not being_made:
        assert all(each.recheck.startswith((Outcome.SAME, Outcome.CORRECTED)) for each in found.packs)


def test_this_version_is_frozen_or_a_later_one_than_the_last_that_was():
    assert __version__ in RELEASES or RELEASES[-1] < __version__


@pytest.mark.parametrize("release", RELEASES)
def test_a_frozen_bag_is_valid_for_any_reader_of_bags_on_any_disk(release, tmp_path):
    for bag in sorted((FROZEN / release / "archive").iterdir()):
        copy = shutil.copytree(bag, tmp_path / bag.name)
        done = subprocess.run(
            [sys.executable, "-m", "bagit", "--validate", str(copy)], capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr
