"""Ways of letting pieces down that no tidy hand would think of first: orders, turns and tastes drawn again and again.

The draws come from a fixed rule (Lehmer's multiplicative generator, "Mathematical methods in large-scale computing units", 1951, with
the constants of Park and Miller, Communications of the ACM 31 (1988)), so that every device tries the same ways in the same order.
"""

from __future__ import annotations

from collections.abc import Iterator

from honeyhold.packing.heuristic.constructive import TASTES, Taste, Turns, let_down
from honeyhold.packing.model.container import Container, Effort, Placement
from honeyhold.packing.model.problem import ItemType, Sides

MULTIPLIER, MODULUS = 48_271, 2**31 - 1
SEED = 20_270_723
TIDY_TASTES = 3
"""The first few tastes leave fewer gaps than the rest: they are drawn twice as often."""


class Draws:
    """Numbers that only look like chance."""

    def __init__(self) -> None:
        self._state = SEED

    def below(self, most: int) -> int:
        """A whole number from 0 to `most` - 1."""
        self._state = self._state * MULTIPLIER % MODULUS
        return self._state * most // MODULUS


def _order(items: tuple[ItemType, ...], counts: list[int], draws: Draws) -> list[int]:
    """Every piece once: kinds in some order; now and then one kind in two batches, so that the rest comes between."""
    batches = [(at, count) for at, count in enumerate(counts) if count]
    if draws.below(2):
        place = draws.below(len(batches))
        at, count = batches[place]
        first = draws.below(count + 1)
        batches[place : place + 1] = [(at, first), (at, count - first)]
    for last in range(len(batches) - 1, 0, -1):
        other = draws.below(last + 1)
        batches[last], batches[other] = batches[other], batches[last]
    if draws.below(3):  # what must stand, and what is large, seldom finds a place late
        batches.sort(key=lambda batch: -items[batch[0]].volume * (1 + items[batch[0]].upright))
    return [at for at, count in batches for _ in range(count)]


def _turns(items: tuple[ItemType, ...], draws: Draws) -> Turns:
    """For each kind all its turns, or one, or two."""
    chosen = []
    for item in items:
        some = draws.below(3)
        first, second = draws.below(len(item.orientations)), draws.below(len(item.orientations))
        some_ways = (item.orientations[first], item.orientations[second if some == 2 else first])
        chosen.append(item.orientations if some == 0 else tuple(dict.fromkeys(some_ways)))
    return tuple(chosen)


def ways(items: tuple[ItemType, ...], counts: list[int]) -> Iterator[tuple[list[int], Turns, Taste]]:
    """Without end: an order, the turns allowed to each kind, and a taste."""
    draws = Draws()
    while True:
        taste = draws.below(len(TASTES) + TIDY_TASTES)
        yield _order(items, counts, draws), _turns(items, draws), TASTES[taste % len(TASTES)]


def construct_randomized(sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort) -> list[Placement]:
    """The first packing found by drawing ways. Raises EffortLimitReached when the effort ends first."""
    for order, orientations, taste in ways(items, counts):
        effort.spend(len(order))
        room = Container(sides, items, support)
        if let_down(room, order, orientations, taste, effort):
            return room.placements
    raise AssertionError("ways() never ends")
