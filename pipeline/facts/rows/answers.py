"""What people answer to the questions that a check leaves open: accepted, or to be made anew."""

from datetime import date
from typing import Annotated

from pipeline.facts.choices import Role
from pipeline.facts.field import Field
from pipeline.facts.row import Row


class Answer(Row):
    """The answer to one question; the check fills in job, question and key, a person the rest."""

    job: Annotated[
        str | None, Field("Job", note="Filled in by the check.", refers="Jobs", key=True, example="EXAMPLE-1")
    ] = None
    what: Annotated[
        str | None,
        Field("Question", note="Filled in by the check.", example="Readings MAIN 1: Zs lies close to its limit."),
    ] = None
    question_key: Annotated[
        str | None,
        Field(
            "Key",
            note="Filled in by the check; it ties the answer to these very figures. Leave it as it is.",
            example="0123456789abcdef",
        ),
    ] = None
    person: Annotated[
        str | None,
        Field(
            "Person",
            note="Who answers for it: competent to judge the question.",
            refers="People",
            able=frozenset({Role.SUPERVISOR, Role.TESTING}),
            example="PEX",
        ),
    ] = None
    reason: Annotated[
        str | None,
        Field("Reason", note="One sentence that the client may read.", example="Measured twice, cable run checked."),
    ] = None
    day: Annotated[date | None, Field("Date", note="The day of the answer.", example="12/11/2026")] = None
