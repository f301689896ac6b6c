"""What people look at on site, since machines cannot: a sample that nobody could choose, and the packs most at risk.

The draw needs no program: each circuit's line is hashed behind the seed (SHA-256 of seed, newline, line), and the
smallest hashes are taken, so that anybody can draw the same list again.
"""

import hashlib
import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime

from pipeline.audit.results import Item, Pack
from pipeline.facts.record import Json

# so many that, with none bad among them, one may be 95 % sure that fewer than 5 % are bad (hypergeometric)
RATE, CONFIDENCE = 0.05, 0.95
GONE = frozenset({"superseded", "void", "withdrawn"})
# a block of readings whose last digits show so few different ones was hardly read off an instrument (common practice)
_FEWEST_DIGITS, _LEAST_READINGS = 3, 8


def size_of(population: int, rate: float = RATE, confidence: float = CONFIDENCE) -> int:
    """How many of a population must be looked at and found good."""
    bad = math.ceil(rate * population)
    for size in range(1, population + 1):
        chance = math.comb(population - bad, size) / math.comb(population, size)
        if chance <= 1 - confidence:
            return size
    return population


def drawn(packs: Sequence[Pack], states: Mapping[str, str], seed: str) -> list[Item]:
    """The sample of circuits by a seed, in the order in which they were drawn; packs that were replaced stay out."""
    items = {item for pack in _standing(packs, states) for item in pack.essence.circuits}
    ranked = sorted(items, key=lambda each: hashlib.sha256(f"{seed}\n{each}".encode()).hexdigest())
    return ranked[: size_of(len(items))]


def _standing(packs: Sequence[Pack], states: Mapping[str, str]) -> list[Pack]:
    """Packs that count today: by the register, or else the latest revision of each number."""
    latest: dict[str, int] = {}
    for pack in packs:
        number, _, revision = pack.name.rpartition("-")
        if revision.isdecimal():
            latest[number] = max(latest.get(number, 0), int(revision))
    return [
        pack
        for pack in packs
        if states.get(pack.name, "") not in GONE
        and (pack.name in states or pack.name == f"{(n := pack.name.rpartition('-')[0])}-{latest.get(n, '')}")
    ]


def risk_picks(packs: Sequence[Pack], numbers: Sequence[Json]) -> Iterator[tuple[str, str]]:
    """Packs to look at outside the sample, each with the reason."""
    for row in numbers:
        if row["state"] in {"void", "withdrawn"}:
            yield row["name"], row["state"]
    read = sorted((pack for pack in packs if pack.essence.job), key=lambda each: each.name)
    for pack in read:
        if not pack.name.endswith("-1"):
            yield pack.name, "a revision"
        if pack.essence.queries:
            yield pack.name, f"{pack.essence.queries} queries were accepted"
    yield from _ends(read)
    yield from _each_once(read)
    yield from _pace(read)
    for pack in read:
        if told := _monotony(pack):
            yield pack.name, told


def _ends(packs: Sequence[Pack]) -> Iterator[tuple[str, str]]:
    """The oldest, the latest, and the one that waited longest between test and release."""
    if packs:
        yield packs[0].name, "the oldest"
        yield packs[-1].name, "the latest"
    waits = [(wait, pack.name) for pack in packs if (wait := _wait(pack)) is not None]
    if waits:
        longest, name = max(waits)
        yield name, f"the longest from test to issue: {longest} days"


def _wait(pack: Pack) -> int | None:
    """Days from the live tests to the issue."""
    tested = _day(pack.essence.tested)
    return (date.fromisoformat(pack.essence.released) - tested).days if tested and pack.essence.released else None


def _day(shown: str) -> date | None:
    """A day as the record shows it; None for a blank and for what somebody made of it."""
    try:
        return datetime.strptime(shown, "%d %b %Y").date()  # noqa: DTZ007 - a day has no zone
    except ValueError:
        return None


def _each_once(packs: Sequence[Pack]) -> Iterator[tuple[str, str]]:
    """Every tester and every instrument at least once."""
    seen: set[str] = set()
    for pack in packs:
        for name in (f"tester {pack.essence.tester}", *(f"instrument {each}" for each in pack.essence.instruments)):
            if name not in seen:
                seen.add(name)
                yield pack.name, f"first with {name}"


def _pace(packs: Sequence[Pack]) -> Iterator[tuple[str, str]]:
    """The day on which one person tested most circuits."""
    days: Counter[tuple[str, str]] = Counter()
    of_day: dict[tuple[str, str], list[str]] = defaultdict(list)
    for pack in packs:
        key = (pack.essence.tester, pack.essence.tested)
        days[key] += len(pack.essence.circuits)
        of_day[key].append(pack.name)
    if days:
        (tester, day), count = max(days.items(), key=lambda each: (each[1], each[0]))
        for name in of_day[tester, day]:
            yield (
                name,
                f"the fullest day: {tester} tested {count} circuit{'s' * (count != 1)} on {day or 'a day not given'}",
            )


def _monotony(pack: Pack) -> str:
    """Readings whose last digits hardly differ."""
    blocks: dict[str, list[str]] = defaultdict(list)
    for name, shown in pack.essence.digits:
        if shown[-1].isdigit():
            blocks[name].append(shown[-1])
    poor = [
        name for name, digits in blocks.items() if len(digits) >= _LEAST_READINGS and len(set(digits)) < _FEWEST_DIGITS
    ]
    return f"last digits hardly differ: {', '.join(sorted(poor))}" if poor else ""
