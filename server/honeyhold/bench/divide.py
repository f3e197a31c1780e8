"""Dividing an order among several cartons at the least cost, exactly.

Lazy: the cheapest division is worked out as if everything went in, then its parcels are tried; what does not go in is struck out, and
the cheapest division is worked out again. When all its parcels go in it is the optimum, because everything cheaper was struck out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product

from honeyhold.bench.choose import Chooser, Cost, Counts, Parcel
from honeyhold.bench.fit import FITS, NEVER, UNKNOWN
from honeyhold.bench.wanted import Carton

Way = tuple[Cost, list[tuple[Counts, Carton]]]
MAX_ROUNDS = 1000


def _add(one: Cost, other: Cost) -> Cost:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


@dataclass
class _Division:
    """The cheapest division of each remaining order, with the cartons struck out so far taken as out."""

    chooser: Chooser
    hopeful: bool  # count what is not known as going in
    scarce: tuple[Carton, ...]
    least: Cost  # no parcel costs less, in any of the three
    best: dict[tuple[Counts, Counts], Way | None] = field(default_factory=dict)
    ranked: dict[Counts, list[Carton]] = field(default_factory=dict)

    def strike_out(self) -> None:
        """Drops the ways that lean on a carton struck out since. Striking out only makes dearer: every other way stays the cheapest."""
        self.ranked.clear()
        kept = {}
        for key, way in self.best.items():
            if way is None or all(carton in self._open(counts) for counts, carton in way[1]):
                kept[key] = way
        self.best = kept

    def _open(self, counts: Counts) -> list[Carton]:
        """Cartons for these contents that are not struck out, best cost first, as far as the first that is not scarce."""
        if counts not in self.ranked:
            found: list[Carton] = []
            for carton in self.chooser.cartons_for(counts):
                known = self.chooser.verdicts.get((counts, carton.id))
                if known and (known.state == NEVER or (known.state == UNKNOWN and not self.hopeful)):
                    continue
                if known or not self.chooser.is_struck(counts, carton):
                    found.append(carton)
                    if carton not in self.scarce:
                        break
            self.ranked[counts] = found
        return self.ranked[counts]

    def _first_left(self, counts: Counts, used: Counts) -> Carton | None:
        """The cheapest open carton of which there is one left."""
        for carton in self._open(counts):
            if carton not in self.scarce or used[self.scarce.index(carton)] < (carton.in_stock or 0):
                return carton
        return None

    def divide(self, left: Counts, used: Counts) -> Way | None:
        """The cheapest way to send `left`, with `used` of the scarce cartons gone; None when there is none. Raises StepsUsedUp."""
        if not any(left):
            return (0, 0, 0), []
        key = (left, used)
        if key in self.best:
            return self.best[key]
        first = next(at for at, count in enumerate(left) if count)
        found: Way | None = None
        for counts in product(*(range(count, 0 if at == first else -1, -1) for at, count in enumerate(left))):
            self.chooser.effort.spend(1)
            carton = self._first_left(counts, used)
            if carton is None:
                continue
            cost = self.chooser.cost(counts, carton)
            if found and (cost if counts == left else _add(cost, self.least)) >= found[0]:
                continue
            now = tuple(gone + (self.scarce[at] is carton) for at, gone in enumerate(used))
            rest = self.divide(tuple(have - take for have, take in zip(left, counts, strict=True)), now)
            if rest and (found is None or _add(cost, rest[0]) < found[0]):
                found = _add(cost, rest[0]), [(counts, carton), *rest[1]]
        self.best[key] = found
        return found


def _least(chooser: Chooser) -> Cost:
    """A cost that no parcel can beat: dearer contents only add, so an empty carton's own cost is the floor."""
    cents = min((carton.cost_cents for carton in chooser.wanted.cartons), default=0)
    volume = min((carton.inner_mm3 for carton in chooser.wanted.cartons), default=0)
    return (cents, 1, volume) if chooser.priced else (1, cents, volume)


Known = dict[tuple[bool, tuple[str, ...]], _Division]


def _cheapest(chooser: Chooser, whole: Counts, hopeful: bool, known: Known) -> Way | None:
    """The cheapest division within stock; cartons are counted only once they turn out to be scarce. `known` keeps what was worked out."""
    scarce: tuple[Carton, ...] = ()
    while True:
        key = (hopeful, tuple(carton.id for carton in scarce))
        division = known.setdefault(key, _Division(chooser, hopeful, scarce, _least(chooser)))
        division.strike_out()
        found = division.divide(whole, (0,) * len(scarce))
        more = tuple(
            carton
            for carton in chooser.wanted.cartons
            if found and carton.in_stock is not None and sum(used is carton for _, used in found[1]) > carton.in_stock
        )
        if not more:
            return found
        scarce += more


def several_parcels(chooser: Chooser, whole: Counts) -> tuple[list[Parcel], bool]:
    """Parcels at the least cost (none when no division works), and whether that is proved. Raises StepsUsedUp."""
    known: Known = {}
    for _ in range(MAX_ROUNDS):
        found = _cheapest(chooser, whole, False, known)
        doubt = any(verdict.state == UNKNOWN for verdict in chooser.verdicts.values())
        if found is None:
            return [], not doubt or _cheapest(chooser, whole, True, known) is None
        untried = [(counts, carton) for counts, carton in found[1] if (counts, carton.id) not in chooser.verdicts]
        if not untried:
            hoped = _cheapest(chooser, whole, True, known) if doubt else found
            parcels = [Parcel(counts, chooser.figures_of(counts, carton), chooser.verdict(counts, carton)) for counts, carton in found[1]]
            return parcels, hoped is not None and hoped[0] >= found[0]
        tried = [chooser.verdict(counts, carton, 12).state == FITS for counts, carton in untried]
        if not chooser.effort.left and not all(tried):
            break
    return [], False
