"""A time stamp on a signature (RFC 3161), from an authority that the office has chosen; none is needed."""

import asyncio
import os
from typing import TYPE_CHECKING
from urllib.error import URLError
from urllib.request import Request, urlopen

from asn1crypto import tsp
from pyhanko.sign.timestamps import TimeStamper

from pipeline.errors import CommandError, MachineError

if TYPE_CHECKING:
    from collections.abc import Mapping

URL_VARIABLE = "HANDOVER_TIME_STAMP_URL"
PATIENCE_S = 20
LARGEST_ANSWER = 1_000_000
"""Bytes; a token with all its certificates stays far below."""


class Stamper(TimeStamper):
    """Asks one authority over HTTP."""

    def __init__(self, url: str) -> None:
        """Ask at this address, a nonce with each question."""
        super().__init__()  # type: ignore[no-untyped-call]
        self.url = url

    async def async_request_tsa_response(self, req: tsp.TimeStampReq) -> tsp.TimeStampResp:
        """One question and its answer; raises MachineError when there is none."""
        return await asyncio.to_thread(self._ask, req)

    def _ask(self, question: tsp.TimeStampReq) -> tsp.TimeStampResp:
        """The same, waiting for it."""
        asked = Request(  # noqa: S310 - the address was checked by `stamper`
            self.url, question.dump(), {"Content-Type": "application/timestamp-query"}
        )
        try:
            with urlopen(asked, timeout=PATIENCE_S) as answer:  # noqa: S310 - as above
                answered: tsp.TimeStampResp = tsp.TimeStampResp.load(answer.read(LARGEST_ANSWER))
        except (URLError, OSError, ValueError) as trouble:
            raise MachineError(
                f"The time stamp authority {self.url} gave no time stamp ({trouble}).",
                "Nothing was signed with it. Try again later, or sign without a time stamp.",
            ) from trouble
        return answered


def stamper(url: str, environment: "Mapping[str, str]" = os.environ) -> Stamper | None:
    """The time stamp authority that was chosen by option or environment, None where none was.

    Raises CommandError for what is no address.
    """
    chosen = url or environment.get(URL_VARIABLE, "")
    if not chosen:
        return None
    if not chosen.startswith(("https://", "http://")):
        raise CommandError(f"{chosen} is no address of a time stamp authority.", "Give one that begins with https://.")
    return Stamper(chosen)
