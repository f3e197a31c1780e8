"""Stock that is filled up in tens: what a reorder point gives, how much to make once, and slow sellers' mean.

All figures follow from the distribution of what callers take (demand.py), a list `chance` with `chance[k]`
the chance of exactly k units. Three numbers are easily taken for one another, so each has its own name: the
chance that something is on the shelf, the part of the bars handed over at once, the part of whole orders
handed over at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

from honeyhold.stock.demand import Sizes, at_most, mean_size
from honeyhold.stock.errors import UnreadableField


def expected_served(chance: Sequence[float], units: int) -> float:
    """E[min(D, units)] = sum over k < units of P(D > k): exact whatever the length of the tail."""
    total, served = 0.0, 0.0
    for k in range(units):
        total += chance[k] if k < len(chance) else 0.0
        served += max(0.0, 1.0 - total)
    return served


def expected_missing(chance: Sequence[float], mean: float, units: int) -> float:
    """E[(D - units)+] = E[D] - E[min(D, units)]: units asked for beyond `units`."""
    return max(0.0, mean - expected_served(chance, units))


@dataclass(frozen=True)
class ReorderFigures:
    """What a reorder point gives in the long run. Chances and parts from 0 to 1, the rest in units."""

    chance_on_shelf: float
    part_of_units_at_once: float
    part_of_orders_at_once: float
    waiting_units: float
    on_hand_units: float


def reorder_figures(
    chance: Sequence[float], mean: float, sizes: Sizes, reorder_units: int, pour_units: int
) -> ReorderFigures:
    """The (s, nQ) rule: whenever units on the shelf and being made fall to s or below, start pours of Q until
    above it.

    `chance` and `mean` are of the units wanted while a pour is made, `sizes` of one order. The position after
    ordering is then uniform on s + g, s + 2g, ... s + Q, with g the common step of Q and the order sizes
    (Zheng and Chen, "Inventory policies with quantized ordering", Naval Research Logistics 39, 1992).
    Raises UnreadableField for a pour below one unit.
    """
    if pour_units < 1:
        raise UnreadableField("pour_units", pour_units, "a whole number of 1 or more")
    step = gcd(pour_units, *sizes)
    positions = range(reorder_units + step, reorder_units + pour_units + 1, step)
    on_shelf = units_now = orders_now = waiting = 0.0
    for position in positions:
        on_shelf += at_most(chance, position - 1)
        waiting += expected_missing(chance, mean, max(0, position)) + max(0, -position)
        for size, part in sizes.items():
            orders_now += part * at_most(chance, position - size)
            # an order of `size` gets min(size, (position - D)+): one unit for every j with D <= position - j
            units_now += part * sum(at_most(chance, position - j) for j in range(1, size + 1))
    count = len(positions)
    mean_position = sum(positions) / count
    return ReorderFigures(
        chance_on_shelf=on_shelf / count,
        part_of_units_at_once=units_now / count / mean_size(sizes),
        part_of_orders_at_once=orders_now / count,
        waiting_units=waiting / count,
        on_hand_units=mean_position - mean + waiting / count,
    )


def once_cost(chance: Sequence[float], mean: float, units: int, short_cost: float, left_cost: float) -> float:
    """The expected cost of making `units` once: `short_cost` for each missing, `left_cost` for each left
    over.
    """
    missing = expected_missing(chance, mean, units)
    return short_cost * missing + left_cost * (units - mean + missing)


def make_once(
    chance: Sequence[float], mean: float, short_cost: float, left_cost: float, step_units: int = 1
) -> int:
    """How many to make once, in whole steps, at the least expected cost (the newsvendor's question).

    In tens neither rounding up nor down is right by itself: the costs of the neighbours are compared.
    Raises UnreadableField for costs that are not above zero.
    """
    if not (short_cost > 0 and left_cost > 0 and step_units >= 1):
        raise UnreadableField(
            "costs", (short_cost, left_cost, step_units), "costs above 0, steps of 1 or more"
        )
    ratio, total, units = short_cost / (short_cost + left_cost), 0.0, 0
    for units, p in enumerate(chance):  # noqa: B007 - the place where the ratio is reached is the answer
        total += p
        if total >= ratio:
            break
    below = units // step_units * step_units
    choices = [below, below + step_units] if units % step_units else [below]
    return min(choices, key=lambda n: (once_cost(chance, mean, n, short_cost, left_cost), n))


@dataclass(frozen=True)
class SlowRate:
    """Croston's figures: mean sale, mean gap in periods, units a period, and the same freed of its bias
    (SBA).
    """

    size_units: float
    gap_periods: float
    units_per_period: float
    units_per_period_corrected: float


def croston(sold: Sequence[int], weight: float = 0.1) -> SlowRate:
    """The mean of a good that sells now and then, smoothed at each sale (J. D. Croston, Op. Res. Quarterly
    23, 1972).

    `sold` holds units by period, oldest first; the first gap counts from the start. The corrected figure is x
    (1 - weight / 2) (Syntetos and Boylan, 2005). It estimates a mean, not a reorder point, and it never falls
    once sales stop. Without any sale all is zero. Raises UnreadableField for a weight outside 0 to 1.
    """
    if not 0 < weight <= 1:
        raise UnreadableField("weight", weight, "a number above 0, at most 1")
    size = gap = 0.0
    last = -1
    for period, units in enumerate(sold):
        if units <= 0:
            continue
        if last < 0:
            size, gap = float(units), float(period + 1)
        else:
            size += weight * (units - size)
            gap += weight * (period - last - gap)
        last = period
    rate = size / gap if gap else 0.0
    return SlowRate(size, gap, rate, rate * (1 - weight / 2))


def smoothed(values: Sequence[float], weight: float, start: float) -> float:
    """Simple exponential smoothing: each value pulls the level towards itself by `weight` (R. G. Brown,
    1959).
    """
    level = start
    for value in values:
        level += weight * (value - level)
    return level
