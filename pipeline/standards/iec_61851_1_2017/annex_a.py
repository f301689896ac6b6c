"""Current that a duty cycle of the control pilot allows."""

from pipeline.standards.formula import formula
from pipeline.standards.iec_61851_1_2017 import SOURCE

ANNEX = SOURCE.at("Annex A")


@formula("0.6 A/% × {duty}", ANNEX, result="I [A]", duty="D [%]")
def current_of_low_duty(duty: float) -> float:
    """Current from 10 % to 85 % duty cycle, in amperes."""
    return 0.6 * duty


@formula("2.5 A/% × ({duty} − 64 %)", ANNEX, result="I [A]", duty="D [%]")
def current_of_high_duty(duty: float) -> float:
    """Current above 85 % and up to 96 % duty cycle, in amperes."""
    return 2.5 * (duty - 64)


def meaning_of_duty(duty: float) -> str:
    """What a duty cycle in per cent that stands for no current means instead."""
    if duty < 3:
        return "no charging"
    if duty <= 7:
        return "digital communication only"
    if duty < 100:
        return "an error of the pilot"
    return "no charging"
