"""What is judged anew, and what was judged when its pack was made."""

from functools import partial

import pytest

from pipeline.demo.__main__ import write_demo
from pipeline.demo.week import TODAY
from pipeline.run import Options, judge


@pytest.fixture(scope="module")
def options(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    return Options(write_demo(folder), folder / "outputs", only=("LN-101", "LN-113"), as_of=TODAY)


def judged(options, stands):
    return judge(options, partial(str), stands)[1]


def test_a_job_that_says_what_its_pack_says_is_not_judged_again(options):
    sound, failed = judged(options, {})
    assert len(sound.findings) > 100
    again, other = judged(options, {sound.job.reference: sound.input_key})
    assert (again.job, again.edition, again.findings) == (sound.job, sound.edition, ())
    assert other == failed


def test_a_job_that_says_something_else_than_its_pack_is_judged(options):
    sound, failed = judged(options, {})
    stands = {sound.job.reference: failed.input_key, failed.job.reference: "other"}
    assert judged(options, stands) == [sound, failed]
