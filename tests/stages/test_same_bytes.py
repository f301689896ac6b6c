"""Same record, same envelope, same tools: the same bytes, whoever builds, when and where."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.pack.samples import converted

ROOT = Path(__file__).parents[2]
# what another desk differs in; the first is the measure
HERE = {"TZ": "UTC", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "0", "USER": "one", "LOGNAME": "one"}
THERE = {"TZ": "Pacific/Kiritimati", "LC_ALL": "de_DE.UTF-8", "PYTHONHASHSEED": "4242", "USER": "two", "LOGNAME": "two"}
BUILD = """
import hashlib, json, sys
from dataclasses import replace
from pathlib import Path
from pipeline.stages import make
from pipeline.stages.render import every_document, find_templates
from pipeline.tools.libreoffice import Office
from tests.documents import sample

kind, workers, chunk, turned = sys.argv[1], int(sys.argv[2]), int(sys.argv[3]), sys.argv[4] == "turned"
templates = find_templates()
envelopes = [replace(sample.ENVELOPE, number=f"EX-{number:04d}") for number in (41, 42, 43)]
orders = [sample.order(sample.job(points), templates, each) for points, each in zip((1, 2, 1), envelopes)]
orders = orders[::-1] if turned else orders
make.CHUNK = chunk
if kind == "word":
    papers = {each.envelope.name: every_document(each) for each in orders}
    made = {f"{pack}-{name}": content for pack, words in papers.items() for name, content in words.items()}
else:
    with Office(workers=workers) as office:
        done = list(make.make(orders, office))
    assert not [each.trouble for each in done if each.trouble], [each.trouble for each in done]
    made = {name: content for each in done for name, content in each.files.items()}
print(json.dumps({name: hashlib.sha256(content).hexdigest() for name, content in sorted(made.items())}))
"""


def built(home, surroundings, *arguments, clock=()):
    """The sums of all files of three packs built in a process of its own."""
    (home / "temporary").mkdir(parents=True)
    environment = {**os.environ, **surroundings, "HOME": str(home), "TMPDIR": str(home / "temporary")}
    environment["PYTHONPATH"] = os.pathsep.join([str(ROOT), str(ROOT / "tests")])
    command = [*clock, sys.executable, "-c", BUILD, *arguments]
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


def test_word_files_are_the_same_for_another_user_zone_locale_hash_seed_and_folder(tmp_path):
    one = built(tmp_path / "a", HERE, "word", "1", "24", "straight")
    assert len(one) > 30
    assert built(tmp_path / "b" / ("deep/" * 12), THERE, "word", "1", "24", "turned") == one


@pytest.mark.long
def test_word_and_pdf_files_are_the_same_two_years_later_on_another_desk(tmp_path):
    converted()  # skips where there is no converter
    if not shutil.which("faketime"):
        pytest.skip("faketime is not on this machine")
    one = built(tmp_path / "a", HERE, "all", "1", "24", "straight", clock=("faketime", "-f", "-730d"))
    other = built(tmp_path / "b" / ("deep/" * 12), THERE, "all", "2", "1", "turned")
    assert {name.rpartition(".")[2] for name in one} == {"docx", "pdf", "json"}
    assert [name for name in one if one[name] != other.get(name)] == []
    assert one.keys() == other.keys()
