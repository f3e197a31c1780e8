"""Where pieces need to be looked for: few places on every axis, and every packing still has a twin that uses those alone.

Push each piece that begins in the near part of an axis towards its near wall and each other towards the far one, on all three axes,
until none moves. What begins in the near part stays there, so near pieces end at sums along a chain from the near wall, far ones at sums
from the far wall: the meet-in-the-middle patterns of Côté and Iori, INFORMS Journal on Computing 30 (2018) 646-661, with gaps and walls
added. Each axis is parted where the fewest places remain.
"""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.packing.exact.exhaustive import starts
from honeyhold.packing.model.container import Effort
from honeyhold.packing.model.problem import ItemType, Sides

Row = tuple[int, int]  # a kind, and the length of a side of it along the axis
Begins = dict[Row, tuple[int, ...]]


@dataclass(frozen=True)
class Grid:
    """The places on each axis, and the points at which pieces begin: whatever overlaps, overlaps at one of them."""

    sides: Sides
    items: tuple[ItemType, ...]
    counts: tuple[int, ...]
    begins: tuple[Begins, Begins, Begins]
    points: tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]

    def orientations(self, item: int) -> list[Sides]:
        """The turns of a kind that have a place on every axis."""
        return [turn for turn in self.items[item].orientations if all(self.begins[axis][item, turn[axis]] for axis in range(3))]

    @property
    def used(self) -> list[int]:
        """The kinds of which there are any."""
        return [item for item, count in enumerate(self.counts) if count]


def _mirrored(items: tuple[ItemType, ...], counts: list[int]) -> int:
    """A kind with a single piece, which may be held to the near half on every axis: any packing can be mirrored. -1 where there is none."""
    singles = [at for at, count in enumerate(counts) if count == 1]
    return max(singles, key=lambda at: items[at].volume, default=-1)


def _parted(rows: list[Row], near: list[list[int]], items: tuple[ItemType, ...], side: int, parting: int) -> Begins:
    """Places on one axis when what begins before `parting` is pushed near."""
    found = {}
    for item, length in rows:
        wall = items[item].wall
        last = side - wall - length
        low = {at for at in near[item] if at < parting and at <= last}
        high = {side - length - at for at in near[item] if max(parting, wall) <= side - length - at}
        found[item, length] = tuple(sorted(low | high))
    return found


def _axis(items: tuple[ItemType, ...], counts: list[int], side: int, axis: int, effort: Effort) -> Begins:
    """The fewest places on one axis over where it is parted."""
    near, half = starts(items, counts, side, axis, effort), _mirrored(items, counts)
    rows = sorted({(item, turn[axis]) for item, count in enumerate(counts) if count for turn in items[item].orientations})
    ends = sorted({at for each in near for at in each if side // 3 < at})
    partings = [parting for parting in [*ends, side] if half < 0 or 2 * parting > side]  # a piece held to the near half is pushed near
    effort.spend(len(partings) * len(rows))
    found = min((_parted(rows, near, items, side, parting) for parting in partings), key=lambda begins: sum(map(len, begins.values())))
    if half >= 0:
        found.update({row: tuple(at for at in ats if 2 * at + row[1] <= side) for row, ats in found.items() if row[0] == half})
    return found


def grid_of(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> Grid:
    """The places for these pieces in this room. Raises EffortLimitReached."""
    x, y, z = (_axis(items, counts, sides[axis], axis, effort) for axis in range(3))
    points = [tuple(sorted({at for ats in begins.values() for at in ats})) for begins in (x, y, z)]
    return Grid(sides, items, tuple(counts), (x, y, z), (points[0], points[1], points[2]))
