"""Weights on the points of a grid under which the pieces outweigh the room, or nearly: the strongest bounds known here.

Give every point of each axis a weight. Pieces that are apart cover different points (a piece covers from where it begins up to its own
gap beyond its end), so the products of the weights over what they cover add up to no more than the whole room's. A piece weighs at least
what its lightest place does. So where the lightest places of all pieces outweigh the room, they cannot be in it, whatever the weights:
conservative scales (Fekete and Schepers, Mathematical Methods of Operations Research 60 (2004) 311-329), found here instead of guessed.

With two axes weighed, the best weights for the third follow from a linear programme over rows of pieces, the bar relaxation of
Scheithauer ("LP-based bounds for the container and multi-container loading problem", International Transactions in Operational Research 6
(1999) 199-213): the worth of each length is sought, rows that are worth too much are added one by one, and a point weighs what the most
valuable row gains there. Axis after axis is weighed anew until nothing is gained. Weights are whole numbers, so a proof is exact
however the programme rounded.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from honeyhold.packing.exact.patterns import Grid, Row
from honeyhold.packing.exact.simplex import maximize
from honeyhold.packing.model.container import Effort

FINENESS = 10_000  # of the whole numbers that weights are rounded to
ROUNDS, ROWS_MAX = 2, 12
LEAST_GAIN = 1e-4
LENGTH_STEPS = 4  # what the best row costs for each length, measured in steps of the searches
SCALES_MAX = 3  # beside the volume
Weights = tuple[list[int], list[int], list[int]]


@dataclass(frozen=True)
class Scale:
    """Weights of the points on each axis, what all pieces weigh at least, and what the room weighs."""

    weights: Weights
    need: int
    room: int

    @property
    def overfills(self) -> bool:
        """Whether the pieces outweigh the room: a proof that they cannot be in it."""
        return self.need > self.room

    @property
    def tightness(self) -> float:
        """Need over room."""
        return self.need / max(1, self.room)


def reach_of(grid: Grid, axis: int, row: Row, begin: int) -> tuple[int, int]:
    """The points that a piece covers: from which, and up to which."""
    points, end = grid.points[axis], begin + row[1] + grid.items[row[0]].gap
    return bisect_left(points, begin), bisect_left(points, end)


def sums(weights: list[int]) -> list[int]:
    """Of all weights before each point."""
    found = [0]
    for weight in weights:
        found.append(found[-1] + weight)
    return found


def _lightest(grid: Grid, axis: int, weights: list[int]) -> dict[Row, int]:
    """What each length weighs at its lightest place."""
    before = sums(weights)
    return {
        row: min((before[end] - before[begin] for begin, end in (reach_of(grid, axis, row, at) for at in ats)), default=0)
        for row, ats in grid.begins[axis].items()
    }


def weigh(grid: Grid, weights: Weights) -> Scale | None:
    """The scale of these weights; None where nothing weighs anything. A kind without a place outweighs every room."""
    x, y, z = (_lightest(grid, axis, weights[axis]) for axis in range(3))
    room = sum(weights[0]) * sum(weights[1]) * sum(weights[2])
    least = {
        item: min((x[item, a] * y[item, b] * z[item, c] for a, b, c in grid.orientations(item)), default=room + 1) for item in grid.used
    }
    need = sum(grid.counts[item] * each for item, each in least.items())
    return Scale(weights, need, room) if room or need else None


def volume(grid: Grid) -> Weights:
    """Every point weighs its distance to the next: the volume, each piece rounded up to where another may begin."""
    near = min(grid.items[item].wall for item in grid.used)
    over = min(grid.items[item].gap for item in grid.used) - near
    x, y, z = ([b - a for a, b in zip(at, [*at[1:], side + over], strict=False)] for at, side in zip(grid.points, grid.sides, strict=True))
    return x, y, z


def _best_row(grid: Grid, axis: int, worth: dict[Row, float]) -> tuple[list[float], dict[Row, int]]:
    """The most that a row of pieces is worth before each point, and the row that is worth most."""
    ending: list[list[tuple[int, Row]]] = [[] for _ in range(len(grid.points[axis]) + 1)]
    for row, ats in grid.begins[axis].items():
        if worth[row] > 0:
            for begin, end in (reach_of(grid, axis, row, at) for at in ats):
                ending[end].append((begin, row))
    most, last = [0.0], [None]  # type: tuple[list[float], list[tuple[int, Row] | None]]
    for here in ending[1:]:
        best: tuple[float, tuple[int, Row] | None] = most[-1], None
        for begin, row in here:
            if most[begin] + worth[row] > best[0] + 1e-12:
                best = most[begin] + worth[row], (begin, row)
        most.append(best[0])
        last.append(best[1])
    return most, _row_behind(last)


def _row_behind(last: list[tuple[int, Row] | None]) -> dict[Row, int]:
    """How often each length is in the row that ends at the far wall."""
    found: dict[Row, int] = {}
    at = len(last) - 1
    while at > 0:
        step = last[at]
        at = step[0] if step else at - 1
        if step:
            found[step[1]] = found.get(step[1], 0) + 1
    return found


def _programme(grid: Grid, axis: int, weights: Weights) -> tuple[list[Row], list[list[float]], list[float]]:
    """A worth for each length and one for each kind: no kind is worth more than any of its turns, no single length more than 1."""
    lengths = sorted(grid.begins[axis])
    others = [other for other in range(3) if other != axis]
    light = {other: _lightest(grid, other, weights[other]) for other in others}
    scale = {other: max(1, sum(weights[other])) for other in others}
    rows: list[list[float]] = []
    for at, item in enumerate(grid.used):
        least: dict[int, float] = {}
        for turn in grid.orientations(item):
            across = 1.0
            for other in others:
                across *= light[other][item, turn[other]] / scale[other]
            least[turn[axis]] = min(across, least.get(turn[axis], across))
        for length, across in least.items():
            row = [0.0] * (len(lengths) + len(grid.used))
            row[len(lengths) + at], row[lengths.index((item, length))] = 1.0, -across
            rows.append(row)
    single = [[float(at == own) for at in range(len(lengths) + len(grid.used))] for own in range(len(lengths))]
    return lengths, [*rows, *single], [*[0.0] * len(rows), *[1.0] * len(lengths)]


def _weigh_anew(grid: Grid, axis: int, weights: Weights, effort: Effort) -> list[int]:
    """The best weights for one axis, the others as they are."""
    lengths, rows, limits = _programme(grid, axis, weights)
    worth = [*[0.0] * len(lengths), *(float(grid.counts[item]) for item in grid.used)]
    best: tuple[float, list[float]] = 0.0, []
    for _ in range(ROWS_MAX):
        effort.spend(LENGTH_STEPS * len(lengths))
        found = maximize(worth, rows, limits, effort)
        most, row = _best_row(grid, axis, {length: max(0.0, each) for length, each in zip(lengths, found, strict=False)})
        value = sum(one * other for one, other in zip(worth, found, strict=True)) / max(most[-1], 1e-9)
        if value > best[0]:
            best = value, most
        if most[-1] <= 1 + 1e-6:
            break
        rows.append([*(float(row.get(length, 0)) for length in lengths), *[0.0] * len(grid.used)])
        limits.append(1.0)
    if not best[1] or best[1][-1] <= 1e-9:
        return weights[axis]
    whole = [int(FINENESS * each / best[1][-1] + 0.5) for each in best[1]]
    return [after - before for before, after in zip(whole, whole[1:], strict=False)]


def _improved(grid: Grid, weights: Weights, effort: Effort) -> Scale | None:
    """Axis after axis weighed anew, until nothing is gained or the room is overfilled."""
    best = weigh(grid, weights)
    for _ in range(ROUNDS):
        before = best.tightness if best else 0.0
        for axis in (2, 0, 1):
            tried = list(weights)
            tried[axis] = _weigh_anew(grid, axis, weights, effort)
            weights = tried[0], tried[1], tried[2]
            best = max((scale for scale in (best, weigh(grid, weights)) if scale), key=lambda scale: scale.tightness, default=None)
            if best and best.overfills:
                return best
        if best is None or best.tightness < before + LEAST_GAIN:
            break
    return best


def _beginnings(grid: Grid) -> list[Weights]:
    """The volume; and the volume with one axis weighed at its middle alone, so that only what lies across it counts."""
    whole = volume(grid)
    found = [whole]
    for axis in range(3):
        points, weights = grid.points[axis], list(whole)
        middle = max(0, bisect_right(points, grid.sides[axis] // 2) - 1)
        weights[axis] = [int(at == middle) for at in range(len(points))]
        found.append((weights[0], weights[1], weights[2]))
    return found


def scales_of(grid: Grid, effort: Effort) -> list[Scale]:
    """The volume and the tightest scales; a single one where it proves that the pieces cannot be in the room. Raises EffortLimitReached."""
    plain = weigh(grid, volume(grid))
    if plain and plain.overfills:
        return [plain]
    found: list[Scale] = []
    for weights in _beginnings(grid):
        scale = _improved(grid, weights, effort)
        if scale and scale.overfills:
            return [scale]
        if scale and all(scale.weights != other.weights for other in found):
            found.append(scale)
    found.sort(key=lambda scale: -scale.tightness)
    return [*([plain] if plain else []), *(scale for scale in found if plain is None or scale.weights != plain.weights)][: 1 + SCALES_MAX]
