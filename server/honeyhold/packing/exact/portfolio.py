"""Several ways of searching the places one after the other, short ones first: what one way sees late, another sees early.

A portfolio in the sense of Huberman, Lukose and Hogg, "An economics approach to hard computational problems", Science 275 (1997) 51-54.
"""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.packing.exact.patterns import grid_of
from honeyhold.packing.exact.positions import Positions, Search, is_searchable, pushed
from honeyhold.packing.exact.scales import scales_of
from honeyhold.packing.model.container import Effort, EffortLimitReached, Placement
from honeyhold.packing.model.problem import ItemType, Sides

Way = tuple[int | None, int]
"""Along which axis first (None: where the choice is least), and by how many scales."""
ALL = 9
SHORT: tuple[Way, ...] = ((None, ALL), (2, 1), (0, 1), (1, 1), (None, 1), (2, ALL))
LONG: Way = (None, ALL)
SHORT_PART = 16  # of the effort that is there for each short way


@dataclass
class Places:
    """What is known of one room and its pieces: that they outweigh it, or the places to search, or neither where those are too many."""

    overfilled: bool = False
    positions: Positions | None = None

    def look_about(self, effort: Effort) -> list[Placement] | None:
        """The short ways. A packing; None where there is none. Raises EffortLimitReached."""
        steps = max(1, effort.left // SHORT_PART)
        for way in SHORT:
            try:
                return self._look(way, Effort(min(steps, effort.left)), effort)
            except EffortLimitReached:
                continue
        raise EffortLimitReached

    def look_long(self, effort: Effort) -> list[Placement] | None:
        """The one way to the end of the effort."""
        return self._look(LONG, Effort(effort.left), effort)

    def _look(self, way: Way, part: Effort, whole: Effort) -> list[Placement] | None:
        if self.positions is None:
            raise EffortLimitReached
        self.positions.effort = part
        try:
            found = Search(self.positions, *way).run()
        finally:
            whole.settle(part)
        return None if found is None else pushed(found, self.positions.grid)


def places_in(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> Places:
    """The scales, and the places where there are not too many. Raises EffortLimitReached."""
    grid = grid_of(sides, items, counts, effort)
    scales = scales_of(grid, effort)
    if scales and scales[0].overfills:
        return Places(overfilled=True)
    return Places(positions=Positions(grid, scales, effort)) if scales and is_searchable(grid) else Places()
