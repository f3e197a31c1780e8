"""Which cartons, and what goes into each: the least cost over every way to divide the order.

Lazy: the cheapest division is worked out as if all went in, then its parcels are tried; what does not go in is struck out and the
cheapest division is worked out again. When all its parcels go in it is the optimum, because everything cheaper has been struck out.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product

from honeyhold.bench.figures import Figures, figures
from honeyhold.bench.fit import EXACT_PIECES, FITS, NEVER, UNKNOWN, Verdict, fit
from honeyhold.bench.posting import Posting
from honeyhold.bench.room import Effort
from honeyhold.bench.wanted import Carton, Kind, Wanted

Counts = tuple[int, ...]
Cost = tuple[Fraction | int, Fraction | int, Fraction]
MAX_DIVISIONS = 40_000


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
    struck: dict[str, list[Counts]] = field(default_factory=dict)  # by carton: contents that never go in, nor anything more

    def __post_init__(self) -> None:
        self.kinds = self.wanted.kinds + self.wanted.chill

    @property
    def priced(self) -> bool:
        """Whether posting has a price, so that fewer cents beat fewer parcels."""
        return self.posting is not None and bool(self.posting.prices)

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
        return (cents, 1, carton.inner_volume) if self.priced else (1, cents, carton.inner_volume)

    def cartons_for(self, counts: Counts) -> list[Carton]:
        """Cartons that no limit refuses, best cost first; ties by id, so every device chooses alike."""
        if counts not in self.ranked:
            allowed = [carton for carton in self.wanted.cartons if not self.figures_of(counts, carton).refused]
            self.ranked[counts] = sorted(allowed, key=lambda carton: (self.cost(counts, carton), carton.id))
        return self.ranked[counts]

    def verdict(self, counts: Counts, carton: Carton, share: int = 3) -> Verdict:
        """Whether the contents go in, worked out once; what is ruled out is remembered for more contents and smaller rooms."""
        key = (counts, carton.id)
        if key not in self.verdicts:
            found = self._work_out(counts, carton, share) if not self.is_struck(counts, carton) else Verdict(NEVER, by="less")
            if found.state == NEVER and found.by != "less":
                self._strike(counts, carton, found)
            self.verdicts[key] = found
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
        for other in self.wanted.cartons:
            if all(its <= mine for its, mine in zip(other.room, carton.room, strict=True)):
                self.struck.setdefault(other.id, []).append(never)

    def _work_out(self, counts: Counts, carton: Carton, share: int) -> Verdict:
        part = Effort(max(1, self.effort.left // share))
        found = fit(carton.room, self.kinds, self.with_chill(counts), self.wanted.support, part)
        self.effort.left, self.effort.used = (
            max(0, self.effort.left - part.used),
            self.effort.used + part.used,
        )
        return found


def _one_parcel(chooser: Chooser, whole: Counts) -> list[Parcel]:
    """The best single parcel among those found, or nothing."""
    for carton in chooser.cartons_for(whole):
        verdict = chooser.verdict(whole, carton)
        if verdict.state == FITS:
            return [Parcel(whole, chooser.figures_of(whole, carton), verdict)]
    return []


def _add(one: Cost, other: Cost) -> Cost:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


@dataclass
class _Division:
    """The cheapest division of each remaining order, cartons struck out so far taken as out."""

    chooser: Chooser
    hopeful: bool  # count what is not known as going in
    best: dict[tuple[Counts, Counts], tuple[Cost, list[tuple[Counts, Carton]]] | None] = field(default_factory=dict)

    def _open(self, counts: Counts, used: Counts, cartons: tuple[Carton, ...]) -> Carton | None:
        """The cheapest carton for these contents that is not struck out and not all used."""
        for carton in self.chooser.cartons_for(counts):
            known = self.chooser.verdicts.get((counts, carton.id))
            if known and (known.state == NEVER or (known.state == UNKNOWN and not self.hopeful)):
                continue
            if not known and self.chooser.is_struck(counts, carton):
                continue
            if carton in cartons and used[cartons.index(carton)] >= (carton.in_stock or 0):
                continue
            return carton
        return None

    def divide(self, left: Counts, used: Counts, scarce: tuple[Carton, ...]) -> tuple[Cost, list[tuple[Counts, Carton]]] | None:
        """The cheapest way to send `left`, with `used` of the scarce cartons gone; None when there is none."""
        if not any(left):
            return (0, 0, Fraction(0)), []
        key = (left, used)
        if key in self.best:
            return self.best[key]
        first = next(at for at, count in enumerate(left) if count)
        found: tuple[Cost, list[tuple[Counts, Carton]]] | None = None
        for counts in product(*(range(1 if at == first else 0, count + 1) for at, count in enumerate(left))):
            carton = self._open(counts, used, scarce)
            if carton is None:
                continue
            cost = self.chooser.cost(counts, carton)
            if found and cost >= found[0]:
                continue
            now = tuple(gone + (scarce[at] is carton) for at, gone in enumerate(used))
            rest = self.divide(tuple(have - take for have, take in zip(left, counts, strict=True)), now, scarce)
            if rest and (found is None or _add(cost, rest[0]) < found[0]):
                found = _add(cost, rest[0]), [(counts, carton), *rest[1]]
        self.best[key] = found
        return found


def _scarce(chooser: Chooser, plan: list[tuple[Counts, Carton]]) -> tuple[Carton, ...]:
    """Cartons of which the plan uses more than there are."""
    return tuple(
        carton
        for carton in chooser.wanted.cartons
        if carton.in_stock is not None and sum(1 for _, used in plan if used is carton) > carton.in_stock
    )


def _cheapest(chooser: Chooser, whole: Counts, hopeful: bool) -> tuple[Cost, list[tuple[Counts, Carton]]] | None:
    """The cheapest division within stock; scarce cartons are counted only once they turn out to be scarce."""
    scarce: tuple[Carton, ...] = ()
    while True:
        found = _Division(chooser, hopeful).divide(whole, (0,) * len(scarce), scarce)
        more = _scarce(chooser, found[1]) if found else ()
        if not more:
            return found
        scarce += more


def _several_parcels(chooser: Chooser, whole: Counts, rounds: int = 400) -> tuple[list[Parcel], bool]:
    """The lazy loop; the flag says whether the answer is proved."""
    for _ in range(rounds):
        found = _cheapest(chooser, whole, hopeful=False)
        if found is None:
            return [], _cheapest(chooser, whole, hopeful=True) is None
        untried = [(counts, carton) for counts, carton in found[1] if (counts, carton.id) not in chooser.verdicts]
        if not untried:
            hoped = _cheapest(chooser, whole, hopeful=True)
            parcels = [Parcel(counts, chooser.figures_of(counts, carton), chooser.verdict(counts, carton)) for counts, carton in found[1]]
            return parcels, hoped is not None and hoped[0] >= found[0]
        for counts, carton in untried:
            if chooser.verdict(counts, carton, 12).state != FITS:
                break
    return [], False


def _divisions(whole: Counts) -> int:
    ways = 1
    for count in whole:
        ways *= (count + 1) * (count + 2) // 2
    return ways


def _proved_single(chooser: Chooser, whole: Counts, parcel: Parcel) -> bool:
    cost = chooser.cost(whole, parcel.figures.carton)
    better = [carton for carton in chooser.cartons_for(whole) if chooser.cost(whole, carton) < cost]
    return all(chooser.verdicts[(whole, carton.id)].state == NEVER for carton in better)


def choose(chooser: Chooser) -> tuple[list[Parcel], bool]:
    """Parcels for the whole order and whether they are proved the best; no parcels when nothing goes in."""
    whole = tuple(kind.count for kind in chooser.wanted.kinds)
    single = _one_parcel(chooser, whole)
    if not holds_each(chooser, whole):
        return [], True
    small = sum(whole) <= EXACT_PIECES and _divisions(whole) <= MAX_DIVISIONS
    if single and not chooser.priced:
        return single, _proved_single(chooser, whole, single[0])
    if small:
        parcels, proved = _several_parcels(chooser, whole)
        if parcels or proved:
            return parcels, proved
    return single, False


def holds_each(chooser: Chooser, whole: Counts) -> bool:
    """False when some piece is proved to go into no carton even by itself; then no division works."""
    for kind in range(len(whole)):
        single = tuple(1 if at == kind else 0 for at in range(len(whole)))
        if all(chooser.verdict(single, carton, 12).state == NEVER for carton in chooser.cartons_for(single)):
            return False
    return True
