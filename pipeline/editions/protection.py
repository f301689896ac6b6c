"""Roles about protection: disconnecting currents and times, loop limits, residual current devices."""

from dataclasses import dataclass, replace
from typing import Any

from pipeline.editions.book import Book
from pipeline.editions.runs import Device
from pipeline.facts.choices import CircuitKind, DeviceStandard, EarthingSystem, RcdDelay, RcdStandard
from pipeline.facts.quantities import magnitude, quantity
from pipeline.standards.iec_60364_4_41_2005 import clause_411
from pipeline.standards.iec_60898_1_2015.tripping import instantaneous_current
from pipeline.standards.table import Missing, Table, Value, derived

BREAKERS = (DeviceStandard.MCB, DeviceStandard.RCBO)
TABULATED_VOLTAGE = quantity(230, "V")


@dataclass(frozen=True)
class Protection:
    """What an edition says about protection by automatic disconnection."""

    book: Book

    def disconnecting_current(self, device: Device, time: Any) -> Value | Missing:
        """I_a: the current at which a device surely disconnects within that time."""
        if device.standard in BREAKERS:
            multiple = self.book.table("instantaneous").cell(str(device.type), "trips")
            if isinstance(multiple, Missing):
                return multiple
            worked = instantaneous_current(multiple=multiple.quantity, i_n=device.rating)
            return derived(worked, multiple)
        limit = self._tabulated_limit(device, time)
        if isinstance(limit, Missing):
            return limit
        c_min = self.book.figure("c_min")
        worked = clause_411.disconnecting_current(c_min=c_min.quantity, u_0=TABULATED_VOLTAGE, z=limit.quantity)
        # the current is the one behind the printed loop impedance, so that it is found where that is
        return replace(derived(worked, c_min, limit), reference=limit.reference)

    def loop_limit(self, device: Device, time: Any, u_0: Any) -> Value | Missing:
        """Largest loop impedance with which a device disconnects within that time.

        For a circuit-breaker from the relation itself, unrounded, at any time: it trips instantaneously.
        """
        if device.standard not in BREAKERS and u_0 == TABULATED_VOLTAGE:
            return self._tabulated_limit(device, time)
        current = self.disconnecting_current(device, time)
        if isinstance(current, Missing):
            return current
        c_min = self.book.figure("c_min")
        worked = clause_411.largest_loop_impedance(c_min=c_min.quantity, u_0=u_0, i_a=current.quantity)
        return self.book.placed("loop_limit", derived(worked, c_min, current))

    def voltage_factor(self) -> Value:
        """C_min: the lowest voltage of the supply as a share of its nominal one."""
        return self.book.figure("c_min")

    def loop_share(self) -> Value:
        """Share of the loop limit up to which a reading on a cold circuit passes at once."""
        return self.book.figure("loop_share")

    def final_circuit_rating(self, *, socket_outlet: bool) -> Value:
        """Device rating up to which the short times for final circuits hold."""
        return self.book.figure("final_socket_rating" if socket_outlet else "final_fixed_rating")

    def disconnection_time(
        self, system: EarthingSystem, kind: CircuitKind, rating: Any, u_0: Any, *, socket_outlet: bool = False
    ) -> Value | Missing:
        """Longest time to disconnect: Table 41.1 for final circuits up to a rating, else 5 s (TN) or 1 s (TT)."""
        tt = system is EarthingSystem.TT
        short = kind is CircuitKind.FINAL and rating <= self.final_circuit_rating(socket_outlet=socket_outlet).quantity
        if not short:
            return self.book.figure("distribution_time_tt" if tt else "distribution_time_tn")
        return self.book.table("disconnection").next_row(magnitude(u_0, "V"), "TT" if tt else "TN")

    def touch_voltage(self) -> Value:
        """Conventional limit of the touch voltage, U_L."""
        return self.book.figure("touch_voltage")

    def largest_electrode_resistance(self, i_dn: Any) -> Value:
        """U_L / I_Δn: what R_A, or a loop that ends at an electrode, may reach behind an RCD."""
        limit = self.touch_voltage()
        worked = clause_411.largest_electrode_resistance(u_l=limit.quantity, i_dn=i_dn)
        return self.book.placed("electrode", derived(worked, limit))

    def stable_electrode(self) -> Value:
        """Resistance to earth above which an electrode may not stay as it is."""
        return self.book.figure("electrode_stable")

    def residual_disconnecting_current(self, i_dn: Any) -> Value:
        """Residual current (5 I_Δn) at which the tabulated disconnection times hold."""
        multiple = self.book.figure("rcd_multiple")
        worked = clause_411.residual_disconnecting_current(multiple=multiple.quantity, i_dn=i_dn)
        return self.book.placed("residual_current", derived(worked, multiple))

    def rcd_time(self, delay: RcdDelay, multiple: int, standard: RcdStandard | None = None) -> Value | Missing:
        """Longest break time at 1, 2 or 5 times I_Δn, by the standard of the device."""
        return self._rcd_times(standard).cell(str(delay), float(multiple))

    def rcd_least_time(self, multiple: int, standard: RcdStandard | None = None) -> Value | Missing:
        """Time for which an RCD of type S holds at 1, 2 or 5 times I_Δn."""
        return self._rcd_times(standard).cell("S least", float(multiple))

    def _rcd_times(self, standard: RcdStandard | None) -> Table:
        """The table of break times: one for devices with overcurrent protection, one for the others."""
        return self.book.table("rcbo_times" if standard is RcdStandard.RCBO else "rcd_times")

    def selectivity_ratio(self) -> Value:
        """Ratio of the ratings of two fuses in series at which only the smaller one melts."""
        return self.book.figure("selectivity_ratio")

    def instantaneous_time(self) -> Value:
        """Time within which a circuit-breaker that trips instantaneously has cleared, for the adiabatic bound."""
        return self.book.figure("instantaneous")

    def let_through(self, device: Device, fault_current: Any) -> Value | Missing:
        """Largest I²t of a circuit-breaker of energy limiting class 3 at a fault current, by type and rated current.

        UK and EU devices are of class 3 as a rule (common practice); the figure is that of the next fault current.
        """
        table = self.book.table("let_through")
        rating = magnitude(device.rating, "A")
        sizes = sorted(float(row.split()[1]) for row in map(str, table.rows) if row.split()[0] == device.type)
        size = next((each for each in sizes if rating <= each), None)
        if device.standard not in BREAKERS or size is None:
            return Missing(
                f"No let-through energy is known here for a {device.standard} type {device.type}, {rating:g} A.",
                table.reference,
            )
        return table.next_column(f"{device.type} {size:g}", magnitude(fault_current, "kA"))

    def clearing_points(self, device: Device) -> tuple[tuple[Value, Value], ...] | Missing:
        """Currents at which a device surely disconnects, each with its time, the shortest time first.

        Of a circuit-breaker the instantaneous one, of a fuse those that its loop impedances are tabulated for. From
        such a point on a fuse's let-through energy falls as the current grows.
        """
        times = [self.instantaneous_time()]
        if device.standard not in BREAKERS:
            shortest = self.disconnection_time(
                EarthingSystem.TN_S,
                CircuitKind.FINAL,
                self.final_circuit_rating(socket_outlet=False).quantity,
                TABULATED_VOLTAGE,
            )
            times = [each for each in (shortest, self.book.figure("distribution_time_tn")) if isinstance(each, Value)]
        currents = [(self.disconnecting_current(device, each.quantity), each) for each in times]
        found = tuple((current, time) for current, time in currents if isinstance(current, Value))
        missing = [current for current, _ in currents if isinstance(current, Missing)]
        return found or missing[-1]

    def conditional_rating(self) -> tuple[Value, Value]:
        """Fault current that domestic assemblies are built for, and the largest device upstream with which it holds."""
        return self.book.figure("conditional_rating"), self.book.figure("conditional_device")

    def _tabulated_limit(self, device: Device, time: Any) -> Value | Missing:
        """Loop limit of a fuse at 230 V for 0.4 s or 5 s."""
        column = self.book.content["fuses"].get(device.standard)
        role = f"fuse_{magnitude(time, 's'):g}"
        if column is None or role not in self.book.content["tables"]:
            return self.book.missing(
                f"This edition tabulates no loop impedance for {device.standard} at {magnitude(time, 's'):g} s: "
                "take the disconnecting current from the maker's curve."
            )
        return self.book.table(role).cell(magnitude(device.rating, "A"), column)
