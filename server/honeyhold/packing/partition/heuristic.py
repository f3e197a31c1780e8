"""Dividing an order of many pieces among cartons: best found, never proved.

Two ways, and the cheaper of what they find: even shares, from the fewest parcels that volume and weight allow; and filling carton after
carton as full as can be, the roomiest first or the one that costs least for what it takes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from honeyhold.packing.fit import FITS, FitResult
from honeyhold.packing.heuristic.many_pieces import pack_many
from honeyhold.packing.model.container import Effort, Placement
from honeyhold.packing.model.problem import LinedCarton
from honeyhold.packing.partition.choice import CartonSelection, Cost, Counts, Parcel

MOST_PARCELS = 250
CARTONS_ASKED = 12
FILLS_SHARE, FILL_STEPS_LEAST = 8, 4_000
Worth = Callable[[int, Cost], tuple[Fraction | int, ...]]


@dataclass
class Left:
    """What is still to be packed, the cartons used and the parcels made."""

    counts: Counts
    used: dict[str, int] = field(default_factory=dict)
    parcels: list[Parcel] = field(default_factory=list)

    def has(self, carton: LinedCarton) -> bool:
        """Whether one of these cartons is left on the shelf."""
        return carton.in_stock is None or self.used.get(carton.id, 0) < carton.in_stock

    def take(self, parcel: Parcel) -> None:
        """Count a parcel as packed."""
        name = parcel.figures.carton.id
        self.used[name] = self.used.get(name, 0) + 1
        self.parcels.append(parcel)
        self.counts = tuple(have - gone for have, gone in zip(self.counts, parcel.counts, strict=True))


def fewest_parcels(selection: CartonSelection, whole: Counts) -> int:
    """No fewer parcels hold so much volume and weight; 1 when nothing can be said."""
    items, cartons = selection.problem.items, [carton for carton in selection.problem.cartons if carton.in_stock != 0]
    volume = sum(item.volume * count for item, count in zip(items, whole, strict=True))
    mass = sum(item.mass_mg * count for item, count in zip(items, whole, strict=True))
    room = max((carton.room[0] * carton.room[1] * carton.room[2] for carton in cartons), default=0)
    bears = [carton.max_gross_mg - carton.tare_mg for carton in cartons if carton.max_gross_mg is not None]
    heaviest = max(bears, default=0) if len(bears) == len(cartons) else 0
    return max(1, -(-volume // room) if room else 1, -(-mass // heaviest) if heaviest > 0 else 1)


def even_shares(whole: Counts, parcels: int) -> list[Counts]:
    """The order in that many shares that differ by at most one piece of a kind; the odd pieces go round."""
    shares = [[count // parcels for count in whole] for _ in range(parcels)]
    turn = 0
    for item, count in enumerate(whole):
        for _ in range(count % parcels):
            shares[turn % parcels][item] += 1
            turn += 1
    return [tuple(share) for share in shares if any(share)]


def cheapest(selection: CartonSelection, counts: Counts, left: Left, share: int) -> Parcel | None:
    """The cheapest carton found to hold just this, each asked with a `share`-th of the effort left."""
    for carton in selection.cartons_for(counts):
        if left.has(carton):
            verdict = selection.verdict(counts, carton, share)
            if verdict.state == FITS:
                return Parcel(counts, selection.figures_of(counts, carton), verdict)
    return None


def evenly(selection: CartonSelection, whole: Counts, parcels: int, share: int) -> list[Parcel]:
    """The order in so many even shares, each in the cheapest carton found; none when one of them goes into nothing."""
    left = Left(whole)
    for counts in even_shares(whole, parcels):
        parcel = cheapest(selection, counts, left, share)
        if parcel is None:
            return []
        left.take(parcel)
    return left.parcels


def _bearable(selection: CartonSelection, counts: Counts, carton: LinedCarton) -> Counts:
    """Of each kind the same part, as much as no limit of weight refuses."""
    total = sum(counts)
    low, high = 0, total
    while low < high:
        some = (low + high + 1) // 2
        if selection.figures_of(tuple(-(-count * some // total) for count in counts), carton).refused:
            high = some - 1
        else:
            low = some
    return tuple(-(-count * low // total) for count in counts)


@dataclass
class _Fills:
    """How full each carton can be made, remembered while there is enough left to fill it so again."""

    selection: CartonSelection
    known: dict[str, tuple[Counts, Counts, list[Placement]]] = field(default_factory=dict)  # by carton: out of what, what went in, and how

    def _packed(self, counts: Counts, carton: LinedCarton) -> tuple[Counts, list[Placement]]:
        selection = self.selection
        part = Effort(max(FILL_STEPS_LEAST, selection.effort.left // FILLS_SHARE))
        asked = _bearable(selection, counts, carton)
        wanted, support = selection.with_chill(asked), selection.problem.support
        placements = pack_many(carton.room, selection.items, wanted, support, part) if any(asked) else []
        selection.effort.settle(part)
        placed = [0] * len(selection.items)
        for placement in placements:
            placed[placement.item] += 1
        return tuple(placed[: len(counts)]), placements

    def fill(self, counts: Counts, carton: LinedCarton) -> Parcel | None:
        """A parcel in this carton, as full as found, or nothing."""
        known = self.known.get(carton.id)
        if known is None or any(went > have for went, have in zip(known[1], counts, strict=True)):
            known = self.known[carton.id] = (counts, *self._packed(counts, carton))
        _, went, placements = known
        if not any(went) or self.selection.figures_of(went, carton).refused:
            return None  # what was left out may have been lighter than the filler in its place
        verdict = self.selection.verdicts.setdefault((went, carton.id), FitResult(FITS, tuple(placements)))
        if verdict.state != FITS:
            verdict = self.selection.verdicts[(went, carton.id)] = FitResult(FITS, tuple(placements))
        return Parcel(went, self.selection.figures_of(went, carton), verdict)


def _volume(selection: CartonSelection, counts: Counts) -> int:
    return sum(item.volume * count for item, count in zip(selection.problem.items, counts, strict=True))


def _one_after_the_other(selection: CartonSelection, fills: _Fills, whole: Counts, worth: Worth) -> list[Parcel]:
    """Carton after carton, each time the one of the greatest worth for what goes in; the last as cheap as holds the rest."""
    left = Left(whole)
    while any(left.counts) and len(left.parcels) < MOST_PARCELS:
        may_be_last = _may_be_last(selection, left.counts) and not selection.is_over
        parcel = cheapest(selection, left.counts, left, FILLS_SHARE) if may_be_last else None
        if parcel is None:
            parcels = _filled(selection, fills, left)
            if not parcels:
                return []
            parcel = max(parcels, key=lambda one: worth(_volume(selection, one.counts), selection.cost(one.counts, one.figures.carton)))
        left.take(parcel)
    return [] if any(left.counts) else left.parcels


def _filled(selection: CartonSelection, fills: _Fills, left: Left) -> list[Parcel]:
    """A parcel in every carton worth asking; once the effort is gone in the first alone that takes anything, the roomiest first."""
    parcels: list[Parcel] = []
    for carton in _worth_asking(selection, left):
        if selection.is_over and parcels:
            break
        parcel = fills.fill(left.counts, carton)
        parcels += [parcel] if parcel else []
    return parcels


def _worth_asking(selection: CartonSelection, left: Left) -> list[LinedCarton]:
    """The roomiest cartons that are left, and the cheapest for their room."""
    here = [carton for carton in selection.problem.cartons if left.has(carton)]
    cartons = sorted(here, key=lambda carton: (-carton.inner_volume, carton.id))
    bargains = sorted(cartons, key=lambda carton: (carton.cost_cents / carton.inner_volume, carton.id))
    return list(dict.fromkeys([*cartons[:CARTONS_ASKED], *bargains[:CARTONS_ASKED]]))


def _may_be_last(selection: CartonSelection, counts: Counts) -> bool:
    return fewest_parcels(selection, counts) == 1


def _roomiest(volume: int, cost: Cost) -> tuple[Fraction | int, ...]:
    return volume, *(-part for part in cost)


def _best_bargain(volume: int, cost: Cost) -> tuple[Fraction | int, ...]:
    return Fraction(volume, 1 + cost[0] if cost[0] > 1 else 1 + cost[2]), volume


def _even_ways(selection: CartonSelection, whole: Counts, filled: int) -> Iterator[list[Parcel]]:
    """Even shares, from as many parcels as filling takes downwards while they go in; upwards from the fewest when filling found nothing."""
    fewest = max(2, fewest_parcels(selection, whole))
    for parcels in range(filled, fewest - 1, -1) if filled else range(fewest, min(sum(whole), MOST_PARCELS) + 1):
        found = evenly(selection, whole, parcels, FILLS_SHARE)
        yield found
        if bool(found) != bool(filled) or not selection.effort.left or selection.is_over:
            break


def split_many(selection: CartonSelection, whole: Counts) -> list[Parcel]:
    """Parcels for a large order at the least cost found, or none when no way was found."""
    selection.effort.left *= 2  # dividing asks for several packings
    fills = _Fills(selection)
    ways: list[list[Parcel]] = []
    for worth in (_roomiest, _best_bargain):
        way = [] if selection.is_over else _one_after_the_other(selection, fills, whole, worth)
        ways += [way] if way else []
    if selection.is_over and ways:
        return min(ways, key=lambda way: _cost_of(selection, way))
    ways += [way for way in _even_ways(selection, whole, min((len(way) for way in ways), default=0)) if way]
    return min(ways, key=lambda way: _cost_of(selection, way)) if ways else []


def _cost_of(selection: CartonSelection, parcels: list[Parcel]) -> Cost:
    costs = [selection.cost(parcel.counts, parcel.figures.carton) for parcel in parcels]
    return sum(cost[0] for cost in costs), sum(cost[1] for cost in costs), sum(cost[2] for cost in costs)
