"""Which lengths rows of pieces can reach along one axis, and so how much of a free length must stay empty."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable

MOST_SUMS = 3000


def _sums(lengths: Iterable[tuple[set[int], int]], room: int) -> list[int] | None:
    """Every length up to the room that rows of the pieces add up to; None when there are too many to bother."""
    found = {0}
    for sides, count in lengths:
        edge = found
        for _ in range(count):
            edge = {known + side for known in edge for side in sides if known + side <= room} - found
            if not edge:
                break
            found = found | edge
            if len(found) > MOST_SUMS:
                return None
    return sorted(found)


class Reach:
    """Lengths that rows of pieces reach, each (sides a piece may turn to the axis, how many pieces) given once."""

    def __init__(self, lengths: Iterable[tuple[set[int], int]], room: int) -> None:
        self._sums = _sums(lengths, room)
        self._known: dict[int, int] = {}

    def under(self, length: int) -> int:
        """The longest row that goes into a length; the length itself when nearly every length is reached."""
        if self._sums is None:
            return length
        if length not in self._known:
            self._known[length] = self._sums[bisect_right(self._sums, length) - 1]
        return self._known[length]
