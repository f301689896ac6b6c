"""Keys for trying out say in every name that nobody may rely on them."""

import os
import stat

import pytest
from cryptography import x509

from pipeline import cli
from pipeline.errors import CommandError, ExitCode
from pipeline.signing.key import PASSWORD_VARIABLE, open_key
from pipeline.signing.trial import make_trial_keys


@pytest.fixture
def keys(tmp_path):
    return make_trial_keys(tmp_path / "test-keys", "Cass Jo Notional", "demo")


def test_authority_and_key_are_marked_as_tests_in_every_part_of_their_names(keys):
    authority, path = keys
    root, own = x509.load_pem_x509_certificate(authority.read_bytes()), open_key(path, "demo").certificate
    parts = [str(each.value) for made in (root, own) for each in (*made.subject, *made.issuer)]
    assert parts
    assert all(each.startswith("TEST") for each in parts)
    assert open_key(path, "demo").for_trial
    assert open_key(path, "demo").belongs_to("Cass Jo Notional")
    own.verify_directly_issued_by(root)


def test_the_key_vouches_for_nobody_else(keys):
    own = open_key(keys[1], "demo").certificate
    assert own.extensions.get_extension_for_class(x509.BasicConstraints).value.ca is False
    assert own.extensions.get_extension_for_class(x509.KeyUsage).value.key_cert_sign is False


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such rights")
def test_only_its_owner_reads_the_key(keys):
    assert stat.S_IMODE(keys[1].stat().st_mode) == stat.S_IRUSR | stat.S_IWUSR


def test_keys_are_never_overwritten_and_never_made_without_a_password(keys, tmp_path):
    before = keys[1].read_bytes()
    with pytest.raises(CommandError, match="not overwritten"):
        make_trial_keys(keys[1].parent, "Cass Jo Notional", "demo")
    assert keys[1].read_bytes() == before
    with pytest.raises(CommandError, match="too short"):
        make_trial_keys(tmp_path / "other", "Cass Jo Notional", "")
    assert not (tmp_path / "other").exists()


def test_the_command_says_that_the_keys_are_for_trying_out_only(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv(PASSWORD_VARIABLE, "demo")
    assert cli.main(["keys", str(tmp_path / "k")]) == ExitCode.OK
    told = capsys.readouterr().out
    assert "for trying out only" in told
    assert "--trust" in told
