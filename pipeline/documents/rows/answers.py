"""The queries that a person has accepted: what was asked, who answers for it, why and when."""

from pipeline.documents.texts import Json, Texts, day, plain
from pipeline.facts.field import Field

_ANSWER = {
    "question": Field("Query"),
    "who": Field("Accepted by"),
    "role": Field("Role"),
    "reason": Field("Reason"),
    "day": Field("Date"),
}
FIELDS = {"answers": _ANSWER}


def answer_lists(record: Json) -> dict[str, tuple[Texts, ...]]:
    """The answers used, in the order in which they were given; a revision asked for is on the certificate's head."""
    return {"answers": tuple(_answer(each) for each in record.get("answers", ()))}


def accepted(record: Json) -> frozenset[tuple[str, str, str]]:
    """Rule, subject and message of each query that was accepted."""
    return frozenset((each["rule"], each["subject"], each["message"]) for each in record.get("answers", ()))


def _answer(answer: Json) -> Texts:
    """One accepted query."""
    return {
        "question": plain(f"{answer['subject']}: {answer['message']}"),
        "who": plain(answer["name"] or answer["person"]),
        "role": plain(answer["role"]),
        "reason": plain(answer["reason"]),
        "day": day(answer["day"]),
    }
