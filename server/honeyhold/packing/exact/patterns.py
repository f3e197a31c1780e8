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
from honeyhold.packing.model.request import Kind, Sides

Row = tuple[int, int]  # a kind, and the length of a side of it along the axis
Begins = dict[Row, tuple[int, ...]]


@dataclass(frozen=True)
class Grid:
    """The places on each axis, and the points at which pieces begin: whatever overlaps, overlaps at one of them."""

    sides: Sides
    kinds: tuple[Kind, ...]
    counts: tuple[int, ...]
    begins: tuple[Begins, Begins, Begins]
    points: tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]

    def turns(self, kind: int) -> list[Sides]:
        """The turns of a kind that have a place on every axis."""
        return [turn for turn in self.kinds[kind].turns if all(self.begins[axis][kind, turn[axis]] for axis in range(3))]

    @property
    def used(self) -> list[int]:
        """The kinds of which there are any."""
        return [kind for kind, count in enumerate(self.counts) if count]


def _mirrored(kinds: tuple[Kind, ...], counts: list[int]) -> int:
    """A kind with a single piece, which may be held to the near half on every axis: any packing can be mirrored. -1 where there is none."""
    singles = [at for at, count in enumerate(counts) if count == 1]
    return max(singles, key=lambda at: kinds[at].volume, default=-1)


def _parted(rows: list[Row], near: list[list[int]], kinds: tuple[Kind, ...], side: int, parting: int) -> Begins:
    """Places on one axis when what begins before `parting` is pushed near."""
    found = {}
    for kind, length in rows:
        wall = kinds[kind].wall
        last = side - wall - length
        low = {at for at in near[kind] if at < parting and at <= last}
        high = {side - length - at for at in near[kind] if max(parting, wall) <= side - length - at}
        found[kind, length] = tuple(sorted(low | high))
    return found


def _axis(kinds: tuple[Kind, ...], counts: list[int], side: int, axis: int, effort: Effort) -> Begins:
    """The fewest places on one axis over where it is parted."""
    near, half = starts(kinds, counts, side, axis, effort), _mirrored(kinds, counts)
    rows = sorted({(kind, turn[axis]) for kind, count in enumerate(counts) if count for turn in kinds[kind].turns})
    ends = sorted({at for each in near for at in each if side // 3 < at})
    partings = [parting for parting in [*ends, side] if half < 0 or 2 * parting > side]  # a piece held to the near half is pushed near
    effort.spend(len(partings) * len(rows))
    found = min((_parted(rows, near, kinds, side, parting) for parting in partings), key=lambda begins: sum(map(len, begins.values())))
    if half >= 0:
        found.update({row: tuple(at for at in ats if 2 * at + row[1] <= side) for row, ats in found.items() if row[0] == half})
    return found


def grid_of(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort) -> Grid:
    """The places for these pieces in this room. Raises StepsUsedUp."""
    x, y, z = (_axis(kinds, counts, sides[axis], axis, effort) for axis in range(3))
    points = [tuple(sorted({at for ats in begins.values() for at in ats})) for begins in (x, y, z)]
    return Grid(sides, kinds, tuple(counts), (x, y, z), (points[0], points[1], points[2]))
