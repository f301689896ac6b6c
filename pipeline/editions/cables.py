"""Roles about cables: capacity as installed, factors, resistance of conductors."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pipeline.editions.book import Book
from pipeline.editions.runs import CableRun
from pipeline.facts.choices import DeviceStandard, Method
from pipeline.facts.choices import ProtectiveConductor as Cpc
from pipeline.facts.quantities import magnitude, quantity
from pipeline.standards.iec_60228_2004 import annex_a as conductors
from pipeline.standards.iec_60364_5_52_2009.clause_523 import effective_capacity
from pipeline.standards.iec_60364_5_54_2011 import annex_a as materials
from pipeline.standards.table import Missing, Value, derived, together

GROUND = (Method.D1, Method.D2)
KEPT = 4096
Key = TypeVar("Key")
Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class Capacity:
    """A cable's capacity as installed: I_t, the five factors, and I_z.

    `unburied` is I_z without the factor for burial, the same as `effective` where that factor is one.
    """

    tabulated: Value
    ambient: Value
    grouping: Value
    insulation: Value
    buried: Value
    soil: Value
    effective: Value
    unburied: Value


@dataclass(frozen=True)
class Cables:
    """What an edition says about cables."""

    book: Book
    capacities: dict[tuple[Any, ...], Capacity | Missing] = field(default_factory=dict, repr=False, compare=False)
    factors: dict[float, Value] = field(default_factory=dict, repr=False, compare=False)

    def capacity(self, run: CableRun) -> Capacity | Missing:
        """I_z of the worst section of a route, each factor apart; at 70 °C where the terminals bear no more."""
        return _kept(self.capacities, run.laying, lambda: self._capacity(run))

    def _capacity(self, run: CableRun) -> Capacity | Missing:
        """The same, worked out."""
        parts = together(
            self.tabulated(run),
            self.ambient(run),
            self.grouping(run),
            self.insulation(run),
            self.buried(run),
            self.soil(run),
        )
        if isinstance(parts, Missing):
            return parts
        i_t, c_a, c_g, c_i, c_c, c_s = parts
        effective = _effective(i_t, c_a, c_g, c_i, c_c, c_s)
        unburied = _effective(i_t, c_a, c_g, c_i, self.book.unity("not buried"), c_s)
        return Capacity(i_t, c_a, c_g, c_i, c_c, c_s, effective, unburied)

    def tabulated(self, run: CableRun) -> Value | Missing:
        """I_t from the table of the cable, its insulation as far as the terminals allow, its method and its size."""
        temperature = self.operating_temperature(run)
        if isinstance(temperature, Missing):
            return temperature
        if run.phases == 3 and run.cable in self.book.content["single_phase_only"]:
            return self.book.missing(f"A cable of the kind '{run.cable}' has no three line conductors.")
        column = self.book.content["methods"][run.cable].get(run.method)
        if column is None:
            return self.book.missing(f"This edition tabulates no method '{run.method}' for a cable '{run.cable}'.")
        head = f"{column} {3 if run.phases == 3 else 2}"
        tables = [self.book.open(name) for name in self.book.content["capacity"][run.cable].get(temperature, [])]
        table = next((each for each in tables if head in each.columns), None)
        if table is None:
            return self.book.missing(f"This edition tabulates no '{run.cable}' at {temperature} °C.")
        return table.cell(magnitude(run.live_size, "mm²"), head)

    def operating_temperature(self, run: CableRun) -> str | Missing:
        """The conductor temperature, `70` or `90`, to which insulation and terminals may be loaded."""
        bears = min(self.book.content["temperatures"][run.insulation], magnitude(run.terminal_rating, "°C"))
        if bears < 70:
            return self.book.missing("This edition tabulates no cable on terminals rated below 70 °C.")
        return "90" if bears >= 90 else "70"

    def ambient(self, run: CableRun) -> Value | Missing:
        """C_a for air, or for the ground where the cable lies in it; between two rows the warmer one."""
        temperature = self.operating_temperature(run)
        if isinstance(temperature, Missing):
            return temperature
        table = self.book.table("ambient_ground" if run.method in GROUND else "ambient_air")
        return table.next_row(magnitude(run.ambient, "°C"), float(temperature))

    def grouping(self, run: CableRun) -> Value | Missing:
        """C_g by the number of circuits and how they lie; between two columns the one for more circuits."""
        if run.grouping is None:
            alone = self.book.unity("a circuit alone")
            return alone if run.grouped == 1 else self.book.missing("How the circuits are grouped is blank.")
        name, row = self.book.content["grouping"][run.grouping]
        return self.book.open(name).next_column(row, run.grouped)

    def insulation(self, run: CableRun) -> Value | Missing:
        """C_i by the length within thermal insulation; methods that count insulation in need none."""
        if not run.insulation_run.magnitude:
            return self.book.unity("no thermal insulation")
        if run.method in self.book.content["insulated_methods"]:
            return self.book.unity("insulation is part of the reference method")
        if "insulation_run" not in self.book.content["tables"]:
            return self.book.missing("This edition gives no factor for a length within thermal insulation.")
        return self.book.table("insulation_run").next_row(magnitude(run.insulation_run, "mm"), "factor")

    def buried(self, run: CableRun) -> Value:
        """C_c of a cable in the ground."""
        unity = self.book.unity("no factor for burial")
        return self.book.figure_or("buried_factor", unity) if run.method in GROUND else unity

    def soil(self, run: CableRun) -> Value | Missing:
        """C_s by the thermal resistivity of the soil; between two columns the drier one, and one where none is told."""
        if run.method not in GROUND or run.soil is None:
            return self.book.unity("soil of 2.5 K·m/W, as the tables take it" if run.method in GROUND else "not buried")
        row = "ducts" if run.method is Method.D1 else "direct"
        return self.book.table("soil").next_column(row, magnitude(run.soil, "K·m/W"))

    def fuse_factor(self, standard: DeviceStandard) -> Value:
        """Share of I_z that a semi-enclosed fuse may be rated at; one for every other device."""
        unity = self.book.unity("no factor for this device")
        return self.book.figure_or("fuse_factor", unity) if standard is DeviceStandard.FUSE_3036 else unity

    def flat_protective(self, run: CableRun) -> Value | Missing | None:
        """The protective core with which a flat cable of this size is made; None where no table of them is in use."""
        if "flat_sizes" not in self.book.content["tables"]:
            return None
        return self.book.table("flat_sizes").cell(magnitude(run.live_size, "mm²"), "protective")

    def line_resistance(self, run: CableRun) -> Value | Missing:
        """Resistance per metre of a live conductor at 20 °C."""
        return self._copper(run.live_size)

    def pair_resistance(self, run: CableRun) -> Value | Missing:
        """R_1 + R_2 of a run at 20 °C, as a dead test measures it."""
        parts = together(self._copper(run.live_size), self._protective(run))
        if isinstance(parts, Missing):
            return parts
        r_1, r_2 = parts
        worked = conductors.pair_resistance(r_1=r_1.quantity, r_2=r_2.quantity, length=run.length)
        return derived(worked, r_1, r_2)

    def warm_pair_resistance(self, run: CableRun) -> Value | Missing:
        """R_1 + R_2 of a run with its conductors at the temperature of full load."""
        parts = together(self._copper(run.live_size), self._protective(run))
        if isinstance(parts, Missing):
            return parts
        (r_1, r_2), f_1 = parts, self.warm_factor(run)
        f_2 = self._steel_factor(run) if run.cpc is Cpc.ARMOUR else f_1
        return self._warm(run, (r_1, f_1), (r_2, f_2))

    def warm_live_resistance(self, run: CableRun) -> Value | Missing:
        """R_1 + R_N of a run with its conductors at the temperature of full load."""
        line = self._copper(run.live_size)
        if isinstance(line, Missing):
            return line
        return self._warm(run, (line, self.warm_factor(run)), (line, self.warm_factor(run)))

    def warm_factor(self, run: CableRun) -> Value:
        """Resistance of the copper at the temperature that its insulation bears, over that at 20 °C."""
        return self._factor(self.book.content["temperatures"][run.insulation])

    def factor_at(self, temperature: Any) -> Value:
        """Resistance of copper at a temperature over that at 20 °C, for readings in the cold or the warm."""
        return self._factor(magnitude(temperature, "°C"))

    def _factor(self, celsius: float) -> Value:
        """The same for a temperature in degrees."""
        return _kept(self.factors, celsius, lambda: self._resistance_factor(quantity(celsius, "°C")))

    def _resistance_factor(self, temperature: Any) -> Value:
        """The same, worked out."""
        return derived(self.book.formula("resistance_factor")(theta=temperature))

    def _warm(self, run: CableRun, line: tuple[Value, Value], back: tuple[Value, Value]) -> Value:
        """Two conductors of a run in series, each with its factor."""
        (r_1, f_1), (r_2, f_2) = line, back
        worked = conductors.warm_pair_resistance(
            r_1=r_1.quantity, f_1=f_1.quantity, r_2=r_2.quantity, f_2=f_2.quantity, length=run.length
        )
        return derived(worked, r_1, f_1, r_2, f_2)

    def _copper(self, size: Any) -> Value | Missing:
        """Resistance per metre of a copper conductor at 20 °C."""
        return self.book.table("resistance").cell(magnitude(size, "mm²"), "copper")

    def _protective(self, run: CableRun) -> Value | Missing:
        """Resistance per metre of the protective conductor at 20 °C; of core and armour the core alone counts."""
        if run.cpc is not Cpc.ARMOUR:
            return self._copper(run.cpc_size)
        rho, lay = self.book.figure("steel_resistivity"), self.book.figure("armour_lay")
        worked = materials.armour_resistance(rho=rho.quantity, lay=lay.quantity, area=run.cpc_size)
        return derived(worked, rho, lay)

    def _steel_factor(self, run: CableRun) -> Value:
        """Resistance of the armour on a loaded cable over that at 20 °C; it stays 10 K below the conductors."""
        beta = self.book.figure("steel_beta")
        theta = quantity(self.book.content["temperatures"][run.insulation] - 10, "°C")
        return derived(materials.resistance_factor(beta=beta.quantity, theta=theta), beta)


def _effective(tabulated: Value, *factors: Value) -> Value:
    """I_z from I_t and its five factors."""
    c_a, c_g, c_i, c_c, c_s = factors
    worked = effective_capacity(
        i_t=tabulated.quantity,
        c_a=c_a.quantity,
        c_g=c_g.quantity,
        c_i=c_i.quantity,
        c_c=c_c.quantity,
        c_s=c_s.quantity,
    )
    return derived(worked, tabulated, *factors)


def _kept(kept: dict[Key, Found], key: Key, work: Callable[[], Found]) -> Found:
    """What `work` yields, worked out once for many circuits alike; emptied before it grows large."""
    if key not in kept:
        if len(kept) >= KEPT:
            kept.clear()
        kept[key] = work()
    return kept[key]
