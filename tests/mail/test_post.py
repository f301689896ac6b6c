"""Sending to a real mail server on this machine: once, encrypted, with its answer, and what is said when it fails."""

import time

import pytest
from mail.conftest import PASSWORD, issue

from pipeline import cli
from pipeline.audit.ledger import open_ledger
from pipeline.errors import ExitCode
from pipeline.mail import post
from pipeline.mail.server import STORE
from pipeline.register import Register
from pipeline.register.mails import Step, deliveries
from pipeline.stages.commit import Outputs


@pytest.fixture
def send(outputs: Outputs, capsys):
    """Runs `send` and gives its exit code and what it said."""

    def run(*more: str) -> tuple[int, str]:
        code = cli.main(["send", "--out", str(outputs.root), *more])
        said = capsys.readouterr()
        return code, said.out + said.err

    return run


def steps(outputs: Outputs) -> dict[str, Step]:
    with Register.open(outputs.register, "2026-11-25T00:00:00+00:00") as register:
        return {to: each.step for (_, to), each in deliveries(register).items()}


def client_of(outputs: Outputs):
    with Register.open(outputs.register, "2026-11-25T00:00:00+00:00") as register:
        return deliveries(register)["0001-1", "client"]


def history(outputs: Outputs, to: str = "client") -> list[str]:
    with Register.open(outputs.register, "2026-11-25T00:00:00+00:00") as register:
        return [body["step"] for _, body, _ in register.mails() if body["to"] == to]


def test_without_go_nothing_is_sent_and_no_server_is_needed(send, outputs):
    code, said = send()
    assert code == ExitCode.OK
    assert "would be sent" in said
    assert "Nothing was sent" in said
    assert steps(outputs) == {}


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_each_letter_goes_once_encrypted_and_the_answer_is_kept_for_each_receiver(send, outputs, start, security):
    office = start(security=security)
    code, said = send("--go")
    assert code == ExitCode.OK, said
    assert {each.rcpt_tos[0] for each in office.taken} == {
        "sam@example.com", "connections@example.com", "notices@example.com",
    }  # fmt: skip
    assert history(outputs) == [Step.SENDING, Step.ACCEPTED]
    assert client_of(outputs).answer == "250 taken as 4711"
    assert b"X-Unsent" not in office.taken[0].original_content
    assert send("--go")[0] == ExitCode.OK
    assert len(office.taken) == 3


def test_an_address_stands_in_the_part_of_the_register_that_can_be_deleted(send, outputs, start):
    start()
    send("--go")
    with Register.open(outputs.register, "2026-11-25T00:00:00+00:00") as register:
        assert "sam@example.com" not in str([each["body"] for each in register.entries() if each["kind"] == "mail"])


def test_a_wrong_password_is_told_and_nothing_is_begun(send, outputs, start, monkeypatch):
    office = start()
    monkeypatch.setenv("HANDOVER_SMTP_PASSWORD", "wrong")
    code, said = send("--go")
    assert code == ExitCode.MACHINE
    assert "refuses the user or the password" in said
    assert "HANDOVER_SMTP_PASSWORD" in said
    assert steps(outputs) == {}
    assert not office.taken


def test_a_receiver_that_is_refused_is_told_and_may_be_tried_again(send, outputs, start):
    office = start()
    office.rcpt = "550 no such mailbox"
    code, said = send("--go")
    assert code == ExitCode.HELD
    assert "550 no such mailbox" in said
    assert client_of(outputs).step is Step.REFUSED
    office.rcpt = "250 OK"
    assert send("--go")[0] == ExitCode.OK
    assert len(office.taken) == 3


def test_a_mail_over_the_servers_size_is_not_begun(send, outputs, start):
    office = start(size=100)
    code, said = send("--go")
    assert code == ExitCode.HELD
    assert "the server takes 0.0 MB" in said
    assert "hand it over another way" in said
    assert history(outputs) == [Step.TOO_LARGE]
    assert not office.taken


def test_a_mail_that_many_receivers_refuse_is_not_sent_and_its_draft_is_told(send, outputs, start, monkeypatch, capsys):
    monkeypatch.setattr("pipeline.mail.post.LARGEST", 1_500)
    monkeypatch.setattr("pipeline.mail.letters._files", lambda name, _: {f"{name}.pdf": b"x" * 1_500})
    office = start()
    code, said = send("--go")
    assert code == ExitCode.OK
    assert "over 25 MB, which many servers refuse: hand it over another way" in said
    assert not office.taken
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.OK
    assert "0001-1-client.eml is over 25 MB" in capsys.readouterr().out


def test_a_server_that_finds_the_mail_too_large_afterwards_is_believed(send, outputs, start):
    start().data = "552 message exceeds fixed maximum size"
    assert send("--go")[0] == ExitCode.HELD
    assert client_of(outputs).step is Step.TOO_LARGE


def broken_off(server):
    server.transport.abort()
    return "250 never heard"


def test_a_mail_without_an_answer_stays_unknown_until_somebody_decides(send, outputs, start):
    office = start()
    office.data = broken_off
    code, said = send("--go")
    assert code == ExitCode.HELD
    assert "UNKNOWN" in said
    office.data = "250 taken"
    send("--go")
    assert not office.taken
    assert set(steps(outputs).values()) == {Step.SENDING}
    why = ("--reason", "the client rang: nothing there")
    assert send("--decide", "0001-1", "--to", "client", "--arrived", "no", *why)[0] == ExitCode.OK
    operator = ("--decide", "0001-1", "--to", "network operator", "--arrived", "yes", "--reason", "confirmed by mail")
    assert send(*operator)[0] == ExitCode.OK
    send("--go")
    assert [each.rcpt_tos for each in office.taken] == [["sam@example.com"]]
    assert steps(outputs)["network operator"] is Step.DECIDED_SENT


def test_a_run_that_dies_while_sending_never_sends_again_by_itself(send, outputs, start, monkeypatch):
    office = start()

    class Died(BaseException):
        """The process ends here."""

    def die(*_):
        raise Died

    whole = post._content
    monkeypatch.setattr(post, "_content", die)
    with pytest.raises(Died):
        send("--go")
    monkeypatch.setattr(post, "_content", whole)
    assert history(outputs) == [Step.SENDING]
    send("--go")
    assert "sam@example.com" not in [each.rcpt_tos[0] for each in office.taken]


def closed(server, _):
    """The connection ends before the mail itself is asked for."""
    server.transport.abort()
    return "250 never heard"


def test_a_connection_that_breaks_off_before_the_mail_itself_leaves_it_to_be_sent_again(send, outputs, start):
    office = start()
    office.rcpt = closed
    code, said = send("--go")
    assert code == ExitCode.HELD
    assert "the connection broke off before" in said
    assert history(outputs) == [Step.SENDING, Step.BROKEN_OFF]
    office.rcpt = "250 OK"
    assert send("--go")[0] == ExitCode.OK
    assert len(office.taken) == 3


def test_one_receiver_that_is_refused_does_not_keep_the_mails_of_the_others(send, outputs, start):
    office = start()
    office.rcpt = lambda _, address: "550 no such mailbox" if address == "sam@example.com" else "250 OK"
    assert send("--go")[0] == ExitCode.HELD
    assert steps(outputs) == {
        "client": Step.REFUSED, "network operator": Step.ACCEPTED, "building control": Step.ACCEPTED,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("answer", "told"), [("451 busy, come back", "run again later"), ("550 no such mailbox", "correct the address")]
)
def test_a_refusal_for_now_is_told_otherwise_than_one_for_good(send, start, answer, told):
    start().rcpt = answer
    assert told in send("--go")[1]


def test_a_mail_refused_after_it_was_read_is_refused_and_not_unknown(send, outputs, start):
    start().data = "554 looks like advertising"
    code, said = send("--go")
    assert code == ExitCode.HELD
    assert "554 looks like advertising" in said
    assert client_of(outputs).step is Step.REFUSED


def test_a_server_that_stays_silent_after_the_mail_leaves_it_unknown(send, outputs, start, monkeypatch):
    from pipeline.mail import server

    monkeypatch.setattr(server, "PATIENCE_S", 0.5)

    def silent(_):
        time.sleep(1.5)
        return "250 far too late"

    start().data = silent
    assert "UNKNOWN" in send("--go", "--pack", "0001-1")[1]
    assert client_of(outputs).step is Step.SENDING


def test_what_has_arrived_cannot_be_decided_again(send, start):
    start()
    send("--go")
    code, said = send("--decide", "0001-1", "--to", "client", "--arrived", "no", "--reason", "why")
    assert code == ExitCode.UNREADABLE
    assert "needs no decision" in said


def test_a_server_without_encryption_gets_nothing(send, outputs, start):
    office = start(encrypted=False)
    code, said = send("--go")
    assert code == ExitCode.MACHINE
    assert "offers no encryption" in said
    assert not office.taken
    assert steps(outputs) == {}


def test_a_server_whose_name_is_not_proved_gets_nothing(send, outputs, start, monkeypatch):
    office = start()
    monkeypatch.delenv("HANDOVER_SMTP_CA")
    code, said = send("--go")
    assert code == ExitCode.MACHINE
    assert "does not prove that it is 127.0.0.1" in said
    assert not office.taken


def test_a_server_that_is_not_there_is_told(send, start, monkeypatch):
    start()
    monkeypatch.setenv("HANDOVER_SMTP_PORT", "1")
    code, said = send("--go")
    assert code == ExitCode.MACHINE
    assert "cannot be reached" in said


def test_without_a_server_in_the_environment_it_is_said_what_to_set(send, monkeypatch):
    monkeypatch.delenv("HANDOVER_SMTP_HOST", raising=False)
    code, said = send("--go")
    assert code == ExitCode.UNREADABLE
    assert "HANDOVER_SMTP_HOST" in said


def test_only_the_pack_asked_for_goes(send, outputs, start):
    issue(outputs, "EXAMPLE-2", client_email="other@example.com")
    office = start()
    send("--go", "--pack", "0002-1")
    assert {each.rcpt_tos[0] for each in office.taken} >= {"other@example.com"}
    assert len(office.taken) == 3


def test_the_password_may_lie_in_the_systems_store(send, outputs, start, monkeypatch):
    import keyring

    office = start()
    monkeypatch.delenv("HANDOVER_SMTP_PASSWORD")
    kept = {(STORE, "office"): PASSWORD}
    monkeypatch.setattr(keyring, "get_password", lambda *asked: kept.get(asked))
    assert send("--go")[0] == ExitCode.OK
    assert len(office.taken) == 3


def test_a_register_with_mails_holds_together_for_an_auditor(send, outputs, start):
    start()
    send("--go")
    assert not open_ledger(outputs.register, "register").faults
