"""The least that parcels with given contents can cost, from volume and weight alone: a floor for the search over divisions."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

from honeyhold.packing.model.measures import G_PER_OZ
from honeyhold.packing.model.problem import LinedCarton
from honeyhold.packing.partition.choice import CartonSelection, Cost, Counts
from honeyhold.packing.postage.quote import judge

ENDLESS: Cost = (10**15, 10**15, 10**18)
"""Of what cannot be sent at all."""
Rate = tuple[int, int]


def add(one: Cost, other: Cost) -> Cost:
    """Two costs together."""
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def minus(one: Cost, other: Cost) -> Cost:
    """What may still be spent of `one` after `other`."""
    return one[0] - other[0], one[1] - other[1], one[2] - other[2]


class _Tariff:
    """What a carton costs by the weight of its contents, filler forgotten; never more than it will cost."""

    def __init__(self, selection: CartonSelection, carton: LinedCarton) -> None:
        self.room = carton.room[0] * carton.room[1] * carton.room[2]
        self.mm3 = carton.inner_mm3
        rows = _rows(selection, carton)
        self.most = [most for most, _ in rows]
        cents = [cents for _, cents in rows]
        self.cents = [min(cents[at:]) for at in range(len(cents))]  # filler may lift a parcel into a cheaper row of an odd table

    def of(self, mass: int) -> int | None:
        """The least cents for contents of that mass; None where no row holds them."""
        at = bisect_left(self.most, mass)
        return self.cents[at] if at < len(self.cents) else None


def _rows(selection: CartonSelection, carton: LinedCarton) -> list[tuple[int, int]]:
    """(most that the contents may weigh, cents), lightest first."""
    problem, posting = selection.problem, selection.posting
    own, heaviest = carton.cost_cents + problem.liner_cents, 10**15
    if carton.max_gross_mg is not None:
        heaviest = carton.max_gross_mg
    if posting is None:
        return [(heaviest - carton.tare_mg, own)]
    heaviest = min(heaviest, int(posting.rule.max_lb * 16 * G_PER_OZ * 1000))
    steps = [int(up_to_oz * G_PER_OZ * 1000) for up_to_oz, _ in posting.prices] if posting.prices and carton.flat_cents is None else []
    rows = []
    for most in steps or [heaviest]:
        gross = min(most, heaviest)
        if gross >= carton.tare_mg:
            quote = judge(carton.outer, Fraction(gross, 1000), posting, carton.flat_cents)
            if quote.allowed:
                rows.append((gross - carton.tare_mg, own + (quote.cents or 0)))
    return rows


class Floor:
    """A cost below which no division of given contents can be, however well everything goes in.

    So much volume goes into no fewer parcels than of the roomiest carton, and costs no less than at the best price a litre of any carton;
    so with weight, postage counted with the price row that holds it.
    """

    def __init__(self, selection: CartonSelection) -> None:
        problem = selection.problem
        self.priced = selection.priced
        self.volumes = [item.volume for item in problem.items]
        self.masses = [item.mass_mg for item in problem.items]
        self.scale3 = problem.scale**3
        self.tariffs = [_Tariff(selection, carton) for carton in problem.cartons if carton.in_stock != 0 and all(carton.room)]
        self.tariffs = [tariff for tariff in self.tariffs if tariff.most]
        self.roomiest = max((tariff.room for tariff in self.tariffs), default=1)
        self.heaviest = max((tariff.most[-1] for tariff in self.tariffs), default=1)
        self.cents = min((min(tariff.cents) for tariff in self.tariffs), default=0)
        self.mm3 = min((tariff.mm3 for tariff in self.tariffs), default=0)
        by_room = [Fraction(min(tariff.cents), tariff.room) for tariff in self.tariffs]
        rows = [row for tariff in self.tariffs for row in zip(tariff.most, tariff.cents, strict=True)]
        by_mass = [Fraction(cents, most) for most, cents in rows if most > 0]
        self.cents_by_volume = min(by_room, default=Fraction(0)).as_integer_ratio()
        self.cents_by_mass = min(by_mass, default=Fraction(0)).as_integer_ratio()
        self._known: dict[Counts, Cost] = {}

    def of(self, counts: Counts) -> Cost:
        """For any number of parcels; nothing for no contents."""
        known = self._known.get(counts)
        if known is None:
            known = self._known[counts] = self._several(counts, 1) if any(counts) else (0, 0, 0)
        return known

    def of_one(self, counts: Counts) -> Cost:
        """For these contents in one parcel; `ENDLESS` where no carton has the volume and bears the weight."""
        volume, mass = self._measured(counts)
        cents, mm3 = None, 0
        for tariff in self.tariffs:
            if volume <= tariff.room:
                asked = tariff.of(mass)
                if asked is not None:
                    cents, mm3 = (asked, tariff.mm3) if cents is None else (min(cents, asked), min(mm3, tariff.mm3))
        return ENDLESS if cents is None else self._cost(cents, 1, mm3)

    def of_several(self, counts: Counts) -> Cost:
        """For two parcels or more."""
        return self._several(counts, 2)

    def _measured(self, counts: Counts) -> tuple[int, int]:
        volume = mass = 0
        for count, each, weight in zip(counts, self.volumes, self.masses, strict=True):
            volume, mass = volume + count * each, mass + count * weight
        return volume, mass

    def _several(self, counts: Counts, fewest: int) -> Cost:
        if not self.tariffs:
            return ENDLESS
        volume, mass = self._measured(counts)
        parcels = max(fewest, -(-volume // self.roomiest), -(-mass // self.heaviest) if self.heaviest > 0 else fewest)
        cents = max(parcels * self.cents, _up(volume, self.cents_by_volume), _up(mass, self.cents_by_mass))
        return self._cost(cents, parcels, max(parcels * self.mm3, volume // self.scale3))

    def _cost(self, cents: int, parcels: int, mm3: int) -> Cost:
        return (cents, parcels, mm3) if self.priced else (parcels, cents, mm3)


def _up(amount: int, rate: Rate) -> int:
    return -(-amount * rate[0] // rate[1])
