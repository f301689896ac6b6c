"""Roles about voltage drop: by tabulated drop per ampere and metre, or by resistivity."""

from dataclasses import dataclass
from math import sqrt
from typing import Any

from pipeline.editions.book import Book
from pipeline.editions.cables import Cables
from pipeline.editions.runs import CableRun
from pipeline.facts.quantities import magnitude, quantity
from pipeline.standards.bs_7671_2018_a2 import appendix_4
from pipeline.standards.formula import Worked
from pipeline.standards.iec_60364_5_52_2009 import annex_g
from pipeline.standards.table import Missing, Value, derived

# a figure with the published ones that it comes from, by their symbols
Figured = tuple[Value, tuple[tuple[str, Value], ...]]


@dataclass(frozen=True, slots=True)
class Load:
    """A current through a run: `phases` of the load, which may be fewer than those of the cable."""

    run: CableRun
    current: Any
    phases: int


@dataclass(frozen=True, slots=True)
class Drop:
    """The drop of one run in volts, the voltage it is taken from, its share in per cent, and the figures behind it.

    `figures` are the published ones by their symbols.
    """

    volts: Value
    voltage: Any
    share: Value
    figures: tuple[tuple[str, Value], ...]


@dataclass(frozen=True)
class Drops:
    """What an edition says about voltage drop."""

    book: Book

    def drop(self, load: Load, u_0: Any) -> Drop | Missing:
        """The drop of one run; shares of runs in series are added up, since volts of different systems are not."""
        by_table = self.book.content["drop_by"] == "per metre"
        found = self._per_metre(load) if by_table else self._by_resistivity(load)
        if isinstance(found, Missing):
            return found
        volts, figures = found
        voltage = appendix_4.line_voltage(u_0=u_0).quantity if by_table and load.phases == 3 else u_0
        share = annex_g.voltage_drop_share(drop=volts.quantity, voltage=voltage)
        return Drop(volts, voltage, derived(share, volts), figures)

    def limit(self, length: Any) -> Value:
        """Largest share from the origin to the point of use, by the whole length of the route."""
        usual, free = self.book.figure("drop_limit"), self.book.figure("drop_free_length")
        per_metre, cap = self.book.figure("drop_per_metre"), self.book.figure("drop_extra_cap")
        if magnitude(length, "m") <= magnitude(free.quantity, "m"):
            return usual
        worked = annex_g.long_run_limit(
            limit=usual.quantity, per_metre=per_metre.quantity, length=length, free=free.quantity
        )
        if worked.quantity > usual.quantity + cap.quantity:
            return Value(usual.quantity + cap.quantity, usual.confidence, cap.reference, usual.unit)
        return derived(worked, usual, per_metre, free)

    def greatest(self) -> Value:
        """The share past which no supply of any kind may drop."""
        return self.book.figure("drop_limit_private")

    def _per_metre(self, load: Load) -> Figured | Missing:
        """Tabulated drop per ampere and metre at the temperature of the insulation, else of the terminals."""
        run = load.run
        tables = self.book.content["drop"][run.cable]
        name = tables.get(f"{self.book.content['temperatures'][run.insulation]:g}")
        name = name or tables.get(Cables(self.book).operating_temperature(run))
        if name is None:
            return self.book.missing(f"This edition tabulates no voltage drop for a cable '{run.cable}' so warm.")
        found = self.book.open(name).cell(magnitude(run.live_size, "mm²"), 3.0 if load.phases == 3 else 2.0)
        if isinstance(found, Missing):
            return found
        worked = appendix_4.voltage_drop(per_metre=found.quantity, current=load.current, length=run.length)
        return derived(worked, found), (("u_t", found),)

    def _by_resistivity(self, load: Load) -> Figured:
        """Drop by the resistivity of the hot conductor; of a three-phase load that of one line conductor."""
        rho, reactance = self.book.figure("drop_resistivity"), self.book.figure("drop_reactance")
        cosine = self.book.figure("power_factor")
        impedance = annex_g.effective_impedance(
            rho=rho.quantity,
            area=load.run.live_size,
            cosine=cosine.quantity,
            reactance=reactance.quantity,
            sine=quantity(sqrt(1 - cosine.quantity.magnitude**2), ""),
        )
        worked: Worked = annex_g.voltage_drop(
            b=quantity(1 if load.phases == 3 else 2, ""),
            z=impedance.quantity,
            length=load.run.length,
            current=load.current,
        )
        return derived(worked, rho, reactance), (("ρ_1", rho), ("λ", reactance), ("cos φ", cosine))
