"""A verification in words: the lines of a summary that screen, workbook and letter share."""

from collections import Counter
from collections.abc import Iterator

from pipeline import __version__
from pipeline.audit.faults import MEANING, Fault, Kind
from pipeline.audit.results import Evidence, Pack, Verification, by_name
from pipeline.audit.sample import CONFIDENCE, GONE, RATE

Row = tuple[str, str]
FILES = frozenset({Kind.DAMAGED, Kind.MISSING, Kind.UNKNOWN, Kind.UNREADABLE, Kind.SWAPPED})
PAGES = frozenset({Kind.PAGE, Kind.ATTACHMENT})
CHAIN = frozenset({Kind.CHAIN, Kind.ROLLED_BACK, Kind.CUT, Kind.REWRITTEN})
SIGNED = frozenset({Kind.SIGNATURE, Kind.STRANGER, Kind.APPENDED})

NOT_PROVED = (
    "That the readings were ever taken, by the person named, on the day given.",
    "That the register is the only one: that takes a check value from outside the office (--known).",
    "That a bag without the register, or an unsigned pack by itself, was not made anew as a whole.",
    "What covers a page without a text of its own, such as a painted-over digit: look at the pages of the sample.",
    "That the rules and their figures are right: each calculation record says how sure they are.",
)
QUICK = "Quick mode: pages, records, attachments, signatures and PDF/A were not looked at."


def verdict(found: Verification) -> str:
    """The result in one sentence; it never says that all is well."""
    if found.faults:
        return f"{_count(len(found.faults), 'discrepancy', 'discrepancies')} found."
    if found.unproved:
        return f"No discrepancy found, but {_count(len(by_name(found.unproved)), 'pack')} NOT PROVED UNALTERED."
    return "No discrepancy found."


def summary(found: Verification) -> list[Row]:
    """What was held against what, each line with its count."""
    faults = Counter(each.kind for each in found.faults)
    rows = [
        ("Looked at", ", ".join(path.name or str(path) for path in found.paths)),
        ("Looked at by", f"charge-point-handover {__version__}"),
        ("Depth", "full: every byte, page, record and signature" if found.full else "quick: bytes and register alone"),
        ("Result", verdict(found)),
        ("Packs", f"{len(by_name(found.packs))} in {_count(len(found.packs), 'file')}: {_evidence(found)}"),
        ("Bags", f"{found.bags} hashed"),
        ("Files", _holds(faults, FILES, _archived(found))),
        ("Register", _register(found, faults)),
        ("Numbers", _numbers(found, faults)),
    ]
    if found.full:
        judged = Counter(word for _, word in {(pack.name, pack.recheck) for pack in found.packs if pack.recheck})
        rows += [
            ("Pages and attachments", _holds(faults, PAGES, "say what the records say")),
            ("Records judged again", ", ".join(f"{count} {word}" for word, count in sorted(judged.items())) or "none"),
            ("Signatures", _signatures(found.packs, faults)),
        ]
    if found.check_value:
        rows.append(("Check value today", f"{found.check_value} – note it down outside the office"))
    return rows


def _count(number: int, one: str, many: str = "") -> str:
    """A number with its noun."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def _holds(faults: Counter[Kind], kinds: frozenset[Kind], good: str) -> str:
    """What was found of some kinds, or what holds."""
    return ", ".join(f"{faults[kind]} {kind}" for kind in Kind if kind in kinds and faults[kind]) or good


def _archived(found: Verification) -> str:
    """What is said of files of which none is wrong: nothing, where there was nothing to hold them against."""
    compared = found.bags or found.check_value
    return "all as they were archived" if compared else "not compared: neither register nor bag given"


def _evidence(found: Verification) -> str:
    """How many packs are proved by what; one in several files by what proves the least of them."""
    order = list(Evidence)
    counts = Counter(max((each.evidence for each in files), key=order.index) for files in by_name(found.packs).values())
    return "; ".join(f"{counts[each]} {each}" for each in Evidence if counts[each]) or "none"


def _register(found: Verification, faults: Counter[Kind]) -> str:
    """The chain in one line."""
    return _holds(faults, CHAIN, "chain unbroken" if found.check_value else "none given, or more than one")


def _numbers(found: Verification, faults: Counter[Kind]) -> str:
    """Numbers and their states in one line."""
    states = Counter(row["state"] for row in found.numbers)
    told = ", ".join(f"{count} {state}" for state, count in sorted(states.items()))
    trouble = _holds(faults, frozenset({Kind.GAP, Kind.SUPERSESSION}), "no gap, revisions in line")
    return f"{told}; {trouble}" if told else trouble if faults[Kind.GAP] or faults[Kind.SUPERSESSION] else "no register"


def _signatures(packs: tuple[Pack, ...], faults: Counter[Kind]) -> str:
    """Who signed, and what is wrong with it."""
    signers = sorted({each for pack in packs for each in pack.signed_by})
    unsigned = sum(not any(each.signed_by for each in files) for files in by_name(packs).values())
    told = _holds(faults, SIGNED, "nothing added after them" if signers else "none to check")
    return f"{told}; {_count(unsigned, 'pack')} unsigned" + "".join(f"; {each}" for each in signers)


def exception_rows(found: Verification) -> Iterator[tuple[str, str, str]]:
    """Each discrepancy: its word, where, what is the case; a place is told from the path that was given."""
    for each in found.faults:
        what = each.message + (f" ({each.evidence})" if each.evidence else "")
        yield str(each.kind), place_of(each.where, found), what


def place_of(where: str, found: Verification) -> str:
    """A place below one of the paths that were given, without what leads to that."""
    for path in found.paths:
        if where.startswith(f"{path}/"):
            return f"{path.name}{where.removeprefix(str(path))}"
    return where


def risk_rows(found: Verification) -> list[Row]:
    """Each pack at risk in one line, with all its reasons."""
    reasons: dict[str, list[str]] = {}
    for name, reason in found.risks:
        told = reasons.setdefault(name, [])
        if reason not in told:
            told.append(reason)
    return [(name, "; ".join(told)) for name, told in sorted(reasons.items())]


def meanings(faults: tuple[Fault, ...]) -> list[tuple[str, str, str]]:
    """Each word that was used, what it means, and who may act on it."""
    return [(str(kind), *MEANING[kind]) for kind in Kind if any(each.kind is kind for each in faults)]


def sample_words(found: Verification) -> str:
    """How the sample was drawn, so that anybody can draw it again."""
    size, total = len(found.sample), _population(found)
    foreseen = "" if found.word else " No word of the auditor's went in (--word), so that the office could foresee it."
    sure, fewer = f"{CONFIDENCE * 100:.0f} %", f"{RATE * 100:.0f} %"
    return (
        f"{size} of {_count(total, 'circuit')}: with none bad among them one is {sure} sure that fewer than {fewer} "
        f"of all are. Drawn by the smallest SHA-256 of seed, newline, line; seed: {found.seed}.{foreseen}"
    )


def _population(found: Verification) -> int:
    """How many circuits could be drawn."""
    gone = {row["name"] for row in found.numbers if row["state"] in GONE}
    return len({item for pack in found.packs if pack.name not in gone for item in pack.essence.circuits})


def screen(found: Verification) -> Iterator[str]:
    """Everything for a screen: the lines, the packs that are not proved, the exceptions, and what is not proved."""
    rows = summary(found)
    width = max(len(name) for name, _ in rows)
    yield from (f"{name.ljust(width)}  {text}" for name, text in rows)
    yield from (f"{'Note'.ljust(width)}  {each}" for each in found.notes)
    if found.sample:
        yield f"{'Sample'.ljust(width)}  {sample_words(found)}"
    for pack in found.unproved:
        yield f"\n{pack.name} ({pack.where}): {str(pack.evidence).upper()}"
    if found.faults:
        yield "\nFound:"
        yield from (f"  {kind.upper()} · {where}: {what}" for kind, where, what in exception_rows(found))
    yield "\nThis does not prove:"
    yield from (f"  - {each}" for each in (NOT_PROVED if found.full else (QUICK, *NOT_PROVED)))
    yield ""
