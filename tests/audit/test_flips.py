"""Flipped bits of a signed pack: found by the signature, by the pack as a whole, or by the register alone."""

import random
from collections import Counter

import pytest

from pipeline.audit.examine import Task, examine
from pipeline.audit.signatures import signatures
from tests.audit import signing

pytestmark = [pytest.mark.xdist_group("audit"), pytest.mark.long]
COUNT = 500


@pytest.fixture(scope="module")
def signed_pack(built):
    path = built[1] / "archive" / "0002-1" / "data" / "0002-1-handover-pack.pdf"
    return signing.signed(path.read_bytes())


def found_by(content, path):
    """What finds a change: the signature, else the pack examined as a whole; nothing where neither does."""
    roots = (signing.root_of(),)
    try:
        signed = signatures(content, roots, "pack")
    except Exception:  # noqa: BLE001 - as whoever examines a pack
        return "cannot be read as a signed file"
    if not signed or any(each.faults for each in signed):
        return "the signature"
    path.write_bytes(content)
    return "the pack as a whole" if examine(Task(path, "pack", roots=roots)).faults else ""


@pytest.mark.parametrize("where", ["covered by the signature", "in its container"])
def test_no_flipped_bit_of_a_signed_pack_goes_unnoticed(signed_pack, tmp_path, where, record_property):
    chance = random.Random(51)  # noqa: S311 - a draw that can be repeated
    start = signed_pack.index(b"/Contents <") + len(b"/Contents <")
    end = signed_pack.index(b">", start)
    used = start + len(signed_pack[start:end].rstrip(b"0"))
    covered = [*range(start), *range(end, len(signed_pack))]
    words, missed = Counter(), []
    for number in range(COUNT):
        place = chance.choice(covered)
        if where == "in its container":
            place = chance.randrange(start, used if number % 4 else end)  # each fourth anywhere in its filling
        content = bytearray(signed_pack)
        content[place] ^= 1 << chance.randrange(8)
        word = found_by(bytes(content), tmp_path / "flipped.pdf")
        words[word or "the sum in the register alone"] += 1
        if not word:
            missed.append((place - start, signed_pack[place : place + 1], bytes(content[place : place + 1])))
    record_property("told", f"{COUNT} bits {where}: found by {dict(words)}; by the register alone: {missed}")
    assert missed == []
