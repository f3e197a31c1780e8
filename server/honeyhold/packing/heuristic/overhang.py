"""Filling a room where less than the whole of a base need be carried: a place then reaches out over what is lower than it.

A place is as large a rectangle as there is without anything higher, and a block may stand on it whose pieces each find enough of their
base on tops of just that height. A packing with whole bases (fill.py) obeys these rules too, and is quicker found, since there are fewer
places: so this is asked second.
"""

from __future__ import annotations

from honeyhold.packing.heuristic.beam_search import Filler, Laid, Start, State
from honeyhold.packing.heuristic.blocks import Block
from honeyhold.packing.heuristic.surface import Place, Rect, corner_of, cut, less, meet, place_at, reached, top_of, within
from honeyhold.packing.model.container import Effort

MASSES_A_STEP = 4


def _masses(filler: OverhangFiller, laid: Laid | None) -> list[tuple[Rect, Rect, int]]:
    """Of every block laid: where it reaches on the floor plan, its flat top, and how high."""
    found = []
    ground = filler.start.ground
    while laid:
        before, block, place = laid
        x, y = corner_of(ground, place, block)
        found.append(((x, y, x + block.dx, y + block.dy), top_of(ground, place, block, x, y), place.z + block.dz))
        laid = before
    return found


def _area_on(rect: Rect, tops: list[Rect]) -> int:
    """How much of a rectangle lies on tops that do not overlap one another."""
    wide = [(min(rect[2], top[2]) - max(rect[0], top[0]), min(rect[3], top[3]) - max(rect[1], top[1])) for top in tops]
    return sum(long * deep for long, deep in wide if long > 0 and deep > 0)


class OverhangFiller(Filler):
    """A search with at least `percent` of every base carried."""

    def __init__(self, start: Start, effort: Effort, percent: int) -> None:
        super().__init__(start, effort)
        self.percent = percent

    def stands(self, state: State, place: Place, block: Block) -> bool:
        """Whether every piece at the block's bottom is carried enough by tops of the place's height."""
        if not place.z or not self.percent:
            return True
        tops = [top for _, top, high in _masses(self, state.laid) if high == place.z]
        self.effort.spend(1 + len(tops) // MASSES_A_STEP)
        x, y = corner_of(self.start.ground, place, block)
        whole = (x, y, x + block.dx, y + block.dy)
        if any(within(whole, top) for top in tops):
            return True
        return all(
            _area_on(base, tops) * 100 >= self.percent * (base[2] - base[0]) * (base[3] - base[1])
            for base in self._bases(place, block, x, y)
        )

    def _bases(self, place: Place, block: Block, x: int, y: int) -> list[Rect]:
        """The base of each piece at the bottom of a block with its corner at (x, y)."""
        long, wide, _ = self.start.ground.sides
        far_x, far_y = place.x > long - place.end_x, place.y > wide - place.end_y
        found = []
        for grid in block.grids:
            dx, dy, _ = grid.turn
            left = x + (block.dx - grid.x - grid.nx * dx if far_x else grid.x)
            back = y + (block.dy - grid.y - grid.ny * dy if far_y else grid.y)
            for at in range(grid.nx * grid.ny if grid.z == 0 else 0):
                begin_x, begin_y = left + at % grid.nx * dx, back + at // grid.nx * dy
                found.append((begin_x, begin_y, begin_x + dx, begin_y + dy))
        return found

    def covered(self, state: State, place: Place, block: Block) -> tuple[list[Place], list[Place]]:
        """As on carried places, but the new top reaches out as far as nothing is higher."""
        ground = self.start.ground
        x, y = corner_of(ground, place, block)
        taken, high = (x, y, x + block.dx, y + block.dy), place.z + block.dz
        kept, struck = reached(state.places, taken, high)
        idle = reached(state.idle, taken, high)[0]
        found = kept + cut(ground, kept, struck, taken)
        if block.top_x and ground.sides[2] - high >= ground.least[2]:
            found += self._reaching_out(state, top_of(ground, place, block, x, y), high, found)
        return found, idle

    def _reaching_out(self, state: State, top: Rect, high: int, known: list[Place]) -> list[Place]:
        ground = self.start.ground
        higher = [rect for rect, _, its in _masses(self, state.laid) if its > high]
        self.effort.spend(1 + len(higher))
        level = [place[4:8] for place in known if place[8] == high]
        wide = less([(0, 0, ground.sides[0], ground.sides[1])], higher, ground.least)
        return [place_at(ground, *rect, high) for rect in wide if meet(rect, top) and not any(within(rect, other) for other in level)]


def fill_overhanging(start: Start, effort: Effort, percent: int) -> State:
    """The fullest packing found in which at least so much of every base is carried; none of the pieces may have a gap or a load limit."""
    return OverhangFiller(start, effort, percent).run()
