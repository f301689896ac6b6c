"""What was commissioned against what the model offers: links, indicator, lock, firmware."""

from collections.abc import Iterator

from pipeline.facts.choices import Connection, DataLink, Works
from pipeline.facts.field import Needed
from pipeline.facts.findings import Verdict, WhenMissing
from pipeline.facts.rows.models import Model
from pipeline.facts.rows.points import Point
from pipeline.rules.base import Area, Case, Outcome, rule
from pipeline.rules.outcomes import lacking, name_of, not_applicable, passed
from pipeline.rules.workmanship import MAKER, modelled

# words of an indicator's meaning that no point is handed over with
TROUBLE = ("fault", "error", "damage")


@rule(
    title="The data link is one the model has",
    area=Area.COMMISSIONING,
    reference=MAKER,
    needed=Needed.TEST,
    when_missing=WhenMissing.PRINT,
)
def data_links_are_ones_the_model_has(case: Case) -> Iterator[Outcome]:
    """A link that the maker does not list was mistyped, or belongs to another model."""
    for point, model in modelled(case):
        subject, places = name_of(point), point.where("data_link") + model.where("data_links")
        if point.data_link in (None, DataLink.NONE):
            yield not_applicable(subject, "No data link is used.")
        elif gap := lacking(subject, model, "data_links", aid=True):
            yield gap
        elif point.data_link in (model.data_links or ()):
            yield passed(subject, f"Data link: {point.data_link}.", places)
        else:
            yield Outcome(
                Verdict.QUERY,
                subject,
                "The model has no such data link.",
                places,
                found=point.shown("data_link"),
                expected=model.shown("data_links"),
                remedy="Compare with the maker's instructions, and mend the link or the model.",
            )


@rule(
    title="The indicator shows what the maker lists",
    area=Area.COMMISSIONING,
    reference=MAKER,
    needed=Needed.TEST,
    when_missing=WhenMissing.PRINT,
)
def indicators_show_what_the_maker_lists(case: Case) -> Iterator[Outcome]:
    """At power-up it shows a state of the maker's list, and none that means trouble."""
    for point, model in modelled(case):
        meanings = {
            (each.shows or "").strip().lower(): each.means or ""
            for each in case.job.indicators
            if each.model == model.model
        }
        if not meanings:
            yield not_applicable(name_of(point), "The maker's indicator states are not entered.")
        else:
            yield lacking(name_of(point), point, "indicator") or _indicator(point, meanings)


def _indicator(point: Point, meanings: dict[str, str]) -> Outcome:
    """The verdict on what an indicator showed."""
    means = meanings.get((point.indicator or "").strip().lower())
    troubled = means is not None and any(word in means.lower() for word in TROUBLE)
    if means is not None and not troubled:
        return passed(name_of(point), f"Indicator at power-up: {point.indicator} ({means}).", point.where("indicator"))
    return Outcome(
        Verdict.FAIL if troubled else Verdict.NOTE,
        name_of(point),
        "The indicator shows trouble." if troubled else "The indicator's state is not on the maker's list.",
        point.where("indicator"),
        found=f"{point.indicator}{f': {means}' if means else ''}",
        expected=", ".join(meanings),
        remedy="Find the fault before the point is used." if troubled else "Compare with the maker's list.",
    )


@rule(
    title="What a model has was tried",
    area=Area.COMMISSIONING,
    reference=f"{MAKER}; common practice",
    needed=Needed.TEST,
)
def parts_of_a_model_were_tried(case: Case) -> Iterator[Outcome]:
    """The lock of a socket-outlet, and the firmware where load management depends on it."""
    for point, model in modelled(case):
        told = [*_lock(point, model), *_firmware(point)]
        yield from told or [not_applicable(name_of(point), "No socket-outlet, and no load management.")]


def _lock(point: Point, model: Model) -> Iterator[Outcome]:
    """The lock that holds a plug while it is live; one that failed is told with the other functions."""
    if model.connection is not Connection.SOCKET:
        return
    if point.socket_lock in (Works.WORKS, Works.FAILED):
        yield passed(name_of(point), "The lock of the socket-outlet was tried.", point.where("socket_lock"))
    else:
        yield Outcome(
            Verdict.NOTE,
            name_of(point),
            "The lock of the socket-outlet is not recorded as tried.",
            point.where("socket_lock"),
            found=point.shown("socket_lock") or "blank",
            expected="works",
            remedy="Try it with a plug and enter the outcome.",
        )


def _firmware(point: Point) -> Iterator[Outcome]:
    """The version by which a scheme was tried."""
    if point.scheme is None:
        return
    if point.firmware is not None:
        yield passed(name_of(point), f"Firmware {point.firmware}.", point.where("firmware"))
    else:
        yield Outcome(
            Verdict.NOTE,
            name_of(point),
            "The firmware with which load management was tried is not recorded.",
            point.where("firmware"),
            found="blank",
            expected="the version that the point shows",
            remedy="Read the version in the point's settings and enter it.",
        )
