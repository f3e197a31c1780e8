"""A search over the places of a grid: point by point, which piece covers it, or that it stays empty.

All places that are still open are the bits of one number, so that setting a piece down strikes out every place it is in the way of at once
(the formulation by positions of Beasley, "An exact two-dimensional non-guillotine cutting tree search procedure", Operations Research 33
(1985) 49-64, with one variable for all pieces of a kind). Each scale of scales.py keeps an account: what the pieces yet to come weigh at
their lightest open places, and what is left of the room, less the points that no open place covers any more. Below zero there is no
packing; and a place that weighs more than what is left over is struck out, as variables are fixed by reduced costs in integer programming.
A point is branched on that must be covered, or that the fewest places cover. Like exhaustive.py it drops support, load and cold packs at a
face: it refuses only what the full rules refuse.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from honeyhold.packing.exact.patterns import Grid, Row
from honeyhold.packing.exact.scales import Scale, reach_of, sums
from honeyhold.packing.model.container import Effort, Placement

PLACES_MAX = 16_000
POINTS_MAX = 8_000
REMEMBERED_MAX = 100_000
BITS_A_WORD = 4_000  # a number of so many bits takes twice the time of a small one
NODE_STEPS, POINTS_A_STEP = 8, 3  # what a look at everything costs, and how many points are looked at in the time of a step
Point = tuple[int, tuple[int, ...]]
"""The places that cover it, and its weight on each scale."""


@dataclass(frozen=True)
class _Levels:
    """The places of one kind by their weight on one scale, lightest first."""

    weights: tuple[int, ...]
    places: tuple[int, ...]

    def least(self, open_places: int) -> int:
        """The lightest of the open places (there is one)."""
        return next(weight for weight, places in zip(self.weights, self.places, strict=True) if places & open_places)

    def heavier(self, than: int) -> int:
        """The places that weigh more."""
        struck = 0
        for weight, places in zip(reversed(self.weights), reversed(self.places), strict=True):
            if weight <= than:
                break
            struck |= places
        return struck


class Positions:
    """One grid with its scales, made ready to be searched."""

    def __init__(self, grid: Grid, scales: list[Scale], effort: Effort) -> None:
        self.grid, self.scales, self.effort = grid, scales, effort
        self.placements = list(_puts(grid))
        effort.spend(len(self.placements) // 8)
        self.by_row = [self._by_row(axis) for axis in range(3)]
        self.in_the_way = [self._in_the_way(axis) for axis in range(3)]
        self.of_kind = [sum(bits for row, bits in self.by_row[0].items() if row[0] == item) for item in range(len(grid.items))]
        self.weights = [self._weights(scale) for scale in scales]
        self.levels = [[self._levels(weights, item) for item in range(len(grid.items))] for weights in self.weights]
        self.points = self._points()
        self.struck_by: dict[int, int] = {}
        self.failed: set[tuple[int, ...]] = set()
        self.step = 1 + len(self.placements) // BITS_A_WORD

    def _by_row(self, axis: int) -> dict[tuple[int, int, int], int]:
        """(kind, length, where it begins) to the places that have it on an axis."""
        found: dict[tuple[int, int, int], list[int]] = {}
        for at, placement in enumerate(self.placements):
            found.setdefault((placement.item, placement[4 + axis], placement[1 + axis]), []).append(at)
        return {row: sum(1 << at for at in ats) for row, ats in found.items()}

    def _in_the_way(self, axis: int) -> dict[tuple[int, int, int], int]:
        """The places that are not apart from it on an axis."""
        rows, items = self.by_row[axis], self.grid.items
        found = {}
        for item, length, begin in rows:
            struck = 0
            for (other, other_length, other_begin), bits in rows.items():
                gap = max(items[item].gap, items[other].gap)
                if begin < other_begin + other_length + gap and other_begin < begin + length + gap:
                    struck |= bits
            found[item, length, begin] = struck
        self.effort.spend(len(rows) ** 2 // 20)
        return found

    def _weights(self, scale: Scale) -> list[int]:
        """What each place weighs: the product over the axes of the points it covers."""
        spans: list[dict[tuple[int, int, int], int]] = []
        for axis in range(3):
            before = sums(scale.weights[axis])
            reach = {row: reach_of(self.grid, axis, (row[0], row[1]), row[2]) for row in self.by_row[axis]}
            spans.append({row: before[end] - before[begin] for row, (begin, end) in reach.items()})
        x, y, z = spans
        return [
            x[at.item, at.dx, at.x] * y[at.item, at.dy, at.y] * z[at.item, at.dz, at.z]
            for at in self.placements
        ]

    def _levels(self, weights: list[int], item: int) -> _Levels:
        found: dict[int, int] = {}
        for at, placement in enumerate(self.placements):
            if placement.item == item:
                found[weights[at]] = found.get(weights[at], 0) | 1 << at
        ordered = sorted(found)
        return _Levels(tuple(ordered), tuple(found[weight] for weight in ordered))

    def _points(self) -> list[Point]:
        """Every point of the grid."""
        covered: list[list[int]] = []
        for axis in range(3):
            covers = [0] * len(self.grid.points[axis])
            for (item, length, begin), bits in self.by_row[axis].items():
                row: Row = (item, length)
                for at in range(*reach_of(self.grid, axis, row, begin)):
                    covers[at] |= bits
            covered.append(covers)
        weighed = [[scale.weights[axis] for scale in self.scales] for axis in range(3)]
        return [
            (by_x & by_y & by_z, tuple(a[i] * b[j] * c[k] for a, b, c in zip(*weighed, strict=True)))
            for i, by_x in enumerate(covered[0])
            for j, by_y in enumerate(covered[1])
            for k, by_z in enumerate(covered[2])
        ]

    def points_along(self, first: int) -> list[Point]:
        """The points, plane after plane across an axis."""
        x, y, z = (range(len(points)) for points in self.grid.points)
        at = [(i, j, k) for i in x for j in y for k in z]
        return [self.points[number] for number in sorted(range(len(at)), key=lambda number: (at[number][first], number))]

    def struck(self, at: int) -> int:
        """The places that are open no more once a piece is there."""
        known = self.struck_by.get(at)
        if known is None:
            placement = self.placements[at]
            x, y, z = ((placement.item, placement[4 + axis], placement[1 + axis]) for axis in range(3))
            known = self.struck_by[at] = self.in_the_way[0][x] & self.in_the_way[1][y] & self.in_the_way[2][z]
        return known


def _puts(grid: Grid) -> Iterator[Placement]:
    for item in grid.used:
        for turn in grid.orientations(item):
            x, y, z = (grid.begins[axis][item, turn[axis]] for axis in range(3))
            yield from (Placement(item, at_x, at_y, at_z, *turn) for at_x in x for at_y in y for at_z in z)


def places_of(grid: Grid) -> int:
    """How many places there are."""
    return sum(
        len(grid.begins[0][item, x]) * len(grid.begins[1][item, y]) * len(grid.begins[2][item, z])
        for item in grid.used
        for x, y, z in grid.orientations(item)
    )


def is_searchable(grid: Grid) -> bool:
    """Whether there are few enough places and points to be kept in numbers."""
    x, y, z = grid.points
    return places_of(grid) <= PLACES_MAX and len(x) * len(y) * len(z) <= POINTS_MAX


@dataclass
class _State:
    """What is open, what is to come, and what is left of the room on each scale."""

    open_places: int
    counts: list[int]
    points: list[Point]
    left: list[int]
    over: list[int]  # `left` less what the pieces to come weigh at least


class Search:
    """Depth first: along one axis after another (`first` is the first of them), or where the choice is least (None); by some scales."""

    def __init__(self, positions: Positions, first: int | None = None, scales: int = 9) -> None:
        self.positions, self.first, self.scales = positions, first, scales

    def run(self) -> list[Placement] | None:
        """A packing, or None: there is none. Raises EffortLimitReached when the effort ends."""
        own = self.positions
        points = own.points if self.first is None else own.points_along(self.first)
        return self._deeper(
            _State((1 << len(own.placements)) - 1, list(own.grid.counts), points, [scale.room for scale in own.scales[: self.scales]], [])
        )

    def _deeper(self, state: _State) -> list[Placement] | None:
        own = self.positions
        while True:
            if not any(state.counts):
                return []
            if not self._strike_heavy(state):
                return None
            memory = state.open_places, *state.counts
            if memory in own.failed:
                return None
            point, must = self._lose(state)
            if point is None:
                break
            found = self._cover(state, point)
            if found is not None:
                return found
            if must:
                break
            state.points = [other for other in state.points if other is not point]
            state.left = [left - weight for left, weight in zip(state.left, point[1], strict=False)]
        if len(own.failed) < REMEMBERED_MAX:
            own.failed.add(memory)
        return None

    def _strike_heavy(self, state: _State) -> bool:
        """Strikes out places that weigh too much, until there are none; False when some kind has too few left."""
        before = -1
        while state.open_places != before:
            before = state.open_places
            state.over = []
            for scale in range(len(state.left)):
                if not self._strike_by(state, scale):
                    return False
        return True

    def _strike_by(self, state: _State, scale: int) -> bool:
        """By one scale."""
        own, least, over = self.positions, [], state.left[scale]
        for item, count in enumerate(state.counts):
            if count:
                mine = state.open_places & own.of_kind[item]
                if mine.bit_count() < count:
                    return False
                lightest = own.levels[scale][item].least(mine)
                least.append((item, lightest))
                over -= count * lightest
        if over < 0:
            return False
        for item, lightest in least:
            levels = own.levels[scale][item]
            if levels.weights[-1] > lightest + over:
                state.open_places &= ~levels.heavier(lightest + over)
        state.over.append(over)
        return True

    def _lose(self, state: _State) -> tuple[Point | None, bool]:
        """Takes the points that no open place covers off the account; the point to branch on, and whether it must be covered."""
        own = self.positions
        own.effort.spend((NODE_STEPS + len(state.points) // POINTS_A_STEP) * own.step)
        open_places = state.open_places
        kept = [point for point in state.points if point[0] & open_places]
        if len(kept) < len(state.points):
            lost = [weights for places, weights in state.points if not places & open_places]
            for scale in range(len(state.left)):
                weight = sum(weights[scale] for weights in lost)
                state.left[scale] -= weight
                state.over[scale] -= weight
            state.points = kept
            if min(state.over) < 0:
                return None, True
        must = [point for point in kept if any(weight > over for weight, over in zip(point[1], state.over, strict=False))]
        if self.first is not None and not must:
            return (kept[0] if kept else None), False
        return min(must or kept, key=lambda point: (point[0] & open_places).bit_count(), default=None), bool(must)

    def _cover(self, state: _State, point: Point) -> list[Placement] | None:
        """Tries each open place that covers the point, and strikes it out when it leads to nothing."""
        own, counts = self.positions, state.counts
        for at in self._in_turn(state, point[0] & state.open_places):
            item, bit = own.placements[at].item, 1 << at
            left = [left - weights[at] for left, weights in zip(state.left, own.weights, strict=False)]
            counts[item] -= 1
            still = state.open_places & ~own.struck(at)
            if not counts[item]:
                still &= ~own.of_kind[item]
            found = self._deeper(_State(still, list(counts), [other for other in state.points if not other[0] & bit], left, []))
            counts[item] += 1
            if found is not None:
                return [*found, own.placements[at]]
            state.open_places &= ~bit
        return None

    def _in_turn(self, state: _State, places: int) -> list[int]:
        """Places in the order they are tried: what takes least of what is left over first, then the largest."""
        own, found = self.positions, []
        while places:
            bit = places & -places
            places ^= bit
            at = bit.bit_length() - 1
            item = own.placements[at].item
            waste = 0.0
            for weights, levels, over in zip(own.weights, own.levels, state.over, strict=False):
                waste += (weights[at] - levels[item].weights[0]) / max(1, over)
            found.append((waste, -own.weights[0][at], at))
        return [at for _, _, at in sorted(found)]


def pushed(placements: list[Placement], grid: Grid) -> list[Placement]:
    """The same pieces let down, then pushed left and back, again and again until none moves; from the floor up."""
    items, placements, moved = grid.items, sorted(placements, key=lambda placement: placement.key), True
    while moved:
        moved = False
        for axis in (3, 1, 2):
            for at, placement in enumerate(placements):
                least = items[placement.item].wall
                for other in placements:
                    gap = max(items[placement.item].gap, items[other.item].gap)
                    if other[axis] < placement[axis] and all(
                        placement[side] < other[side] + other[side + 3] + gap and other[side] < placement[side] + placement[side + 3] + gap
                        for side in (1, 2, 3)
                        if side != axis
                    ):
                        least = max(least, other[axis] + other[axis + 3] + gap)
                if least < placement[axis]:
                    placements[at], moved = placement._replace(**{"_xyz"[axis]: least}), True
    return sorted(placements, key=lambda placement: placement.key)
