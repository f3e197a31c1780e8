"""Which cartons, and what goes into each: the least cost over every way to divide the order.

A single carton is tried by rising cost; dividing the order is left to divide.py.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from honeyhold.packing.fit import EXACT_PIECES, FITS, NEVER, UNKNOWN, Verdict, core, fit, never_at_once
from honeyhold.packing.model.container import Effort
from honeyhold.packing.model.figures import Figures, figures
from honeyhold.packing.model.request import Carton, Kind, Wanted
from honeyhold.packing.postage.quote import Posting

Counts = tuple[int, ...]
Cost = tuple[int, int, int]


@dataclass(frozen=True)
class Parcel:
    """One chosen parcel: its counts by kind (without the cold packs), figures and packing."""

    counts: Counts
    figures: Figures
    verdict: Verdict


@dataclass
class Chooser:
    """The order, what is known so far about (contents, carton), and the effort left."""

    wanted: Wanted
    posting: Posting | None
    effort: Effort
    kinds: tuple[Kind, ...] = ()
    verdicts: dict[tuple[Counts, str], Verdict] = field(default_factory=dict)
    known_figures: dict[tuple[Counts, str], Figures] = field(default_factory=dict)
    ranked: dict[Counts, list[Carton]] = field(default_factory=dict)
    sparing: bool = False  # while an order is divided: look for the few pieces that already do not go in
    most_steps: int = 10**9  # past so many in all nothing is compared any more: the first way to finish is taken
    struck: dict[str, list[Counts]] = field(default_factory=dict)  # by carton: contents that never go in, nor anything more
    steps_tried: dict[tuple[Counts, str], int] = field(default_factory=dict)  # what `verdict_within` was allowed last

    def __post_init__(self) -> None:
        self.kinds = self.wanted.kinds + self.wanted.chill

    @property
    def priced(self) -> bool:
        """Whether posting has a price, so that fewer cents beat fewer parcels."""
        return self.posting is not None and bool(self.posting.prices)

    @property
    def is_over(self) -> bool:
        """Whether all the effort that may ever be used is gone."""
        return self.effort.used > self.most_steps

    def with_chill(self, counts: Counts) -> list[int]:
        """Counts of every kind with the cold packs that go into each parcel."""
        return [*counts, *(kind.count for kind in self.wanted.chill)]

    def figures_of(self, counts: Counts, carton: Carton) -> Figures:
        """Weight and price, worked out once."""
        key = (counts, carton.id)
        if key not in self.known_figures:
            self.known_figures[key] = figures(carton, self.wanted, self.kinds, self.with_chill(counts), self.posting)
        return self.known_figures[key]

    def cost(self, counts: Counts, carton: Carton) -> Cost:
        """What decides: cents first when posting is priced, else parcels first; the smaller inside last."""
        cents = self.figures_of(counts, carton).cents
        return (cents, 1, carton.inner_mm3) if self.priced else (1, cents, carton.inner_mm3)

    def cartons_for(self, counts: Counts) -> list[Carton]:
        """Cartons that no limit refuses, best cost first; ties by id, so every device chooses alike."""
        if counts not in self.ranked:
            allowed = [carton for carton in self.wanted.cartons if not self.figures_of(counts, carton).refused]
            self.ranked[counts] = sorted(allowed, key=lambda carton: (self.cost(counts, carton), carton.id))
        return self.ranked[counts]

    def verdict(self, counts: Counts, carton: Carton, share: int | Fraction = 3) -> Verdict:
        """Whether the contents go in, worked out once; what is ruled out is remembered for more contents and smaller rooms."""
        key = (counts, carton.id)
        if key not in self.verdicts:
            found = self._work_out(counts, carton, share) if not self.is_struck(counts, carton) else Verdict(NEVER, by="less")
            if found.state == NEVER and found.by != "less":
                self._strike(counts, carton, found)
            self.verdicts[key] = found
        return self.verdicts[key]

    def verdict_within(self, counts: Counts, carton: Carton, steps: int) -> Verdict:
        """The same with no more than `steps`; what was not settled with fewer is tried again."""
        key = (counts, carton.id)
        known = self.verdicts.get(key)
        if known is not None and known.state == UNKNOWN and self.steps_tried.get(key, 0) < steps:
            del self.verdicts[key]
        if key not in self.verdicts:
            self.steps_tried[key] = steps
            self.verdict(counts, carton, max(Fraction(1), Fraction(self.effort.left, steps)))
        return self.verdicts[key]

    def is_struck(self, counts: Counts, carton: Carton) -> bool:
        """Whether some part of these contents is known never to go into this carton."""
        return any(all(have >= had for have, had in zip(counts, never, strict=True)) for never in self.struck.get(carton.id, ()))

    def _strike(self, counts: Counts, carton: Carton, found: Verdict) -> None:
        never = counts
        if found.by in ("alone", "part") and 0 <= found.part < len(counts):
            only = 1 if found.by == "alone" else counts[found.part]
            never = tuple(only if at == found.part else 0 for at in range(len(counts)))
        elif found.by == "alone":
            never = (0,) * len(counts)  # a cold pack does not go in, whatever else is packed
        elif self.sparing and (found.by != "part" or found.part < 0):
            never = core(self.kinds, self.with_chill(counts), carton.room, found, self.effort)[: len(counts)]
        for other in self.wanted.cartons:
            if all(its <= mine for its, mine in zip(other.room, carton.room, strict=True)):
                less = [old for old in self.struck.get(other.id, []) if any(a < b for a, b in zip(old, never, strict=True))]
                self.struck[other.id] = [*less, never]

    def _work_out(self, counts: Counts, carton: Carton, share: int | Fraction) -> Verdict:
        asked = self.with_chill(counts)
        if self.effort.left <= 0 and sum(asked) > 1:  # thousands of cartons and shares, each set up in vain, would take many seconds
            return never_at_once(carton.room, self.kinds, asked) or Verdict(UNKNOWN)
        part = Effort(max(1, int(self.effort.left // share)))
        found = fit(carton.room, self.kinds, asked, self.wanted.support, part)
        part.used += len(self.kinds) ** 2 // 2  # what setting up costs: each kind is held against each
        self.effort.settle(part)
        return found


def _one_parcel(chooser: Chooser, whole: Counts) -> list[Parcel]:
    """The best single parcel among those found, or nothing."""
    doubtful: list[Carton] = []
    share = 1 if _is_only_carton(chooser) else 3
    for carton in chooser.cartons_for(whole):
        verdict = chooser.verdict(whole, carton, share)
        if verdict.state == FITS:
            return _once_more(chooser, whole, doubtful) or [Parcel(whole, chooser.figures_of(whole, carton), verdict)]
        if verdict.state == UNKNOWN:
            doubtful.append(carton)
    return []


def _is_only_carton(chooser: Chooser) -> bool:
    """Whether there is a single carton in all: then no effort need be left for any other, nor for dividing."""
    cartons = chooser.wanted.cartons
    return len(cartons) == 1 and cartons[0].in_stock == 1


def _never_in_the_only(chooser: Chooser, whole: Counts) -> bool:
    """Whether a single carton is all there is, and it never holds the whole: then no division works either."""
    if not _is_only_carton(chooser):
        return False
    known = chooser.verdicts.get((whole, chooser.wanted.cartons[0].id))
    return known is not None and known.state == NEVER


def _once_more(chooser: Chooser, whole: Counts, doubtful: list[Carton]) -> list[Parcel]:
    """The better cartons that a third of the effort did not settle, with three quarters of what is left; nothing when none holds it."""
    if chooser.priced or sum(whole) > EXACT_PIECES:
        return []
    for carton in doubtful:
        del chooser.verdicts[whole, carton.id]
        verdict = chooser.verdict(whole, carton, Fraction(4, 3))
        if verdict.state == FITS:
            return [Parcel(whole, chooser.figures_of(whole, carton), verdict)]
    return []


def _proved_single(chooser: Chooser, whole: Counts, parcel: Parcel) -> bool:
    cost = chooser.cost(whole, parcel.figures.carton)
    better = [carton for carton in chooser.cartons_for(whole) if chooser.cost(whole, carton) < cost]
    return all(chooser.verdicts[(whole, carton.id)].state == NEVER for carton in better)


def choose(chooser: Chooser) -> tuple[list[Parcel], bool]:
    """Parcels for the whole order and whether they are proved the best; no parcels when nothing goes in."""
    from honeyhold.packing.partition.exact import several_parcels

    whole = tuple(kind.count for kind in chooser.wanted.kinds)
    single = _one_parcel(chooser, whole)
    if single and not chooser.priced:
        return single, _proved_single(chooser, whole, single[0])
    if not holds_each(chooser, whole) or _never_in_the_only(chooser, whole):
        return [], True
    return several_parcels(chooser, whole, single) if sum(whole) <= EXACT_PIECES else (single, False)


def holds_each(chooser: Chooser, whole: Counts) -> bool:
    """False when some piece is proved to go into no carton even by itself; then no division works."""
    for kind in range(len(whole)):
        single = tuple(1 if at == kind else 0 for at in range(len(whole)))
        if all(chooser.verdict(single, carton, 12).state == NEVER for carton in chooser.cartons_for(single)):
            return False
    return True
