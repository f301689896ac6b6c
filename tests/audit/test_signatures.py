"""A signature counts when it covers everything, nothing follows it, and its container is written in the one form."""

import io
import random
from functools import cache

import pikepdf
import pytest

from pipeline.audit.faults import Kind
from pipeline.audit.results import Evidence
from pipeline.audit.signatures import authorities, signatures
from pipeline.errors import CommandError
from tests.audit import signing

pytestmark = pytest.mark.xdist_group("audit")


@cache
def small():
    """A small PDF that is no pack, signed."""
    with pikepdf.new() as pdf:
        for _ in range(3):
            pdf.add_blank_page()
        target = io.BytesIO()
        pdf.save(target)
    return signing.signed(target.getvalue())


def look(pdf, *roots):
    return signatures(pdf, roots or (signing.root_of(),), "pack")


def kinds(pdf, *roots):
    """What is found, a file that no reader can open included."""
    try:
        found = look(pdf, *roots)
    except Exception:  # noqa: BLE001 - as whoever examines a pack
        return {Kind.DAMAGED}
    return {fault.kind for each in found for fault in each.faults} if found else {Kind.DAMAGED}


def container(pdf):
    """Where the hexadecimal digits of the container begin and end."""
    start = pdf.index(b"/Contents <") + len(b"/Contents <")
    return start, pdf.index(b">", start)


def test_a_sound_signature_names_its_signer():
    [found] = look(small())
    assert (found.signer, found.trusted, found.faults) == ("Invented Supervisor", True, ())


def test_without_an_authority_trust_is_not_judged():
    [found] = signatures(small(), (), "pack")
    assert (found.trusted, found.faults) == (None, ())
    assert "trust not judged" in str(found)


def test_a_stranger_is_told_from_the_signer():
    stranger = signing.root_of("Somebody Else", "Other Authority")
    assert kinds(small(), stranger) == {Kind.STRANGER}


def test_a_flipped_byte_is_laid_to_nobody_else():
    pdf = small()
    place = pdf.index(b"\n%") + 2  # in a comment, which every reader passes over
    assert kinds(flipped(pdf, place, 0)) == {Kind.SIGNATURE}


def test_bytes_behind_the_signature_are_named():
    assert kinds(small() + b"%junk\n") == {Kind.APPENDED}


def test_a_second_signature_is_something_added():
    assert Kind.APPENDED in kinds(signing.signed_again(small()))


@pytest.mark.parametrize("count", [20])
def test_no_flipped_bit_that_the_signature_covers_goes_unnoticed(count):
    chance, pdf = random.Random(5), small()  # noqa: S311 - a draw that can be repeated
    start, end = container(pdf)
    places = [place for place in range(len(pdf)) if not start <= place < end]
    missed = []
    for _ in range(count):
        place, bit = chance.choice(places), chance.randrange(8)
        if not kinds(flipped(pdf, place, bit)):
            missed.append((place, bit))
    assert missed == []


def flipped(pdf, place, bit):
    changed = bytearray(pdf)
    changed[place] ^= 1 << bit
    return bytes(changed)


@pytest.mark.parametrize("count", [20])
def test_no_flipped_bit_of_the_container_goes_unnoticed(count):
    chance, pdf = random.Random(6), small()  # noqa: S311 - a draw that can be repeated
    start, end = container(pdf)
    used = len(pdf[start:end].rstrip(b"0"))
    missed = []
    for number in range(count):
        place, bit = start + chance.randrange(used if number % 4 else end - start), chance.randrange(8)
        if not kinds(flipped(pdf, place, bit)):
            missed.append((place - start, bit))
    assert missed == []


@pytest.mark.parametrize(
    "change",
    [
        lambda hexes: hexes.replace(b"A", b"a", 1),
        lambda hexes: hexes[:-2] + b"01",
        lambda hexes: b" " + hexes[:-1],
        lambda hexes: hexes[:-4] + b"BEEF",
    ],
)
def test_a_container_written_in_another_way_is_named(change):
    pdf = small()
    start, end = container(pdf)
    assert kinds(pdf[:start] + change(pdf[start:end]) + pdf[end:])


def test_a_signed_pack_is_proved_by_its_signature_alone_where_the_signer_is_vouched_for(pack, alone, tmp_path):
    path = tmp_path / "signed.pdf"
    path.write_bytes(signing.signed(pack("0002-1").read_bytes()))
    trusted = alone(path, roots=(signing.root_of(),))
    stranger = alone(path, roots=(signing.root_of("Somebody Else", "Other Authority"),))
    assert trusted.signed_by
    assert not {each.kind for each in trusted.faults} & {Kind.APPENDED, Kind.SIGNATURE, Kind.STRANGER, Kind.PAGE}
    assert (trusted.evidence is Evidence.SIGNATURE) is (not trusted.faults)
    assert Kind.STRANGER in {each.kind for each in stranger.faults}
    assert stranger.evidence is Evidence.NOTHING


def test_a_file_that_holds_no_authority_is_refused(tmp_path):
    path = tmp_path / "root.pem"
    path.write_text("no certificate")
    with pytest.raises(CommandError):
        authorities([path])
    path.write_bytes(signing.root_of())
    assert authorities([path]) == (signing.root_of(),)
