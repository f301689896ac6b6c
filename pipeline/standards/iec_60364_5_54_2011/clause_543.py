"""Sizes of protective and bonding conductors."""

from pipeline.standards.formula import formula
from pipeline.standards.iec_60364_5_54_2011 import SOURCE


@formula(
    "{size} × {share} × {k_1} / {k_2}",
    SOURCE.at("Table 54.2"),
    result="S_p,min [mm²]",
    size="S [mm²]",
    share="share []",
    k_1="k_1 [A·√s/mm²]",
    k_2="k_2 [A·√s/mm²]",
)
def tabulated_size(size: float, share: float, k_1: float, k_2: float) -> float:
    """Protective conductor by the size of the line conductor, for another material by the ratio of k, in mm²."""
    return size * share * k_1 / k_2


@formula("{size} × {share}", SOURCE.at("Table 54.2"), result="S_p,min [mm²]", size="S [mm²]", share="share []")
def copper_size(size: float, share: float) -> float:
    """Copper protective conductor by the size of a copper line conductor, in mm²."""
    return size * share


@formula(
    "{fixed} × {k_1} / {k_2}",
    SOURCE.at("Table 54.2"),
    result="S_p,min [mm²]",
    fixed="16 mm² (for 16 mm² < S ≤ 35 mm²) [mm²]",
    k_1="k_1 [A·√s/mm²]",
    k_2="k_2 [A·√s/mm²]",
)
def flat_size(fixed: float, k_1: float, k_2: float) -> float:
    """Protective conductor where the table asks for one size over a band of line conductors, by the ratio of k."""
    return fixed * k_1 / k_2


@formula("{fixed}", SOURCE.at("Table 54.2"), result="S_p,min [mm²]", fixed="16 mm² (for 16 mm² < S ≤ 35 mm²) [mm²]")
def flat_copper_size(fixed: float) -> float:
    """Copper protective conductor where the table asks for one size over a band of line conductors, in mm²."""
    return fixed


@formula("{share} × {size}", SOURCE.at("544.1.1"), result="S_b [mm²]", share="share []", size="S_E [mm²]")
def bonding_share(share: float, size: float) -> float:
    """Main bonding conductor as a share of the earthing conductor, before its floor and ceiling, in mm²."""
    return share * size
