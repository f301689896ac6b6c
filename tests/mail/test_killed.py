"""Killed at any point of sending, no mail goes twice, and nothing is called accepted that no server took."""

import os
import signal
import sys
from collections import Counter

import pytest
from mail.conftest import issue

from pipeline import cli, points
from pipeline.errors import ExitCode
from pipeline.mail import post
from pipeline.points import Point
from pipeline.register.mails import Delivery, Step
from pipeline.stages.commit import Outputs
from tests.crash.invariants import mail_faults, state_of
from tests.mail.test_post import steps

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a process is forked")
OF_MAIL = (Point.SENDING, Point.ANSWERED, Point.TOLD)


def killed(outputs, point, times):
    """Send in a process of its own that is killed when it passes a point for the so-manieth time."""
    number = os.fork()
    if not number:
        passed = Counter()

        def die(at):
            passed[at] += 1
            if (at, passed[at]) == (point, times):
                os.kill(os.getpid(), signal.SIGKILL)

        points.passed = die
        os._exit(cli.main(["send", "--go", "--out", str(outputs.root)]))
    return os.waitstatus_to_exitcode(os.waitpid(number, 0)[1])


@pytest.mark.parametrize("times", [1, 2, 3])
@pytest.mark.parametrize("point", OF_MAIL)
def test_killed_while_sending_the_next_run_sends_what_surely_has_not_gone_and_no_more(outputs, start, point, times):
    office = start()
    assert killed(outputs, point, times) == -signal.SIGKILL
    unknown = point is not Point.TOLD
    assert list(steps(outputs).values()).count(Step.SENDING) == unknown
    assert cli.main(["send", "--go", "--out", str(outputs.root)]) == ExitCode.OK
    receivers = Counter(each.rcpt_tos[0] for each in office.taken)
    assert set(receivers.values()) == {1}
    assert len(receivers) == 3 - (point is Point.SENDING)
    assert list(steps(outputs).values()).count(Step.SENDING) == unknown


def test_a_post_that_forgets_what_it_sent_is_found_out(tmp_path, start, monkeypatch):
    outputs, office = Outputs(tmp_path / "forgetful"), start()
    issue(outputs)
    monkeypatch.setattr(Delivery, "may_be_sent", True)
    for _ in range(2):
        assert cli.main(["send", "--go", "--out", str(outputs.root)]) == ExitCode.OK
    assert len(office.taken) == 6
    office.taken.clear()  # what follows asks the other folder
    told = mail_faults(state_of(outputs.root))
    assert "I7 ('0001-1', 'client') went from accepted by the mail server to sending" in told


def test_a_mail_called_accepted_that_no_server_took_is_found_out(tmp_path, start, monkeypatch):
    outputs = Outputs(tmp_path / "hopeful")
    issue(outputs)
    start()
    monkeypatch.setattr(post, "_content", lambda *_: (250, b"surely"))
    assert cli.main(["send", "--go", "--out", str(outputs.root)]) == ExitCode.OK
    assert "I7 ('0001-1', 'client') is called accepted, and no server took it" in mail_faults(
        state_of(outputs.root), []
    )
