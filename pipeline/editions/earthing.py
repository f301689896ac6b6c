"""Roles about earthing and bonding: sizes of conductors, k factors."""

from dataclasses import dataclass
from typing import Any

from pipeline.editions.book import Book
from pipeline.editions.runs import CableRun
from pipeline.facts.choices import EarthingSystem
from pipeline.facts.quantities import magnitude, quantity
from pipeline.standards.bs_7430_2011 import clause_9_5
from pipeline.standards.iec_60364_5_54_2011 import clause_543
from pipeline.standards.table import Missing, Value, derived, together

LARGEST_FOR_K = 300


@dataclass(frozen=True)
class Earthing:
    """What an edition says about protective, earthing and bonding conductors."""

    book: Book

    def line_factor(self, run: CableRun) -> Value | Missing:
        """k_1 of the live conductors."""
        k = self._k("core of a cable", run)
        return k if isinstance(k, Missing) else self.book.placed("k_live", k)

    def protective_factor(self, run: CableRun) -> Value | Missing:
        """k_2 of the protective conductor."""
        return self._k(self.book.content["conductors"][run.cpc], run)

    def protective_size(self, run: CableRun) -> Value | Missing:
        """Smallest protective conductor by the size of the line conductors, no calculation needed."""
        parts = together(self._share(run.live_size), self.line_factor(run), self.protective_factor(run))
        if isinstance(parts, Missing):
            return parts
        (share, k_1, k_2), flat = parts, self._flat(run.live_size)
        if flat is not None:
            worked = clause_543.flat_size(fixed=flat, k_1=k_1.quantity, k_2=k_2.quantity)
        else:
            worked = clause_543.tabulated_size(
                size=run.live_size, share=share.quantity, k_1=k_1.quantity, k_2=k_2.quantity
            )
        return derived(worked, share, k_1, k_2)

    def rod(self, rho: Any, length: Any, diameter: Any) -> Value:
        """Resistance to earth of one rod in uniform soil, estimated."""
        worked = clause_9_5.rod_resistance(rho=rho, length=length, diameter=diameter)
        return self.book.placed("rod", derived(worked))

    def by_calculation(self, area: Value) -> Value:
        """The smallest size of a protective conductor by calculation, under the clause that allows it."""
        return self.book.placed("protective_size", area)

    def separate_size(self, *, protected: bool) -> Value:
        """Smallest protective conductor outside a cable, mechanically protected or not."""
        return self.book.figure("separate_protected" if protected else "separate_unprotected")

    def earthing_size(self, line_size: Any) -> Value | Missing:
        """Smallest copper earthing conductor by the size of the tails."""
        share = self._share(line_size)
        if isinstance(share, Missing):
            return share
        flat = self._flat(line_size)
        if flat is not None:
            return derived(clause_543.flat_copper_size(fixed=flat), share)
        return derived(clause_543.copper_size(size=line_size, share=share.quantity), share)

    def buried_size(self, *, sheathed: bool) -> Value | Missing:
        """Smallest copper earthing conductor in the ground, protected against corrosion by a sheath or bare."""
        return self.book.table("buried_earth").cell("against corrosion only" if sheathed else "none", "copper")

    def bonding_size(self, system: EarthingSystem, neutral: Any | None, earthing: Any | None) -> Value | Missing:
        """Smallest copper main bonding: by the supply's neutral where that is a PEN, else by the earthing conductor."""
        if system is EarthingSystem.TN_C_S and "bonding_pme" in self.book.content["tables"]:
            if neutral is None:
                return self.book.missing("The size of the supply's neutral is blank.", "544.1.1")
            return self.book.table("bonding_pme").next_row(magnitude(neutral, "mm²"), "copper")
        if earthing is None:
            return self.book.missing("The size of the earthing conductor is blank.", "544.1.1")
        share = self.book.figure("bonding_share")
        size = derived(clause_543.bonding_share(share=share.quantity, size=earthing), share)
        least, most = self.book.figure("bonding_least"), self.book.figure("bonding_most")
        return least if size.quantity < least.quantity else most if size.quantity > most.quantity else size

    def _share(self, size: Any) -> Value | Missing:
        """Share of the line conductor, or of the fixed size, that the table asks for at this size."""
        return self.book.table("cpc").next_row(magnitude(size, "mm²"), "share of S")

    def _flat(self, size: Any) -> Any | None:
        """The one size that the table asks for in its middle band, whatever the line conductor's; else None."""
        fixed = self.book.table("cpc").next_row(magnitude(size, "mm²"), "S counted as")
        return quantity(fixed.quantity.magnitude, "mm²") if isinstance(fixed, Value) else None

    def _k(self, row: str, run: CableRun) -> Value | Missing:
        """The k factor by what a conductor is and the temperature of the insulation it lies in or touches."""
        if magnitude(run.live_size, "mm²") > LARGEST_FOR_K:
            return self.book.missing("The k factors here hold up to 300 mm².")
        return self.book.table("k").cell(row, self.book.content["temperatures"][run.insulation])
