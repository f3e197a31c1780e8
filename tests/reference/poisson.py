"""Compound demand by the plain Poisson law, and units short read off a list: what the product's own laws are held to."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp

from honeyhold.stock.demand import Sizes, panjer
from honeyhold.stock.errors import UnreadableField

POISSON_MEAN_MAX = 600.0  # exp(-600) is still a float; more callers than that are split in two and added


def compound_poisson(callers: float, sizes: Sizes, units_max: int) -> list[float]:
    """Chance of 0, 1, ... units_max units when `callers` is the mean of a Poisson number of callers.

    Raises UnreadableField if callers is negative or above 600 (then split the time).
    """
    if not 0 <= callers <= POISSON_MEAN_MAX:
        raise UnreadableField("callers", callers, f"a mean from 0 to {POISSON_MEAN_MAX:g}")
    return panjer(exp(-callers), 0.0, callers, sizes, units_max)


def expected_short(chance: Sequence[float], units: int) -> float:
    """E[(D - units)+] = E[D] - units + E[(units - D)+], so the far tail need not be in the list, only the
    mean.

    Here from the list alone: the list must reach far enough to hold the tail.
    """
    return sum((k - units) * p for k, p in enumerate(chance) if k > units)
