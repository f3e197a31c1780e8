"""Blocks: several pieces set together so closely that they can be handled as one box.

Two sorts. A plain block is nx by ny by nz pieces of one kind, all turned alike. A joined block is two blocks side by side or one on the
other that together fill at least 98 % of the box round them; its flat top is only as large as what is carried all over. The idea of
such blocks is that of Fanslau and Bortfeldt, "A tree search algorithm for solving the container loading problem", INFORMS Journal on
Computing 22 (2010). Sides are grown: each piece's own and the gap it keeps to the next.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from typing import NamedTuple

from honeyhold.packing.model.container import Effort
from honeyhold.packing.model.problem import Sides

FULL_PERCENT = 98
ROUNDS = 3

Need = tuple[tuple[int, int], ...]
"""Kind and how many of it, by rising kind."""


class Goods(NamedTuple):
    """A kind as the block search knows it: grown turns, how many may stand on one another, and whether others may stand on it."""

    orientations: tuple[Sides, ...]
    most_high: int
    open_top: bool


class Grid(NamedTuple):
    """nx by ny by nz pieces of one kind, its corner at (x, y, z) within the block."""

    item: int
    x: int
    y: int
    z: int
    turn: Sides
    nx: int
    ny: int
    nz: int


class Block(NamedTuple):
    """A box of pieces. `top_x` by `top_y`, from the block's own corner, is its flat top; 0 when nothing may stand on it."""

    dx: int
    dy: int
    dz: int
    volume: int
    top_x: int
    top_y: int
    need: Need
    grids: tuple[Grid, ...]


def _numbers(most: int, few: int) -> list[int]:
    """How many in a row: every number up to `few`, beyond that ever rarer, and the most."""
    found = list(range(1, min(most, few) + 1))
    while found and found[-1] < most:
        found.append(min(most, found[-1] * 5 // 4 + 1))
    return found


def _plain_of_turn(item: int, count: int, goods: Goods, turn: Sides, room: Sides, few: int) -> Iterator[Block]:
    dx, dy, dz = turn
    for nx in _numbers(min(count, room[0] // dx), few):
        for ny in _numbers(min(count // nx, room[1] // dy), few):
            for nz in _numbers(min(count // (nx * ny), room[2] // dz, goods.most_high), few):
                number = nx * ny * nz
                long, wide = nx * dx, ny * dy
                top = (long, wide) if goods.open_top else (0, 0)
                yield Block(long, wide, nz * dz, number * dx * dy * dz, *top, ((item, number),), (Grid(item, 0, 0, 0, turn, nx, ny, nz),))


def plain_blocks(goods: tuple[Goods, ...], counts: list[int], room: Sides, most: int) -> list[Block]:
    """Blocks of one kind; where there would be more than about `most`, long rows are thinned out."""
    orientations = [(item, turn) for item, count in enumerate(counts) if count for turn in goods[item].orientations]
    found: list[Block] = []
    for item, turn in orientations:
        few = 40
        blocks: list[Block] = []
        while few:
            blocks = []
            for block in _plain_of_turn(item, counts[item], goods[item], turn, room, few):
                blocks.append(block)
                if len(blocks) * len(orientations) > most and few > 4:
                    break
            else:
                break
            few = few * 2 // 3
        found += blocks
    return found


def _together(one: Need, other: Need, counts: list[int]) -> Need | None:
    """What two blocks need together; None when there are not so many."""
    need = dict(one)
    for item, number in other:
        need[item] = need.get(item, 0) + number
        if need[item] > counts[item]:
            return None
    return tuple(sorted(need.items()))


def _joined(one: Block, other: Block, axis: int, counts: list[int], room: Sides) -> Block | None:
    """`other` right of (0), before (1) or on (2) `one`; None when it leaves holes, is too large or needs too many pieces."""
    if axis == 2:
        dx, dy, dz = one.dx, one.dy, one.dz + other.dz
        top_x, top_y = other.top_x, other.top_y
    elif axis == 1:
        dx, dy, dz = max(one.dx, other.dx), one.dy + other.dy, one.dz
        top_x, top_y = min(one.top_x, other.top_x), one.dy + other.top_y
    else:
        dx, dy, dz = one.dx + other.dx, max(one.dy, other.dy), one.dz
        top_x, top_y = one.dx + other.top_x, min(one.top_y, other.top_y)
    volume = one.volume + other.volume
    if dx > room[0] or dy > room[1] or dz > room[2] or volume * 100 < dx * dy * dz * FULL_PERCENT:
        return None
    need = _together(one.need, other.need, counts)
    if need is None:
        return None
    x, y, z = (one.dx, 0, 0) if axis == 0 else (0, one.dy, 0) if axis == 1 else (0, 0, one.dz)
    beside = tuple(Grid(grid.item, grid.x + x, grid.y + y, grid.z + z, *grid[4:]) for grid in other.grids)
    return Block(dx, dy, dz, volume, top_x, top_y, need, one.grids + beside)


class _Row(NamedTuple):
    """Blocks by rising length along one axis, with those lengths."""

    lengths: list[int]
    blocks: list[Block]

    def nearly(self, length: int) -> list[Block]:
        """Blocks so little shorter than a length that they may fill it, or of that length."""
        least = length * FULL_PERCENT // 100
        return self.blocks[bisect_left(self.lengths, least) : bisect_left(self.lengths, length + 1)]


def _rows(blocks: list[Block], axis: int) -> dict[int, _Row]:
    """By height, the blocks by rising length along an axis."""
    levels: dict[int, list[Block]] = {}
    for block in sorted(blocks, key=lambda block: block[:2][axis]):
        levels.setdefault(block.dz, []).append(block)
    return {high: _Row([block[:2][axis] for block in level], level) for high, level in levels.items()}


def _partners(new: list[Block], blocks: list[Block]) -> Iterator[tuple[Block, Block, int]]:
    """Pairs worth joining: level ones side by side and nearly as wide, and what nearly covers a top. The larger stands first."""
    by_x = sorted(blocks, key=lambda block: block.dx)
    upon = _Row([block.dx for block in by_x], by_x)
    flat = [block for block in blocks if block.top_x == block.dx and block.top_y == block.dy]
    across = (_rows(flat, 1), _rows(flat, 0))
    for one in new:
        for axis, rows in enumerate(across):
            if one.top_x == one.dx and one.top_y == one.dy:
                for other in rows[one.dz].nearly(one[:2][1 - axis]):
                    yield one, other, axis
        for other in upon.nearly(one.top_x) if one.top_x else ():
            if one.top_y * FULL_PERCENT <= other.dy * 100 and other.dy <= one.top_y:
                yield one, other, 2


def build_blocks(goods: tuple[Goods, ...], counts: list[int], room: Sides, most: tuple[int, int], effort: Effort) -> list[Block]:
    """About so many plain blocks, and joined ones until there are so many in all; the largest first. Raises EffortLimitReached."""
    blocks = plain_blocks(goods, counts, room, most[0])
    effort.spend(len(blocks))
    seen = {(block[:3], block.need) for block in blocks}
    new = blocks
    for _ in range(ROUNDS if len(blocks) < most[1] else 0):
        fresh: list[Block] = []
        for one, other, axis in _partners(new, blocks):
            effort.spend(1)
            block = _joined(one, other, axis, counts, room)
            if block and (block[:3], block.need) not in seen:
                seen.add((block[:3], block.need))
                fresh.append(block)
                if len(blocks) + len(fresh) >= most[1]:
                    break
        blocks, new = blocks + fresh, fresh
        if len(blocks) >= most[1] or not fresh:
            break
    return sorted(blocks, key=lambda block: (-block.volume, block[:3], block.need))
