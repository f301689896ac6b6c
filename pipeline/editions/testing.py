"""Roles about tests: insulation resistance, supply voltage, control pilot and proximity."""

from dataclasses import dataclass
from typing import Any

from pipeline.editions.book import Book
from pipeline.facts.quantities import magnitude
from pipeline.standards.iec_61851_1_2017 import annex_a as pilot
from pipeline.standards.table import Missing, Value, derived

CIRCUIT = "up to 500 V"


@dataclass(frozen=True)
class Testing:
    """What an edition says about readings."""

    book: Book

    def insulation_resistance(self) -> Value | Missing:
        """Least insulation resistance of a circuit up to 500 V."""
        return self.book.table("insulation").cell(CIRCUIT, "resistance")

    def insulation_voltage(self) -> Value | Missing:
        """Test voltage for the insulation of a circuit up to 500 V."""
        return self.book.table("insulation_voltage").cell(CIRCUIT, "voltage")

    def voltage_band(self) -> tuple[Value, Value]:
        """Lowest and highest voltage of a public supply, line to neutral."""
        return self.book.figure("voltage_lowest"), self.book.figure("voltage_highest")

    def pilot_current(self, duty: Any) -> Value | Missing:
        """Current that a duty cycle of the control pilot allows; Missing where it stands for none."""
        per_cent = magnitude(duty, "%")
        if 8 <= per_cent < 10:
            return self.book.figure("pilot_least_current")
        if 96 < per_cent <= 97:
            return self.book.figure("pilot_most_current")
        if 10 <= per_cent <= 96:
            relation = pilot.current_of_low_duty if per_cent <= 85 else pilot.current_of_high_duty
            return derived(relation(duty=duty))
        return Missing(f"A duty cycle of {per_cent:g} % stands for {pilot.meaning_of_duty(per_cent)}.", pilot.ANNEX)

    def proximity_current(self, resistor: Any) -> Value | Missing:
        """Current of a cable assembly by its resistor; Missing outside the bands."""
        if resistor < self.book.figure("proximity_least").quantity:
            return Missing("A resistor below 75 Ω is an error.", self.book.figure("proximity_least").reference)
        return self.book.table("proximity").next_row(magnitude(resistor, "Ω"), "current")


@dataclass(frozen=True)
class Charging:
    """What an edition says about charge points."""

    book: Book

    def point_rcd(self) -> Value:
        """Largest rated residual current of a point's own RCD."""
        return self.book.figure("point_rcd")

    def least_current(self) -> Value:
        """The lowest current that a control pilot can ask a vehicle to keep to."""
        return self.book.figure("pilot_least_current")

    def dc_detection(self) -> Value:
        """Smooth d.c. residual current that must be detected where the RCD is of type A or F."""
        return self.book.figure("dc_detection")

    def open_pen_voltages(self) -> tuple[Value, Value]:
        """Supply voltages below and above which an open-PEN device disconnects."""
        return self.book.figure("open_pen_lowest"), self.book.figure("open_pen_highest")

    def open_pen_touch_voltage(self) -> Value:
        """Voltage from protective conductor to earth at which an open-PEN device disconnects."""
        return self.book.figure("open_pen_touch_voltage")

    def open_pen_time(self) -> Value:
        """Time within which an open-PEN device disconnects."""
        return self.book.figure("open_pen_time")
