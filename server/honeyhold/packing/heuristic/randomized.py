"""Ways of letting pieces down that no tidy hand would think of first: orders, turns and tastes drawn again and again.

The draws come from a fixed rule (Lehmer's multiplicative generator, "Mathematical methods in large-scale computing units", 1951, with
the constants of Park and Miller, Communications of the ACM 31 (1988)), so that every device tries the same ways in the same order.
"""

from __future__ import annotations

from collections.abc import Iterator

from honeyhold.packing.heuristic.constructive import TASTES, Taste, Turns, let_down
from honeyhold.packing.model.container import Effort, Put, Room
from honeyhold.packing.model.request import Kind, Sides

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


def _order(kinds: tuple[Kind, ...], counts: list[int], draws: Draws) -> list[int]:
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
        batches.sort(key=lambda batch: -kinds[batch[0]].volume * (1 + kinds[batch[0]].upright))
    return [at for at, count in batches for _ in range(count)]


def _turns(kinds: tuple[Kind, ...], draws: Draws) -> Turns:
    """For each kind all its turns, or one, or two."""
    chosen = []
    for kind in kinds:
        some = draws.below(3)
        first, second = draws.below(len(kind.turns)), draws.below(len(kind.turns))
        chosen.append(kind.turns if some == 0 else tuple(dict.fromkeys((kind.turns[first], kind.turns[second if some == 2 else first]))))
    return tuple(chosen)


def ways(kinds: tuple[Kind, ...], counts: list[int]) -> Iterator[tuple[list[int], Turns, Taste]]:
    """Without end: an order, the turns allowed to each kind, and a taste."""
    draws = Draws()
    while True:
        taste = draws.below(len(TASTES) + TIDY_TASTES)
        yield _order(kinds, counts, draws), _turns(kinds, draws), TASTES[taste % len(TASTES)]


def try_shuffled(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort) -> list[Put]:
    """The first packing found by drawing ways. Raises StepsUsedUp when the effort ends first."""
    for order, turns, taste in ways(kinds, counts):
        effort.spend(len(order))
        room = Room(sides, kinds, support)
        if let_down(room, order, turns, taste, effort):
            return room.puts
    raise AssertionError("ways() never ends")
