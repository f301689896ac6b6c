"""Packs made on other machines: a Dask cluster takes shares of orders as bytes and gives packs as bytes.

Numbers, register and archive stay with the one writer. Only machines with the very tools of this one are asked, since
another LibreOffice or font makes other pages; a machine that is lost loses nothing, its share goes to another.
"""

import logging
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from pipeline.errors import MachineError
from pipeline.orders import Made, Order
from pipeline.progress import Tell
from pipeline.stages.workers import shares
from pipeline.tools.toolset import toolset, unlike

if TYPE_CHECKING:
    from distributed import Client

# seconds: for the first answer, and between two looks at who is still there
ANSWER_S, LOOK_S = 10, 5
# so many looks without any fitting machine, and the run ends; what it has not made is made by the next one
PATIENCE = 12
WAY_ON = "Look after the cluster and run the same command again, or leave --cluster away; the numbers are kept."


def make_on_cluster(orders: Sequence[Order], address: str, tell: Tell) -> Iterator[Made]:
    """Make orders on the cluster whose scheduler is at an address such as `tcp://host:8786`.

    Raises MachineError when there is no answer, or no machine with the same tools.
    """
    try:
        from distributed import Client  # noqa: PLC0415 - an extra, and heavy
    except ImportError:
        raise MachineError(
            "The library for clusters is not installed.", "Install it: pip install 'charge-point-handover[cluster]'"
        ) from None
    logging.getLogger("distributed").setLevel(logging.CRITICAL)  # what a person needs to know is said by us
    try:
        client = Client(address, timeout=ANSWER_S)
    except (OSError, ValueError):
        raise MachineError(f"No cluster answers at {address}.", WAY_ON) from None
    with client:
        yield from _Run(client, tell).made(orders)


def made_of(orders: Sequence[Order], tools: dict[str, str]) -> list[Made]:
    """What a machine of the cluster does with a share; raises MachineError where its tools are not those given."""
    from pipeline.stages.make import make  # noqa: PLC0415 - heavy, only where documents are made
    from pipeline.tools.libreoffice import Office  # noqa: PLC0415

    if differing := unlike(tools, toolset()):
        raise MachineError(f"The machine has other tools: {', '.join(differing)}.", "Bring them to the same versions.")
    with Office(workers=1) as office:
        return list(make(orders, office))


class _Run:
    """One run on a cluster: who fits, and which share is where."""

    def __init__(self, client: "Client", tell: Tell) -> None:
        """Nobody was asked yet."""
        self._client, self._tell = client, tell
        self._refused: set[str] = set()
        self._shares: dict[Any, Sequence[Order]] = {}

    def made(self, orders: Sequence[Order]) -> Iterator[Made]:
        """Each pack as its share comes home."""
        fitting = self._fitting()
        if not fitting:
            raise MachineError(
                f"No machine of the cluster has the tools of this one{self._why()}.",
                "Set the machines up with the same release and the same LibreOffice and fonts.",
            )
        self._tell(f"making {len(orders)} packs on {len(fitting)} processes of the cluster")
        for share in shares(orders, len(fitting)):
            self._send(share, fitting)
        looks = 0
        while self._shares:
            if done := self._done():
                looks = 0
                for future in done:
                    yield from self._home(future)
            elif self._still_there():
                looks = 0
            else:
                looks += 1
                self._again(looks)

    def _fitting(self) -> list[str]:
        """The processes of the cluster whose tools are the same; the others are named once."""
        ours, fitting = toolset(), []
        for worker, theirs in self._client.run(_tools_here, on_error="return").items():
            differing = unlike(ours, theirs) if isinstance(theirs, dict) else ["no tools at all"]
            if not differing:
                fitting.append(worker)
            elif worker not in self._refused:
                self._refused.add(worker)
                self._tell(f"not asked: {worker} differs in {', '.join(differing)}")
        return fitting

    def _why(self) -> str:
        """Who was refused, for a message."""
        return f"; asked: {', '.join(sorted(self._refused))}" if self._refused else ""

    def _send(self, share: Sequence[Order], fitting: list[str]) -> None:
        """Give a share to one of the fitting processes."""
        future = self._client.submit(made_of, share, toolset(), workers=fitting, pure=False)
        self._shares[future] = share

    def _done(self) -> list[Any]:
        """The shares that came to an end, after a moment's waiting at most."""
        from distributed import wait  # noqa: PLC0415

        try:
            return list(wait(list(self._shares), timeout=LOOK_S, return_when="FIRST_COMPLETED").done)
        except TimeoutError:
            return []

    def _home(self, future: Any) -> Iterator[Made]:
        """The packs of a share that came to an end; one over which machines died is tried order by order."""
        share = self._shares.pop(future)
        trouble = future.exception()
        if trouble is None:
            yield from future.result()
        elif type(trouble).__name__ != "KilledWorker":
            raise trouble
        elif len(share) == 1:
            yield Made(
                share[0].envelope,
                trouble="The machines of the cluster that made this pack died of it.",
                remedy="Build again without --cluster.",
            )
        else:
            fitting = self._fitting()
            for order in share:
                self._send([order], fitting)

    def _still_there(self) -> bool:
        """Whether somebody works on what is under way."""
        return any(self._client.processing().values())

    def _again(self, looks: int) -> None:
        """Give what nobody works on to whoever is there now; raises MachineError after some patience."""
        if looks > PATIENCE:
            raise MachineError("All machines of the cluster are gone.", WAY_ON)
        if fitting := self._fitting():
            lost, self._shares = self._shares, {}
            self._client.cancel(list(lost))
            for share in lost.values():
                self._send(share, fitting)


def _tools_here() -> dict[str, str]:
    """The tools of a machine of the cluster."""
    return toolset()
