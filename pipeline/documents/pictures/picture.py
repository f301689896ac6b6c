"""A finished picture, ready to be placed into a document."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Picture:
    """The bytes of a picture, its size on paper, and the same facts in words for those who cannot see it."""

    data: bytes
    width_mm: float
    height_mm: float
    alt: str
    suffix: str = "emf"
