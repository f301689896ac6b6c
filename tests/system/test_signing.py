"""Packs signed by key: issued in one command, refused where they must be, superseded only once a revision is signed."""

import json
import shutil
import stat
from copy import deepcopy
from datetime import UTC, date, datetime, timedelta

import pytest

from pipeline import cli
from pipeline.audit.signatures import authorities, signatures
from pipeline.demo.__main__ import write_demo
from pipeline.demo.spoil import keep_jobs, set_cell
from pipeline.demo.week import demo_rows as make_rows
from pipeline.errors import ExitCode
from pipeline.pack.conformance import failures
from pipeline.pack.opening import opened
from pipeline.pack.wholeness import claim_of
from pipeline.register import Kind, Register
from pipeline.signing.key import PASSWORD_VARIABLE
from pipeline.stages import release as releasing
from pipeline.stages.commit import is_whole
from pipeline.workbook.write import write_workbook
from tests.signing.keys import PASSWORD, key_file

pytestmark = pytest.mark.xdist_group("signing")

FIRST, SECOND = "LN-101", "LN-102"
SUPERVISOR = "Cass Jo Notional"


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    folder = tmp_path_factory.mktemp("signing")
    write_demo(folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(PASSWORD_VARIABLE, PASSWORD)
        assert cli.main(["keys", str(folder / "keys")]) == ExitCode.OK
    return folder


@pytest.fixture(autouse=True)
def password(monkeypatch):
    monkeypatch.setenv(PASSWORD_VARIABLE, PASSWORD)


@pytest.fixture(scope="module")
def made(home):
    """An outputs folder with two packs that await their signature."""
    rows = keep_jobs(make_rows(), FIRST, SECOND)
    write_workbook(home / "week.xlsx", rows)
    assert cli.main(["build", str(home / "week.xlsx"), "--out", str(home / "out"), "--strict"]) == ExitCode.OK
    return home / "out", rows


@pytest.fixture
def out(made, tmp_path):
    shutil.copytree(made[0], tmp_path / "out")
    return tmp_path / "out"


@pytest.fixture
def key(home):
    return home / "keys" / "test-key.p12"


def sign(out, key, *names):
    return cli.main(["sign", *names, "--key", str(key), "--out", str(out)])


def states(out):
    with Register.open(out / "register.sqlite", "2026-11-24T00:00:00+00:00") as register:
        return {each.name: each.state for each in register.standings()}


def test_several_packs_are_signed_in_one_command_each_into_a_bag_beside_its_own(made, out, key, home, capsys):
    before = {path: path.read_bytes() for path in (out / "archive").rglob("*") if path.is_file()}
    assert sign(out, key, "0001-1", "2-1") == ExitCode.OK
    told = capsys.readouterr().out
    assert "Signed and issued by the key of TEST Cass Jo Notional: 0001-1, 0002-1." in told
    assert "nobody may rely on these packs" in told
    assert states(out) == {"0001-1": Kind.ISSUED, "0002-1": Kind.ISSUED}
    assert all(path.read_bytes() == content for path, content in before.items())
    bag = out / "archive" / "0002-1-released"
    assert is_whole(bag)
    signed = (bag / "data" / "0002-1-signed-handover-pack.pdf").read_bytes()
    assert signed.startswith((out / "archive" / "0002-1" / "data" / "0002-1-handover-pack.pdf").read_bytes())
    with opened(signed) as pdf:
        assert failures(signed, claim_of(pdf)) == ()
    [found] = signatures(signed, authorities([home / "keys" / "test-authority.pem"]), "pack")
    assert (found.signer, found.trusted, found.faults) == ("TEST Cass Jo Notional", True, ())
    told = json.loads((bag / "data" / "0002-1-release.json").read_bytes())
    assert (told["how"], told["name"], told["certificate"]["holder"]) == ("key", SUPERVISOR, "TEST Cass Jo Notional")


def test_the_signed_pack_takes_the_place_of_the_unsigned_for_daily_use_and_all_of_it_is_proved(out, key, capsys):
    assert sign(out, key, "--all") == ExitCode.OK
    names = {path.name for path in (out / "packs" / "0001-1").glob("*pack.pdf")}
    assert names == {"0001-1-signed-handover-pack.pdf"}
    assert cli.main(["verify", str(out), "--quick"]) == ExitCode.OK
    assert sign(out, key, "--all") == ExitCode.OK
    assert "No pack awaits its signature." in capsys.readouterr().out


def test_a_signed_pack_alone_is_proved_by_its_signature(out, key, home, capsys):
    assert sign(out, key, "0001-1") == ExitCode.OK
    pack = out / "packs" / "0001-1" / "0001-1-signed-handover-pack.pdf"
    authority = str(home / "keys" / "test-authority.pem")
    assert cli.main(["verify", str(pack), "--trust", authority]) == ExitCode.OK
    assert "every byte that the signature covers" in capsys.readouterr().out


def refused(capsys, out, code=ExitCode.UNREADABLE, *, got):
    assert got == code
    told = capsys.readouterr().err
    assert not list((out / "archive").glob("*-released"))
    assert Kind.ISSUED not in states(out).values()
    return told


@pytest.mark.parametrize(
    ("holder", "about", "told"),
    [
        ("Ada May Placeholder", {}, "Ada May Placeholder may not release pack 0001-1"),
        ("Somebody Else", {}, "names no such person"),
        (SUPERVISOR, {"until": -1}, "has expired"),
        (SUPERVISOR, {"kind": "weak"}, "not fit for signing"),
        (SUPERVISOR, {"password": "another"}, "does not open"),
    ],
)
def test_a_key_that_may_not_release_signs_nothing(out, tmp_path, capsys, holder, about, told):
    path = key_file(tmp_path / "key.p12", holder, **{"kind": "curve", **about})
    assert told in refused(capsys, out, got=sign(out, path, "0001-1", "0002-1"))


def test_nobody_signs_on_a_day_without_authority(made, home, tmp_path, key, capsys):
    rows = deepcopy(made[1])
    yesterday = datetime.now(UTC).astimezone().date() - timedelta(days=1)
    for person in rows["People"]:
        person["valid_from"] = date(2020, 1, 1)
    write_workbook(home / "short.xlsx", keep_jobs(rows, FIRST))
    out = tmp_path / "short"
    assert cli.main(["build", str(home / "short.xlsx"), "--out", str(out), "--strict"]) == ExitCode.OK
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("pipeline.desk.now", lambda: f"{yesterday.replace(year=2031)}T12:00:00+00:00")
        patch.setattr("pipeline.signing.key.Key.require_valid", lambda *_: None)
        assert "was not authorised on" in refused(capsys, out, got=sign(out, key, "0001-1"))


def test_a_pack_that_was_altered_is_not_signed_even_when_its_bag_was_made_anew(out, key, capsys):
    import bagit

    folder = out / "archive" / "0001-1"
    for path in folder.rglob("*"):
        path.chmod(path.stat().st_mode | stat.S_IWUSR)
    pack = folder / "data" / "0001-1-handover-pack.pdf"
    pack.write_bytes(pack.read_bytes().replace(b"%%EOF", b"%%EOF "))
    bagit.Bag(str(folder)).save(manifests=True)
    assert is_whole(folder)
    assert "was altered" in refused(capsys, out, got=sign(out, key, "0001-1", "0002-1"))


def test_a_command_that_broke_off_signs_the_rest_when_it_is_run_again(out, key, capsys):
    assert sign(out, key, "0002-1") == ExitCode.OK
    issued = register_sum(out, "0002-1")
    capsys.readouterr()
    assert sign(out, key, "0001-1", "0002-1") == ExitCode.OK
    told = capsys.readouterr().out
    assert "Signed by this key before, and issued: 0002-1." in told
    assert "Signed and issued by the key of TEST Cass Jo Notional: 0001-1." in told
    assert sign(out, key, "0001-1", "0002-1") == ExitCode.OK
    assert "Nothing was done." in capsys.readouterr().out
    assert register_sum(out, "0002-1") == issued


def register_sum(out, name):
    """Which entry a pack stands at, and what it says."""
    with Register.open(out / "register.sqlite", "2026-11-24T00:00:00+00:00") as register:
        return register.standing(name)


def test_what_is_not_waiting_is_refused_and_nothing_is_signed_with_it(out, key, tmp_path, capsys):
    assert sign(out, key, "0002-1") == ExitCode.OK
    capsys.readouterr()
    assert (
        sign(out, key_file(tmp_path / "new.p12", SUPERVISOR, kind="curve"), "0001-1", "0002-1") == ExitCode.UNREADABLE
    )
    told = capsys.readouterr().err
    assert "0002-1: Pack 0002-1 is issued already: signed by key on" in told
    assert "Nothing was signed." in told
    assert states(out) == {"0001-1": Kind.AWAITING, "0002-1": Kind.ISSUED}
    assert sign(out, key, "0009-1") == ExitCode.UNREADABLE
    assert sign(out, key) == ExitCode.UNREADABLE
    assert sign(out, key.with_name("none.p12"), "0001-1") == ExitCode.UNREADABLE


def test_a_signature_that_does_not_hold_is_not_released(out, key, capsys, monkeypatch):
    monkeypatch.delattr("pipeline.signing.sign._Writer._update_meta")
    told = refused(capsys, out, ExitCode.MACHINE, got=sign(out, key, "0001-1"))
    assert "does not hold" in told


def test_a_signature_whose_run_dies_is_completed_by_the_next_command(out, key, monkeypatch):
    class Died(BaseException):
        """The process ends here."""

    def die(*_):
        raise Died

    with monkeypatch.context() as patch:
        patch.setattr(releasing, "_enter", die)
        with pytest.raises(Died):
            sign(out, key, "0001-1")
    assert states(out)["0001-1"] is Kind.AWAITING
    assert cli.main(["register", "--out", str(out)]) == ExitCode.OK
    assert states(out)["0001-1"] is Kind.ISSUED
    assert (out / "packs" / "0001-1" / "0001-1-signed-handover-pack.pdf").exists()


def test_one_command_builds_signs_and_issues_and_a_revision_supersedes_only_once_it_is_signed(
    made, out, home, key, capsys
):
    _, rows = made
    workbook = str(home / "week.xlsx")
    assert cli.main(["build", workbook, "--out", str(out), "--sign", str(key)]) == ExitCode.OK
    assert states(out) == {"0001-1": Kind.ISSUED, "0002-1": Kind.ISSUED}
    assert "2 issued" in capsys.readouterr().out
    write_workbook(home / "changed.xlsx", set_cell(deepcopy(rows), "Jobs", FIRST, "occupier", "Robin Sample"))
    revise = ["build", str(home / "changed.xlsx"), "--out", str(out), "--revise", FIRST, "--reason", "Occupier added"]
    assert cli.main(revise) == ExitCode.OK
    assert states(out) == {"0001-1": Kind.ISSUED, "0001-2": Kind.AWAITING, "0002-1": Kind.ISSUED}
    assert cli.main(["verify", str(out), "--quick"]) == ExitCode.OK
    assert sign(out, key, "0001-2") == ExitCode.OK
    assert states(out) == {"0001-1": Kind.SUPERSEDED, "0001-2": Kind.ISSUED, "0002-1": Kind.ISSUED}
    assert cli.main(["verify", str(out), "--quick"]) == ExitCode.OK


def test_a_build_says_which_pack_was_refused_its_signature_and_why(made, out, home, tmp_path, capsys):
    stranger = key_file(tmp_path / "key.p12", "Somebody Else", "curve")
    asked = ["build", str(home / "week.xlsx"), "--out", str(out), "--sign", str(stranger)]
    assert cli.main(asked) == ExitCode.HELD
    assert "Not signed: 0001-1: The key belongs to Somebody Else" in capsys.readouterr().out
    assert set(states(out).values()) == {Kind.AWAITING}
