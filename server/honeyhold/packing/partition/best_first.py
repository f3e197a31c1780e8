"""The cheapest division of an order into parcels that are not struck out: a best-first search that goes on where it stopped.

For every remaining order the ways to make its first parcel wait in a heap, each with a cost that no division beginning so can beat. The
first way is refined until its true cost is known and no other way promises less (the idea of Hart, Nilsson and Raphael's A*, IEEE
Transactions on Systems Science and Cybernetics 4 (1968), one heap for each order that remains). Striking out only makes dearer, so what
was promised stays a floor and the heaps are kept from one question to the next.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush, heapreplace
from itertools import product

from honeyhold.packing.fit import NEVER, UNKNOWN
from honeyhold.packing.model.problem import LinedCarton
from honeyhold.packing.partition.choice import CartonSelection, Cost, Counts
from honeyhold.packing.partition.lower_bound import ENDLESS, Floor, add, minus

Way = tuple[Cost, list[tuple[Counts, LinedCarton]]]
PRICE_STEPS = 8  # what it costs to weigh and price a parcel, measured in steps
Entry = tuple[Cost, int, Counts, LinedCarton | None, Cost | None]
"""A floor, a number that settles ties, and the first parcel: none yet (two or more, still to be listed), with no carton yet, or whole."""


@dataclass
class _Left:
    """An order that remains, with so many of the scarce cartons used: the ways to make its first parcel, the most promising first."""

    heap: list[Entry]
    many: Cost  # the floor of two parcels or more, while they are not listed; ENDLESS afterwards


@dataclass
class Cheapest:
    """The search, with the cartons that are counted; with `hopeful`, what is not settled counts as going in."""

    selection: CartonSelection
    floor: Floor
    hopeful: bool
    scarce: tuple[LinedCarton, ...]
    known: dict[tuple[Counts, Counts], _Left] = field(default_factory=dict)
    number: int = 0

    def divide(self, whole: Counts, below: Cost) -> Way | None:
        """The cheapest division of the whole order, if it costs less than `below`. Raises EffortLimitReached."""
        cost, parcels = self._refine(whole, (0,) * len(self.scarce), minus(below, (0, 0, 1)))
        return None if parcels is None else (cost, parcels)

    def _refine(self, left: Counts, used: Counts, most: Cost) -> tuple[Cost, list[tuple[Counts, LinedCarton]] | None]:
        """The cheapest division if it costs `most` or less; else None and a floor above `most`."""
        if not any(left):
            return (0, 0, 0), ([] if most >= (0, 0, 0) else None)
        node = self.known.get((left, used))
        if node is None:
            node = self.known[left, used] = _Left([], self.floor.of_several(left) if sum(left) > 1 else ENDLESS)
            self._price(node, left, (0,) * len(left), used)
        while True:
            self.selection.effort.spend(1)
            floor = node.heap[0][0] if node.heap else ENDLESS
            if min(floor, node.many) > most or min(floor, node.many) >= ENDLESS:
                return min(floor, node.many), None
            if node.many < floor:
                self._list(node, left)
                continue
            found = self._refine_first(node, left, used, most)
            if found:
                return found

    def _refine_first(self, node: _Left, left: Counts, used: Counts, most: Cost) -> tuple[Cost, list[tuple[Counts, LinedCarton]]] | None:
        """Works on the most promising way: drops it, prices it, or raises its floor; the answer once no other way can be cheaper."""
        floor, number, counts, carton, cost = node.heap[0]
        rest = tuple(have - take for have, take in zip(left, counts, strict=True))
        if carton is None or cost is None:
            heappop(node.heap)
            self._price(node, counts, rest, used)
            return None
        if not self._is_open(counts, carton):
            heappop(node.heap)
            return None
        limit = min([most, node.many, *(entry[0] for entry in node.heap[1:3])])
        then, parcels = self._refine(rest, self._using(carton, used), minus(limit, cost))
        total = add(cost, then)
        if parcels is not None:
            if total != floor:
                heapreplace(node.heap, (total, number, counts, carton, cost))
            return total, [(counts, carton), *parcels]
        if then >= ENDLESS:
            heappop(node.heap)
        else:
            heapreplace(node.heap, (max(total, floor), number, counts, carton, cost))
        return None

    def _list(self, node: _Left, left: Counts) -> None:
        """Lists every first parcel that leaves something over. The first kind has a piece in it: parcels have no order."""
        first = next(at for at, count in enumerate(left) if count)
        for counts in product(*(range(count, 0 if at == first else -1, -1) for at, count in enumerate(left))):
            self.selection.effort.spend(1)
            if counts == left:
                continue
            rest = tuple(have - take for have, take in zip(left, counts, strict=True))
            floor = add(self.floor.of_one(counts), self.floor.of(rest))
            if floor < ENDLESS:
                self.number += 1
                node.heap.append((floor, self.number, counts, None, None))
        heapify(node.heap)
        node.many = ENDLESS

    def _price(self, node: _Left, counts: Counts, rest: Counts, used: Counts) -> None:
        """Lists a parcel with each carton that may hold it: the cheapest may be needed for another."""
        selection, floor = self.selection, self.floor.of(rest)
        volume = sum(item.volume * count for item, count in zip(selection.problem.items, counts, strict=True))
        offers = []
        for carton in selection.problem.cartons:
            if volume <= carton.room[0] * carton.room[1] * carton.room[2] and self._has(carton, used) and self._is_open(counts, carton):
                selection.effort.spend(PRICE_STEPS)
                if not selection.figures_of(counts, carton).refused:
                    offers.append((selection.cost(counts, carton), carton))
        for cost, carton in sorted(offers, key=lambda offer: (offer[0], offer[1].id)):
            self.number += 1
            heappush(node.heap, (add(cost, floor), self.number, counts, carton, cost))

    def _is_open(self, counts: Counts, carton: LinedCarton) -> bool:
        """Whether the contents may go in, by what is known."""
        known = self.selection.verdicts.get((counts, carton.id))
        if known is not None:
            return known.state != NEVER and (known.state != UNKNOWN or self.hopeful)
        return not self.selection.is_struck(counts, carton)

    def _has(self, carton: LinedCarton, used: Counts) -> bool:
        return carton not in self.scarce or used[self.scarce.index(carton)] < (carton.in_stock or 0)

    def _using(self, carton: LinedCarton, used: Counts) -> Counts:
        """`used` with one more of this carton gone, where it is counted."""
        if carton not in self.scarce:
            return used
        at = self.scarce.index(carton)
        return *used[:at], used[at] + 1, *used[at + 1 :]
