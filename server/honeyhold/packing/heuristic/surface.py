"""The surface of what has been packed so far: the flat places on which the next block may stand.

Everything goes straight down from above, so a place is a rectangle of one height, carried all over and open to the top: the floor, or
the top of a block, or level tops side by side. Places overlap; each is as large as it can be. What stands on a place is carried over its
whole base. (Where pieces keep a gap, a place begins with the gap already counted, and may reach over lower ones: a block takes from
every place that it meets below its top.)
"""

from __future__ import annotations

from typing import NamedTuple

from honeyhold.packing.heuristic.blocks import Block
from honeyhold.packing.model.problem import Sides

Rect = tuple[int, int, int, int]
"""Left, back, right and front end on the floor plan."""


class Place(NamedTuple):
    """A level rectangle. The first four order places: the nearest to an upper-open corner of the room first, then the roomiest."""

    near: int
    middle: int
    far: int
    less_room: int
    x: int
    y: int
    end_x: int
    end_y: int
    z: int


class Ground(NamedTuple):
    """The room's sides and the least sides of any piece; what is smaller than that is no place."""

    sides: Sides
    least: Sides


def place_at(ground: Ground, x: int, y: int, end_x: int, end_y: int, z: int) -> Place:
    """A place with its distances to the nearest corner of the floor."""
    long, wide, high = ground.sides
    near, middle, far = sorted((min(x, long - end_x), min(y, wide - end_y), z))
    return Place(near, middle, far, -(end_x - x) * (end_y - y) * (high - z), x, y, end_x, end_y, z)


def within(inner: Rect, outer: Rect) -> bool:
    """Whether one rectangle lies in another."""
    return outer[0] <= inner[0] and outer[1] <= inner[1] and outer[2] >= inner[2] and outer[3] >= inner[3]


def widest(rects: list[Rect]) -> list[Rect]:
    """Each rectangle once, without those that lie in another."""
    once = list(dict.fromkeys(rects))
    return [rect for rect in once if not any(other is not rect and within(rect, other) for other in once)]


def around(rect: Rect, taken: Rect, least: Sides) -> list[Rect]:
    """What is left of a rectangle beside the part taken, in up to four overlapping rectangles as large as can be."""
    x, y, end_x, end_y = rect
    left, back, right, front = taken
    found = []
    if left - x >= least[0]:
        found.append((x, y, left, end_y))
    if end_x - right >= least[0]:
        found.append((right, y, end_x, end_y))
    if back - y >= least[1]:
        found.append((x, y, end_x, back))
    if end_y - front >= least[1]:
        found.append((x, front, end_x, end_y))
    return found


def meet(one: Rect, other: Rect) -> bool:
    """Whether two rectangles share more than an edge."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def less(rects: list[Rect], taken: list[Rect], least: Sides) -> list[Rect]:
    """Rectangles as large as can be in what is left of `rects` without any of `taken`."""
    for hole in taken:
        cut: list[Rect] = []
        for rect in rects:
            cut += around(rect, hole, least) if meet(rect, hole) else [rect]
        rects = widest(cut)
    return rects


def _bridged(top: Rect, level: Rect) -> list[Rect]:
    """A top and a level neighbour that touches it, taken as one place as far as both reach."""
    found = []
    back, front = max(top[1], level[1]), min(top[3], level[3])
    if back < front and (top[0] == level[2] or top[2] == level[0]):
        found.append((min(top[0], level[0]), back, max(top[2], level[2]), front))
    left, right = max(top[0], level[0]), min(top[2], level[2])
    if left < right and (top[1] == level[3] or top[3] == level[1]):
        found.append((left, min(top[1], level[1]), right, max(top[3], level[3])))
    return found


def corner_of(ground: Ground, place: Place, block: Block) -> tuple[int, int]:
    """Where a block's corner comes: at that corner of the place which is nearest to a corner of the room."""
    long, wide, _ = ground.sides
    x = place.x if place.x <= long - place.end_x else place.end_x - block.dx
    y = place.y if place.y <= wide - place.end_y else place.end_y - block.dy
    return x, y


def top_of(ground: Ground, place: Place, block: Block, x: int, y: int) -> Rect:
    """The block's flat top; the block lies mirrored where its corner is the place's far one."""
    left = x if place.x <= ground.sides[0] - place.end_x else x + block.dx - block.top_x
    back = y if place.y <= ground.sides[1] - place.end_y else y + block.dy - block.top_y
    return left, back, left + block.top_x, back + block.top_y


def reached(places: list[Place], taken: Rect, top: int) -> tuple[list[Place], list[Place]]:
    """Places that a block over `taken` up to `top` leaves alone, and those it takes something of."""
    x, y, end_x, end_y = taken
    free: list[Place] = []
    struck: list[Place] = []
    for place in places:
        apart = place[8] >= top or place[4] >= end_x or x >= place[6] or place[5] >= end_y or y >= place[7]
        (free if apart else struck).append(place)
    return free, struck


def cut(ground: Ground, kept: list[Place], struck: list[Place], taken: Rect) -> list[Place]:
    """What is left of the places struck, without what lies in a place of that height that was kept."""
    levels: dict[int, list[Rect]] = {}
    for place in struck:
        levels.setdefault(place[8], []).extend(around(place[4:8], taken, ground.least))
    found = []
    for z, rects in levels.items():
        level = [place[4:8] for place in kept if place[8] == z]
        found += [place_at(ground, *rect, z) for rect in widest(rects) if not any(within(rect, other) for other in level)]
    return found


def _tops(ground: Ground, kept: list[Place], idle: list[Place], top: Rect, z: int) -> tuple[list[Place], list[Place]]:
    """A new top, joined with the level places that touch it; and the places kept without those that it swallows."""
    tops = [top]
    for other in (*kept, *idle):
        if other[8] == z:
            tops += [rect for known in tops for rect in _bridged(known, other[4:8])]
    if len(tops) > 1:
        tops = widest(tops)
        kept = [other for other in kept if other[8] != z or not any(within(other[4:8], rect) for rect in tops)]
    return [place_at(ground, *rect, z) for rect in tops], kept


def cover(ground: Ground, places: list[Place], idle: list[Place], place: Place, block: Block) -> tuple[list[Place], list[Place]]:
    """The places and the idle ones once a block stands on `place`; on an idle place nothing fits unless a level top joins it."""
    x, y = corner_of(ground, place, block)
    top = place.z + block.dz
    taken = (x, y, x + block.dx, y + block.dy)
    kept, struck = reached(places, taken, top)
    idle = reached(idle, taken, top)[0]
    found = cut(ground, kept, struck, taken)
    if block.top_x and ground.sides[2] - top >= ground.least[2]:
        tops, kept = _tops(ground, kept, idle, top_of(ground, place, block, x, y), top)
        found += tops
    return kept + found, idle
