"""A key is opened by its password alone, and only one that may sign is taken."""

import io
from datetime import UTC, datetime

import keyring
import pytest
from keyring.backend import KeyringBackend
from keyring.errors import NoKeyringError

from pipeline.errors import CommandError
from pipeline.signing.key import PASSWORD_VARIABLE, open_key, password_for
from tests.signing.keys import PASSWORD, key_file


@pytest.fixture(autouse=True)
def nothing_known(monkeypatch):
    monkeypatch.delenv(PASSWORD_VARIABLE, raising=False)
    before = keyring.get_keyring()
    yield
    keyring.set_keyring(before)


class Kept(KeyringBackend):
    """A keyring that keeps one password, or none at all."""

    priority = 1

    def __init__(self, kept):
        super().__init__()
        self.kept = kept

    def get_password(self, service, username):
        if self.kept is None:
            raise NoKeyringError
        return self.kept.get((service, username))

    def set_password(self, service, username, password):
        raise NotImplementedError


@pytest.mark.parametrize("kind", ["rsa", "curve"])
def test_a_key_is_opened_by_its_password(tmp_path, kind):
    key = open_key(key_file(tmp_path / "pat.p12", "Pat Example", kind), PASSWORD)
    assert (key.holder, key.issuer, key.for_trial) == ("Pat Example", "Pat Example", False)


@pytest.mark.parametrize(
    ("about", "password", "told"),
    [
        ({}, "another", "does not open"),
        ({}, "", "does not open"),
        ({"kind": "weak"}, PASSWORD, "not fit for signing"),
        ({"kind": "other"}, PASSWORD, "not fit for signing"),
        ({"uses": ("key_encipherment",)}, PASSWORD, "not fit for signing"),
        ({"key": False}, PASSWORD, "holds no key"),
    ],
)
def test_a_wrong_password_and_a_key_that_must_not_sign_are_refused(tmp_path, about, password, told):
    path = key_file(tmp_path / "pat.p12", "Pat Example", **about)
    with pytest.raises(CommandError, match=told):
        open_key(path, password)


@pytest.mark.parametrize("content", [b"", b"not a key", b"0\x82", b"0\x03\x02\x01\x03", b"\0" * 2000])
def test_what_is_no_key_is_told_from_a_wrong_password(tmp_path, content):
    path = tmp_path / "pat.p12"
    path.write_bytes(content)
    with pytest.raises(CommandError, match="cannot be read as a key"):
        open_key(path, PASSWORD)


def test_a_certificate_that_says_nothing_of_its_use_may_sign(tmp_path):
    assert open_key(key_file(tmp_path / "pat.p12", "Pat Example", uses=None), PASSWORD).holder == "Pat Example"


@pytest.mark.parametrize(
    ("about", "told"), [({"since": -30, "until": -1}, "has expired"), ({"since": 2, "until": 9}, "is not valid yet")]
)
def test_a_certificate_signs_only_while_it_holds(tmp_path, about, told):
    key = open_key(key_file(tmp_path / "pat.p12", "Pat Example", **about), PASSWORD)
    with pytest.raises(CommandError, match=told):
        key.require_valid(datetime.now(UTC))


@pytest.mark.parametrize(
    ("holder", "person", "theirs"),
    [
        ("Pat Example", "Pat Example", True),
        ("EXAMPLE, Pat", "Pat Example", True),
        ("Dr Pat Q Example", "Pat Example", True),
        ("Pat Example", "Pat Q Example", False),
        ("Patricia Example", "Pat Example", False),
        ("Example Charging Ltd", "Pat Example", False),
        ("Pat Example", "", False),
    ],
)
def test_a_key_belongs_to_whom_its_certificate_names(tmp_path, holder, person, theirs):
    assert open_key(key_file(tmp_path / "k.p12", holder, "curve"), PASSWORD).belongs_to(person) is theirs


def test_the_environment_goes_before_the_keyring_and_the_keyring_before_the_person(tmp_path, monkeypatch):
    path = tmp_path / "pat.p12"
    keyring.set_keyring(Kept(None))
    assert password_for(path, lambda asked: f"typed for {asked}") == "typed for Password of pat.p12: "
    keyring.set_keyring(Kept({}))
    assert password_for(path, lambda _: "typed") == "typed"
    keyring.set_keyring(Kept({("handover", "pat.p12"): "kept"}))
    assert password_for(path, lambda _: "typed") == "kept"
    monkeypatch.setenv(PASSWORD_VARIABLE, "given")
    assert password_for(path, lambda _: "typed") == "given"


def test_where_nobody_can_be_asked_the_command_says_how_to_give_a_password(tmp_path, monkeypatch):
    keyring.set_keyring(Kept(None))
    monkeypatch.setattr("sys.stdin", io.StringIO())
    with pytest.raises(CommandError, match="nobody is there") as told:
        password_for(tmp_path / "pat.p12")
    assert PASSWORD_VARIABLE in told.value.remedy
    assert "keyring set handover pat.p12" in told.value.remedy
