"""A signature covers the whole pack, leaves it the PDF/A-3 that it was, and is believed by nobody unseen."""

import subprocess
import threading
from http.server import BaseHTTPRequestHandler, HTTPServer
from shutil import which

import pikepdf
import pytest
from asn1crypto import cms, keys, tsp
from asn1crypto.x509 import Certificate
from cryptography.hazmat.primitives import serialization
from pyhanko.sign.timestamps.dummy_client import DummyTimeStamper

from pipeline.audit.signatures import signatures
from pipeline.errors import CommandError, MachineError
from pipeline.pack.conformance import failures
from pipeline.pack.opening import opened
from pipeline.pack.wholeness import claim_of, description_problems, font_problems
from pipeline.signing import sign
from pipeline.signing.key import open_key
from pipeline.signing.second import problems
from pipeline.signing.stamp import URL_VARIABLE, stamper
from tests.pack.samples import OFFICE, sample_pack
from tests.signing.keys import PASSWORD, certificate, key_file, private

pytestmark = OFFICE


@pytest.fixture(scope="module", params=["rsa", "curve"])
def key(request, tmp_path_factory):
    return open_key(key_file(tmp_path_factory.mktemp("key") / "pat.p12", "Pat Example", request.param), PASSWORD)


@pytest.fixture(scope="module")
def signed(key):
    return sign.signed(sample_pack(), key)


def test_the_pack_is_kept_byte_for_byte_and_the_whole_file_is_signed(signed, key):
    assert signed.startswith(sample_pack())
    assert problems(signed, sample_pack(), key) == []
    [found] = signatures(signed, (), "pack")
    assert (found.signer, found.faults) == ("Pat Example", ())


def test_a_signed_pack_claims_what_it_claimed_before_and_is_it(signed):
    with opened(sample_pack()) as before, opened(signed) as after:
        assert claim_of(after) == (claim := claim_of(before))
        assert after.Root.Metadata.read_bytes() == before.Root.Metadata.read_bytes()
        assert not [*description_problems(after), *font_problems(after)]
    assert failures(signed, claim) == failures(sample_pack(), claim) == ()


def test_the_field_is_tagged_named_and_takes_no_room(signed):
    with opened(signed) as pdf:
        [field] = pdf.Root.AcroForm.Fields
        assert str(field.TU) == sign.LABEL
        assert [int(each) for each in field.Rect] == [0, 0, 0, 0]
        parents = pikepdf.NumberTree(pdf.Root.StructTreeRoot.ParentTree)
        form = parents[int(field.StructParent)]
        assert str(form.S) == "/Form"
        assert form.K[0].Obj.objgen == field.objgen
        assert int(pdf.Root.StructTreeRoot.ParentTreeNextKey) == int(field.StructParent) + 1


@pytest.mark.skipif(not which("qpdf") or not which("pdfsig"), reason="qpdf and pdfsig are not here")
def test_readers_of_others_find_the_file_sound_and_the_signature_valid(signed, tmp_path):
    path = tmp_path / "signed.pdf"
    path.write_bytes(signed)
    subprocess.run(["qpdf", "--check", path], check=True, capture_output=True)
    told = subprocess.run(["pdfsig", path], check=False, capture_output=True, text=True).stdout
    assert "Signature is Valid" in told
    assert "Total document signed" in told


def flipped(content, place):
    changed = bytearray(content)
    changed[place] ^= 1
    return bytes(changed)


def test_the_second_reader_finds_what_is_not_the_signature_of_this_pack_by_this_key(signed, key, tmp_path):
    other = open_key(key_file(tmp_path / "other.p12", "Robin Other", "curve"), PASSWORD)
    assert problems(signed, sample_pack(), other)
    assert problems(signed + b"\n", sample_pack(), key)
    assert problems(sample_pack(), sample_pack(), key) == ["It does not hold one signature."]
    assert problems(signed, flipped(sample_pack(), 4000), key)
    place = signed.index(b"/Adobe.PPKLite") + 3
    assert problems(flipped(signed, place), sample_pack(), key) == ["The signature is one over other bytes."]


def test_without_keeping_the_metadata_the_second_reader_would_refuse_it(key, monkeypatch):
    monkeypatch.delattr(sign._Writer, "_update_meta")
    assert problems(sign.signed(sample_pack(), key), sample_pack(), key)


class Authority(BaseHTTPRequestHandler):
    """A time stamp authority on this machine."""

    answers = True

    def do_POST(self):
        asked = tsp.TimeStampReq.load(self.rfile.read(int(self.headers["Content-Length"])))
        private_key = private("rsa").private_bytes(
            serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
        )
        own = Certificate.load(certificate("TEST stamps").public_bytes(serialization.Encoding.DER))
        answer = DummyTimeStamper(own, keys.PrivateKeyInfo.load(private_key)).request_tsa_response(asked)
        self.send_response(200 if Authority.answers else 503)
        self.end_headers()
        self.wfile.write(answer.dump() if Authority.answers else b"")

    def log_message(self, *_):
        """Nothing is told."""


@pytest.fixture
def authority():
    server = HTTPServer(("127.0.0.1", 0), Authority)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    Authority.answers = True
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def test_a_time_stamp_is_asked_of_the_authority_that_was_chosen(key, authority):
    content = sign.signed(sample_pack(), key, stamper(authority))
    assert problems(content, sample_pack(), key) == []
    [found] = signatures(content, (), "pack")
    assert found.faults == ()
    with opened(content) as pdf:
        message = cms.ContentInfo.load(bytes(pdf.Root.AcroForm.Fields[0].V.Contents))["content"]
    [token] = message["signer_infos"][0]["unsigned_attrs"]
    assert token["type"].native == "signature_time_stamp_token"


def test_an_authority_that_does_not_answer_is_told_and_nothing_is_signed(key, authority):
    Authority.answers = False
    with pytest.raises(MachineError, match="gave no time stamp"):
        sign.signed(sample_pack(), key, stamper(authority))


def test_no_time_stamp_is_needed_and_only_an_address_is_taken():
    assert stamper("", {}) is None
    assert stamper("", {URL_VARIABLE: "https://stamps.example"}).url == "https://stamps.example"
    with pytest.raises(CommandError, match="no address"):
        stamper("file:///etc/passwd", {})
