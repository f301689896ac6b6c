"""Drafts: what the client and each body receive, and that nobody receives more than it needs."""

import email
from email import policy
from email.message import EmailMessage
from pathlib import Path

import pytest
from mail.conftest import PDF, issue

from pipeline import cli
from pipeline.errors import ExitCode
from pipeline.register import Kind, Register
from pipeline.stages.commit import Outputs
from pipeline.stages.release import SCAN, SIGNED


@pytest.fixture
def drafts(outputs: Outputs) -> dict[str, EmailMessage]:
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.OK
    return {path.stem.removeprefix("0001-1-"): opened(path) for path in (outputs.mail / "0001-1").iterdir()}


def opened(path: Path) -> EmailMessage:
    return email.message_from_bytes(path.read_bytes(), policy=policy.default)


def words(mail: EmailMessage) -> str:
    return mail.get_body(("plain",)).get_content()


def test_client_operator_and_building_control_each_have_a_draft_that_opens_ready_to_send(drafts):
    assert drafts.keys() == {"client", "network-operator", "building-control"}
    for mail in drafts.values():
        assert mail["X-Unsent"] == "1"
        assert all(mail[name] for name in ("From", "To", "Date", "Message-ID", "Subject"))
        assert mail.get_body(("html",)).get_content_type() == "text/html"


def test_the_client_gets_the_pack_with_the_check_value_and_where_the_signatures_are(drafts, outputs):
    mail = drafts["client"]
    assert mail["To"] == "sam@example.com"
    assert [(part.get_filename(), part.get_content()) for part in mail.iter_attachments()] == [
        ("0001-1-handover-pack.pdf", PDF)
    ]
    with Register.open(outputs.register, "2026-11-25T00:00:00+00:00") as register:
        assert register.check_value() in words(mail)
    assert "The signatures stand on the paper copy" in words(mail)


def test_a_body_is_told_facts_only_and_nothing_that_only_another_needs(drafts):
    operator, building = words(drafts["network-operator"]), words(drafts["building-control"])
    for mail in (drafts["network-operator"], drafts["building-control"]):
        assert not list(mail.iter_attachments())
    assert "00 0000 0000 000" in operator
    assert "00 0000 0000 000" not in building
    for told in (operator, building):
        assert "2 Sample Road, Anytown" in told
        for private in ("sam@example.com", "Socket-outlet in the shed", "Robin Sample"):
            assert private not in told


def test_names_with_signs_of_html_stay_words(tmp_path):
    outputs = Outputs(tmp_path / "outputs")
    issue(outputs, client="Smith & <b>Sons</b>\r\nBcc: x@example.com")
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.OK
    mail = opened(outputs.mail / "0001-1" / "0001-1-client.eml")
    assert "Bcc" not in mail
    assert "Smith &amp; &lt;b&gt;Sons" in mail.get_body(("html",)).get_content()


def test_a_pack_without_its_signature_is_not_mailed(tmp_path, capsys):
    outputs = Outputs(tmp_path / "outputs")
    name = issue(outputs, release=False)
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.OK
    assert "No pack is issued" in capsys.readouterr().out
    assert cli.main(["mail", "--out", str(outputs.root), "--pack", name]) == ExitCode.UNREADABLE
    assert "awaiting signature" in capsys.readouterr().err


def test_drafts_of_a_pack_that_was_withdrawn_are_taken_away(outputs, drafts):
    with Register.open(outputs.register, "2026-11-25T00:00:00+00:00") as register:
        register.give_up(register.standing("0001-1"), Kind.WITHDRAWN, "2026-11-25T00:00:00+00:00", "x")
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.OK
    assert not (outputs.mail / "0001-1").exists()


def test_a_client_without_an_address_has_a_draft_to_address_by_hand(tmp_path, capsys):
    outputs = Outputs(tmp_path / "outputs")
    issue(outputs, client_email=None)
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.OK
    assert "no address on record" in capsys.readouterr().out
    assert opened(outputs.mail / "0001-1" / "0001-1-client.eml")["To"] is None


def test_a_client_who_wants_paper_only_has_no_address_and_is_told_to_be_served_by_hand(tmp_path, capsys):
    outputs = Outputs(tmp_path / "outputs")
    issue(outputs, client_email=None)
    assert cli.main(["send", "--out", str(outputs.root)]) == ExitCode.OK
    assert "hand the pack over on paper" in capsys.readouterr().out


def test_a_name_without_end_and_in_many_scripts_makes_a_sound_mail(tmp_path):
    outputs, name = Outputs(tmp_path / "outputs"), "Łucja Żółkiewska-Przykład " * 80
    issue(outputs, client=name)
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.OK
    file = outputs.mail / "0001-1" / "0001-1-client.eml"
    assert opened(file)["Subject"] == "Handover pack 0001-1: your charge point"
    assert f"Dear {name.strip()}" in " ".join(words(opened(file)).split())
    # RFC 5322, 2.1.1: no line is longer than 998 characters
    assert max(map(len, file.read_bytes().splitlines())) <= 998


def test_a_damaged_archive_sends_nothing(outputs, capsys):
    pack = outputs.archive / "0001-1" / "data" / "0001-1-handover-pack.pdf"
    pack.chmod(0o600)
    pack.write_bytes(PDF + b"!")
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.MACHINE
    assert "not as it was made" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("papers", "attached", "said"),
    [
        ({SIGNED: b"signed"}, ["0001-1-signed-handover-pack.pdf"], "signed electronically"),
        ({SCAN: b"scan"}, ["0001-1-handover-pack.pdf", "0001-1-signed-scan.pdf"], "Questions"),
    ],
)
def test_the_client_gets_what_was_signed(tmp_path, papers, attached, said):
    outputs = Outputs(tmp_path / "outputs")
    issue(outputs, papers=papers)
    assert cli.main(["mail", "--out", str(outputs.root)]) == ExitCode.OK
    mail = opened(outputs.mail / "0001-1" / "0001-1-client.eml")
    assert [part.get_filename() for part in mail.iter_attachments()] == attached
    assert said in words(mail)
    assert "paper copy" not in words(mail)
