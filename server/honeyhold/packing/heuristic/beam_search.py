"""Filling a room with blocks, as full as can be: a greedy hand, and a beam search that looks ahead with it.

The place nearest to a corner is taken; blocks are ranked by their volume times the share of the place that can still be filled beside,
before and above them, judged by the lengths that rows of the remaining pieces reach. The beam keeps the few packings whose greedy
completion is fullest, block by block, and begins again twice as wide as long as effort is left (Araya and Riff, "A beam search approach
to the container loading problem", Computers & Operations Research 43 (2014)). Everything is whole numbers and counted steps: the same
answer on every device, and never a worse one with more effort.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from honeyhold.packing.heuristic.blocks import Block, Goods, Need, build_blocks
from honeyhold.packing.heuristic.subset_sums import Reach
from honeyhold.packing.heuristic.surface import Ground, Place, corner_of, cover
from honeyhold.packing.model.container import Effort, EffortLimitReached, Placement
from honeyhold.packing.model.problem import Sides

KEPT = 150
"""Of the blocks ranked for a place, so many are remembered."""
PLACES_REMEMBERED = 6000
ROWS_A_STEP, PLACES_A_STEP = 16, 6
WIDEST = 1024
QUICK = (600, 0, (1, 2, 4))
"""First: how many plain blocks, how many with the joined ones, and how widely to look."""
PLAIN_MOST, ALL_MOST = 2400, 3000


class Laid(NamedTuple):
    """A block where it was laid, after `before`."""

    before: Laid | None
    block: Block
    place: Place


@dataclass
class State:
    """A room partly filled."""

    places: list[Place]
    idle: list[Place]
    left: list[int]
    volume: int
    laid: Laid | None
    end: State | None = None  # where the greedy hand comes to from here


class Start(NamedTuple):
    """The room's ground, what may be put there and the places at the beginning."""

    ground: Ground
    goods: tuple[Goods, ...]
    counts: list[int]
    places: list[Place]


def _enough(need: Need, left: list[int]) -> bool:
    return all(left[item] >= number for item, number in need)


class Stock:
    """The blocks, ranked for places of any size."""

    def __init__(self, start: Start, blocks: list[Block], effort: Effort) -> None:
        self.blocks, self.effort = blocks, effort
        self._rows = [(block.dx, block.dy, block.dz, block.volume, at) for at, block in enumerate(blocks)]
        self._ragged = {at: block.dx * block.dy - block.top_x * block.top_y for at, block in enumerate(blocks)}
        rows = [(goods.orientations, count) for goods, count in zip(start.goods, start.counts, strict=True) if count]
        self._reach = [
            Reach([({turn[axis] for turn in orientations}, count) for orientations, count in rows], side)
            for axis, side in enumerate(start.ground.sides)
        ]
        self._known: dict[Sides, list[Block]] = {}

    def ranked(self, long: int, wide: int, high: int) -> Iterator[Block]:
        """Blocks that go into a free box, the best first. Raises EffortLimitReached."""
        free = (self._reach[0].under(long), self._reach[1].under(wide), self._reach[2].under(high))
        known = self._known.get(free)
        if known is None:
            if len(self._known) >= PLACES_REMEMBERED:
                self._known.clear()
            known = self._known[free] = self._rank(free, KEPT)
        yield from known
        if len(known) == KEPT:
            yield from self._rank(free, len(self.blocks))[KEPT:]

    def _rank(self, free: Sides, most: int) -> list[Block]:
        self.effort.spend(1 + len(self._rows) // ROWS_A_STEP)
        long, wide, high = free
        fitting = [row for row in self._rows if row[0] <= long and row[1] <= wide and row[2] <= high]
        along = [{side: side + self._reach[axis].under(free[axis] - side) for side in {row[axis] for row in fitting}} for axis in range(3)]
        by_x, by_y, by_z = along
        ragged = self._ragged
        ranked = [(volume * (by_x[dx] * by_y[dy] * by_z[dz] - ragged[at] * (by_z[dz] - dz)), -at) for dx, dy, dz, volume, at in fitting]
        ranked.sort(reverse=True)
        return [self.blocks[-less_at] for _, less_at in ranked[:most]]


class Filler:
    """One search: the fullest packing so far is `best`."""

    def __init__(self, start: Start, effort: Effort) -> None:
        self.start, self.effort = start, effort
        volumes = [dx * dy * dz for (dx, dy, dz), *_ in (goods.orientations for goods in start.goods)]
        self.whole = sum(volume * count for volume, count in zip(volumes, start.counts, strict=True))
        self.best = State(start.places, [], start.counts, 0, None)
        self.truncated = False

    def _choices(self, stock: Stock, state: State, most: int) -> tuple[Place | None, list[Block]]:
        """The next place with the best blocks for it; places on which nothing fits any more become idle."""
        high = self.start.ground.sides[2]
        while state.places:
            place = min(state.places)
            self.effort.spend(1)
            found = []
            for block in stock.ranked(place.end_x - place.x, place.end_y - place.y, high - place.z):
                if _enough(block.need, state.left) and self.stands(state, place, block):
                    found.append(block)
                    if len(found) == most:
                        self.truncated = True
                        break
            if found:
                return place, found
            state.places = [other for other in state.places if other is not place]
            state.idle = [*state.idle, place]
        return None, []

    def _with(self, state: State, place: Place, block: Block) -> State:
        self.effort.spend(2 + len(state.places) // PLACES_A_STEP)
        left = list(state.left)
        for item, number in block.need:
            left[item] -= number
        places, idle = self.covered(state, place, block)
        return State(places, idle, left, state.volume + block.volume, Laid(state.laid, block, place))

    def stands(self, state: State, place: Place, block: Block) -> bool:
        """Whether a block may stand on a place that it fits: always, where places are carried all over."""
        return True

    def covered(self, state: State, place: Place, block: Block) -> tuple[list[Place], list[Place]]:
        """The places and idle places once a block is laid."""
        return cover(self.start.ground, state.places, state.idle, place, block)

    def _completed(self, stock: Stock, state: State) -> State:
        """The state the greedy hand ends in, kept if it is the fullest."""
        state = State(state.places, state.idle, state.left, state.volume, state.laid)
        while True:
            place, blocks = self._choices(stock, state, 1)
            if place is None:
                break
            state = self._with(state, place, blocks[0])
        if state.volume > self.best.volume:
            self.best = state
        return state

    def done(self) -> bool:
        """Whether every piece is in."""
        return self.best.volume == self.whole

    def beam(self, stock: Stock, width: int) -> None:
        """Block by block, the `width` packings whose greedy ends are fullest. Raises EffortLimitReached."""
        start = self.start
        states = [State(start.places, [], start.counts, 0, None)]
        while states and not self.done():
            following: list[State] = []
            for state in states:
                place, blocks = self._choices(stock, state, width)
                for at, block in enumerate(blocks):
                    assert place is not None
                    after = self._with(state, place, block)
                    after.end = state.end if at == 0 and state.end else self._completed(stock, after)
                    following.append(after)
                    if self.done():
                        return
            states = _fullest(following, width)

    def run(self) -> State:
        """Plain blocks narrowly, then all blocks ever more widely, until everything is in, nothing is left to try or the effort ends."""
        try:
            for plain, most, widths in (QUICK, (PLAIN_MOST, ALL_MOST, _doubling(2))):
                blocks = build_blocks(self.start.goods, self.start.counts, self.start.ground.sides, (plain, most), self.effort)
                stock = Stock(self.start, blocks, self.effort)
                for width in widths:
                    self.truncated = False
                    self.beam(stock, width)
                    if self.done() or not self.truncated:
                        break
        except EffortLimitReached:
            pass
        return self.best


def _doubling(width: int) -> Iterator[int]:
    while width <= WIDEST:
        yield width
        width *= 2


def _fullest(states: list[State], width: int) -> list[State]:
    """The states with the fullest ends; two that end alike count once."""
    kept: list[State] = []
    seen: set[tuple[int, int]] = set()
    for state in sorted(states, key=lambda state: -state.end.volume if state.end else 0):
        alike = (state.end.volume if state.end else 0, state.volume)
        if alike not in seen:
            seen.add(alike)
            kept.append(state)
        if len(kept) == width:
            break
    return kept


def _unpacked(ground: Ground, laid: Laid) -> Iterator[Placement]:
    """The pieces of one block; it lies mirrored where its corner is the place's far one."""
    place, block = laid.place, laid.block
    corner_x, corner_y = corner_of(ground, place, block)
    far_x, far_y = place.x > ground.sides[0] - place.end_x, place.y > ground.sides[1] - place.end_y
    for item, x, y, z, (dx, dy, dz), nx, ny, nz in block.grids:
        left = corner_x + (block.dx - x - nx * dx if far_x else x)
        back = corner_y + (block.dy - y - ny * dy if far_y else y)
        for at in range(nx * ny * nz):
            across, up = at % (nx * ny), at // (nx * ny)
            yield Placement(item, left + across % nx * dx, back + across // nx * dy, place.z + z + up * dz, dx, dy, dz)


def laid_in(state: State) -> list[Laid]:
    """The blocks of a packing, the last first."""
    found: list[Laid] = []
    laid = state.laid
    while laid:
        found.append(laid)
        laid = laid.before
    return found


def boxes_of(ground: Ground, state: State) -> list[Placement]:
    """Every piece of a packing in its grown sides, from the floor up."""
    found = [box for laid in laid_in(state) for box in _unpacked(ground, laid)]
    return sorted(found, key=lambda box: box.key)


def fill(start: Start, effort: Effort) -> State:
    """The fullest packing found within the effort."""
    return Filler(start, effort).run()
