"""Which cartons, and what goes into each: the least cost over every way to divide the order.

A single carton is tried by rising cost; dividing the order is left to divide.py.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from honeyhold.packing.fit import EXACT_PIECES, FITS, NEVER, UNKNOWN, FitResult, core, fit, never_at_once
from honeyhold.packing.model.container import Effort
from honeyhold.packing.model.figures import Figures, figures
from honeyhold.packing.model.problem import ItemType, LinedCarton, PackingProblem
from honeyhold.packing.postage.quote import Posting

Counts = tuple[int, ...]
Cost = tuple[int, int, int]


@dataclass(frozen=True)
class Parcel:
    """One chosen parcel: its counts by kind (without the cold packs), figures and packing."""

    counts: Counts
    figures: Figures
    verdict: FitResult


@dataclass
class CartonSelection:
    """The order, what is known so far about (contents, carton), and the effort left."""

    problem: PackingProblem
    posting: Posting | None
    effort: Effort
    items: tuple[ItemType, ...] = ()
    verdicts: dict[tuple[Counts, str], FitResult] = field(default_factory=dict)
    known_figures: dict[tuple[Counts, str], Figures] = field(default_factory=dict)
    ranked: dict[Counts, list[LinedCarton]] = field(default_factory=dict)
    sparing: bool = False  # while an order is divided: look for the few pieces that already do not go in
    most_steps: int = 10**9  # past so many in all nothing is compared any more: the first way to finish is taken
    struck: dict[str, list[Counts]] = field(default_factory=dict)  # by carton: contents that never go in, nor anything more
    steps_tried: dict[tuple[Counts, str], int] = field(default_factory=dict)  # what `verdict_within` was allowed last

    def __post_init__(self) -> None:
        self.items = self.problem.items + self.problem.chill

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
        return [*counts, *(item.count for item in self.problem.chill)]

    def figures_of(self, counts: Counts, carton: LinedCarton) -> Figures:
        """Weight and price, worked out once."""
        key = (counts, carton.id)
        if key not in self.known_figures:
            self.known_figures[key] = figures(carton, self.problem, self.items, self.with_chill(counts), self.posting)
        return self.known_figures[key]

    def cost(self, counts: Counts, carton: LinedCarton) -> Cost:
        """What decides: cents first when posting is priced, else parcels first; the smaller inside last."""
        cents = self.figures_of(counts, carton).cents
        return (cents, 1, carton.inner_mm3) if self.priced else (1, cents, carton.inner_mm3)

    def cartons_for(self, counts: Counts) -> list[LinedCarton]:
        """Cartons that no limit refuses, best cost first; ties by id, so every device chooses alike."""
        if counts not in self.ranked:
            allowed = [carton for carton in self.problem.cartons if not self.figures_of(counts, carton).refused]
            self.ranked[counts] = sorted(allowed, key=lambda carton: (self.cost(counts, carton), carton.id))
        return self.ranked[counts]

    def verdict(self, counts: Counts, carton: LinedCarton, share: int | Fraction = 3) -> FitResult:
        """Whether the contents go in, worked out once; what is ruled out is remembered for more contents and smaller rooms."""
        key = (counts, carton.id)
        if key not in self.verdicts:
            found = self._work_out(counts, carton, share) if not self.is_struck(counts, carton) else FitResult(NEVER, by="less")
            if found.state == NEVER and found.by != "less":
                self._strike(counts, carton, found)
            self.verdicts[key] = found
        return self.verdicts[key]

    def verdict_within(self, counts: Counts, carton: LinedCarton, steps: int) -> FitResult:
        """The same with no more than `steps`; what was not settled with fewer is tried again."""
        key = (counts, carton.id)
        known = self.verdicts.get(key)
        if known is not None and known.state == UNKNOWN and self.steps_tried.get(key, 0) < steps:
            del self.verdicts[key]
        if key not in self.verdicts:
            self.steps_tried[key] = steps
            self.verdict(counts, carton, max(Fraction(1), Fraction(self.effort.left, steps)))
        return self.verdicts[key]

    def is_struck(self, counts: Counts, carton: LinedCarton) -> bool:
        """Whether some part of these contents is known never to go into this carton."""
        return any(all(have >= had for have, had in zip(counts, never, strict=True)) for never in self.struck.get(carton.id, ()))

    def _strike(self, counts: Counts, carton: LinedCarton, found: FitResult) -> None:
        never = counts
        if found.by in ("alone", "part") and 0 <= found.part < len(counts):
            only = 1 if found.by == "alone" else counts[found.part]
            never = tuple(only if at == found.part else 0 for at in range(len(counts)))
        elif found.by == "alone":
            never = (0,) * len(counts)  # a cold pack does not go in, whatever else is packed
        elif self.sparing and (found.by != "part" or found.part < 0):
            never = core(self.items, self.with_chill(counts), carton.room, found, self.effort)[: len(counts)]
        for other in self.problem.cartons:
            if all(its <= mine for its, mine in zip(other.room, carton.room, strict=True)):
                less = [old for old in self.struck.get(other.id, []) if any(a < b for a, b in zip(old, never, strict=True))]
                self.struck[other.id] = [*less, never]

    def _work_out(self, counts: Counts, carton: LinedCarton, share: int | Fraction) -> FitResult:
        asked = self.with_chill(counts)
        if self.effort.left <= 0 and sum(asked) > 1:  # thousands of cartons and shares, each set up in vain, would take many seconds
            return never_at_once(carton.room, self.items, asked) or FitResult(UNKNOWN)
        part = Effort(max(1, int(self.effort.left // share)))
        found = fit(carton.room, self.items, asked, self.problem.support, part)
        part.used += len(self.items) ** 2 // 2  # what setting up costs: each kind is held against each
        self.effort.settle(part)
        return found


def _one_parcel(selection: CartonSelection, whole: Counts) -> list[Parcel]:
    """The best single parcel among those found, or nothing."""
    doubtful: list[LinedCarton] = []
    share = 1 if _is_only_carton(selection) else 3
    for carton in selection.cartons_for(whole):
        verdict = selection.verdict(whole, carton, share)
        if verdict.state == FITS:
            return _once_more(selection, whole, doubtful) or [Parcel(whole, selection.figures_of(whole, carton), verdict)]
        if verdict.state == UNKNOWN:
            doubtful.append(carton)
    return []


def _is_only_carton(selection: CartonSelection) -> bool:
    """Whether there is a single carton in all: then no effort need be left for any other, nor for dividing."""
    cartons = selection.problem.cartons
    return len(cartons) == 1 and cartons[0].in_stock == 1


def _never_in_the_only(selection: CartonSelection, whole: Counts) -> bool:
    """Whether a single carton is all there is, and it never holds the whole: then no division works either."""
    if not _is_only_carton(selection):
        return False
    known = selection.verdicts.get((whole, selection.problem.cartons[0].id))
    return known is not None and known.state == NEVER


def _once_more(selection: CartonSelection, whole: Counts, doubtful: list[LinedCarton]) -> list[Parcel]:
    """The better cartons that a third of the effort did not settle, with three quarters of what is left; nothing when none holds it."""
    if selection.priced or sum(whole) > EXACT_PIECES:
        return []
    for carton in doubtful:
        del selection.verdicts[whole, carton.id]
        verdict = selection.verdict(whole, carton, Fraction(4, 3))
        if verdict.state == FITS:
            return [Parcel(whole, selection.figures_of(whole, carton), verdict)]
    return []


def _proved_single(selection: CartonSelection, whole: Counts, parcel: Parcel) -> bool:
    cost = selection.cost(whole, parcel.figures.carton)
    better = [carton for carton in selection.cartons_for(whole) if selection.cost(whole, carton) < cost]
    return all(selection.verdicts[(whole, carton.id)].state == NEVER for carton in better)


def choose(selection: CartonSelection) -> tuple[list[Parcel], bool]:
    """Parcels for the whole order and whether they are proved the best; no parcels when nothing goes in."""
    from honeyhold.packing.partition.exact import several_parcels

    whole = tuple(item.count for item in selection.problem.items)
    single = _one_parcel(selection, whole)
    if single and not selection.priced:
        return single, _proved_single(selection, whole, single[0])
    if not holds_each(selection, whole) or _never_in_the_only(selection, whole):
        return [], True
    return several_parcels(selection, whole, single) if sum(whole) <= EXACT_PIECES else (single, False)


def holds_each(selection: CartonSelection, whole: Counts) -> bool:
    """False when some piece is proved to go into no carton even by itself; then no division works."""
    for item in range(len(whole)):
        single = tuple(1 if at == item else 0 for at in range(len(whole)))
        if all(selection.verdict(single, carton, 12).state == NEVER for carton in selection.cartons_for(single)):
            return False
    return True
