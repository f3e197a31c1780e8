"""How many units callers may take: a number of callers, each with the size of an order.

Callers arrive as a Poisson number, or, when their rate is itself only guessed from a few weeks, as a
gamma-Poisson (negative binomial) number. The sum of their orders is worked out exactly by Panjer's recursion
(H. H. Panjer, "Recursive evaluation of a family of compound distributions", ASTIN Bulletin 12, 1981).

A distribution is a list `chance` in which `chance[k]` is the chance of exactly k units.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import exp, log1p

from honeyhold.stock.errors import UnreadableField

Sizes = Mapping[int, float]

TAIL = 1e-12  # what may be cut off at the far end; far below anything a decision rests on


def read_sizes(value: object, field: str = "order_sizes") -> dict[int, float]:
    """Order sizes as {units: chance}, scaled to add up to one; keys may be texts, as JSON has them.

    Raises UnreadableField for an empty table, a size below one unit, or a chance below zero.
    """
    if not isinstance(value, Mapping) or not value:
        raise UnreadableField(field, value, 'a dictionary such as {"5": 0.6, "10": 0.4}')
    sizes: dict[int, float] = {}
    for size, chance in value.items():
        try:
            units = int(size)
        except (TypeError, ValueError):
            raise UnreadableField(field, size, "sizes in whole units") from None
        if (
            isinstance(chance, bool)
            or not isinstance(chance, int | float)
            or not (units >= 1 and 0 <= chance < 1e12)
        ):
            raise UnreadableField(field, {size: chance}, "sizes of 1 or more with chances of 0 or more")
        if chance > 0:
            sizes[units] = sizes.get(units, 0.0) + chance
    total = sum(sizes.values())
    if not total > 0:
        raise UnreadableField(field, dict(value), "at least one size with a chance above 0")
    return {units: chance / total for units, chance in sorted(sizes.items())}


def mean_size(sizes: Sizes) -> float:
    """The mean units of one order."""
    return sum(units * chance for units, chance in sizes.items())


def panjer(start: float, a: float, b: float, sizes: Sizes, units_max: int) -> list[float]:
    """g(0) = start; g(k) = sum over j of (a + b j / k) f(j) g(k - j), for a claim number with p(n)/p(n-1) =
    a + b/n.
    """
    chance = [start]
    steps = sorted(sizes.items())
    for k in range(1, units_max + 1):
        total = 0.0
        for j, f in steps:
            if j > k:
                break
            total += (a + b * j / k) * f * chance[k - j]
        chance.append(total)
    return chance


def compound_gamma_poisson(shape: float, scale: float, sizes: Sizes, units_max: int) -> list[float]:
    """The same when the mean number of callers is itself a gamma(shape, scale) guess: mean shape x scale.

    Panjer's a = scale / (1 + scale), b = (shape - 1) a; g(0) = (1 + scale)^-shape. With a scale of zero
    nobody calls.
    """
    if not (shape > 0 and scale >= 0 and shape * log1p(scale) < 700):
        raise UnreadableField("shape, scale", (shape, scale), "a shape above 0 and a scale of 0 or more")
    a = scale / (1 + scale)
    return panjer(exp(-shape * log1p(scale)), a, (shape - 1) * a, sizes, units_max)


def at_most(chance: Sequence[float], units: int) -> float:
    """Chance of `units` or fewer; beyond the end of the list it is taken as the sum of the list."""
    return min(1.0, sum(chance[: units + 1])) if units >= 0 else 0.0


def smallest_covering(chance: Sequence[float], service: float) -> int:
    """The fewest units that are enough with chance `service`; the end of the list if none is."""
    total = 0.0
    for units, p in enumerate(chance):
        total += p
        if total >= service - TAIL:
            return units
    return len(chance) - 1
