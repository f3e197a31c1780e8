"""A search over all packings, to prove that pieces cannot be in a room.

Why it is complete. Push every piece of any packing down, then left, then back, again and again, until none moves: each step lowers a
whole-number coordinate, so it ends. Now every piece stands at its wall distance or exactly one gap beyond another piece on each axis,
so its x and y are sums along a chain of pieces (Christofides and Whitlock's normal patterns, "An algorithm for two-dimensional cutting
problems", Operations Research 25 (1977), with gaps and walls added), and its z is where it comes to rest when let down at (x, y) on
the pieces that begin lower. Setting the pieces down in the order of (z, y, x) therefore meets every pushed packing exactly once.
Pushing may take away support, so this search drops support, load and cold packs at a face: it refuses only what the full rules refuse.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field

from honeyhold.packing.model.container import Container, Effort, Placement
from honeyhold.packing.model.problem import ItemType, Sides

Place = tuple[int, int, int, int, int, int, int]  # z, y, x, kind, dx, dy, dz
MAX_CHAIN_STATES = 20_000
MAX_PLACES = 60_000
PLACES_A_STEP = 12  # so many places are looked over in the time of a step
MAX_REMEMBERED = 200_000


def starts(items: tuple[ItemType, ...], counts: list[int], edge: int, axis: int, effort: Effort) -> list[list[int]]:
    """For each kind, every coordinate where a pushed piece of it may begin on an axis of length `edge`."""
    found = _chains(items, counts, edge, axis, True, effort)
    return found or _chains(items, counts, edge, axis, False, effort) or []


def _chains(items: tuple[ItemType, ...], counts: list[int], edge: int, axis: int, counted: bool, effort: Effort) -> list[list[int]] | None:
    """Chains of pieces from the wall; with `counted`, none uses more pieces than there are (None when that is too many chains)."""
    numbers = [at for at, count in enumerate(counts) if count]
    lengths = [sorted({turn[axis] for turn in item.orientations}) for item in items]
    gaps = [[max(a.gap, b.gap) for b in items] for a in items]
    found: list[set[int]] = [{item.wall} for item in items]
    left = tuple(counts[at] if counted else 1 for at in numbers)
    waiting = [(items[at].wall, at, left) for at in numbers]
    seen = set(waiting)
    while waiting:
        effort.spend(1)
        start, at, left = waiting.pop()
        place = numbers.index(at)
        after = (*left[:place], left[place] - 1, *left[place + 1 :]) if counted else left
        for length in lengths[at]:
            for following, more in zip(numbers, after, strict=True):
                begin = start + length + gaps[at][following]
                state = (begin, following, after)
                if more and items[following].wall <= begin < edge and state not in seen:
                    found[following].add(begin)
                    seen.add(state)
                    waiting.append(state)
        if counted and len(seen) > MAX_CHAIN_STATES:
            return None
    return [sorted(starting) for starting in found]


@dataclass
class _Search:
    """What stays the same, and what is remembered, through one search."""

    sides: Sides
    items: tuple[ItemType, ...]
    effort: Effort
    full: Container | None
    gaps: list[list[int]]
    own_gap: list[int] = field(default_factory=list)
    gap_most: int = 0
    gap_least: int = 0
    grown_volume: list[int] = field(default_factory=list)
    least_high: list[int] = field(default_factory=list)
    grown_room: tuple[int, int, int, int] = (0, 0, 0, 0)  # where it begins on every axis and ends on each; doubled units
    failed: set[tuple[int, ...]] = field(default_factory=set)
    placements: list[Place] = field(default_factory=list)


def _places(sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort) -> list[Place] | None:
    """Every place in the empty room, in packing order; None when there are too many to search."""
    by_x, by_y = starts(items, counts, sides[0], 0, effort), starts(items, counts, sides[1], 1, effort)
    half = _mirrored(items, counts)
    places: list[Place] = []
    for at, item in enumerate(items):
        if not counts[at]:
            continue
        for dx, dy, dz in item.orientations:
            last_x, last_y, z = sides[0] - item.wall - dx, sides[1] - item.wall - dy, item.wall
            if z + dz + item.wall > sides[2]:
                continue
            if at == half:
                last_x, last_y = min(last_x, (sides[0] - dx) // 2), min(last_y, (sides[1] - dy) // 2)
            xs = [x for x in by_x[at] if x <= last_x]
            places += [(z, y, x, at, dx, dy, dz) for y in by_y[at] if y <= last_y for x in xs]
            if len(places) > MAX_PLACES:
                return None
    return sorted(places)


def _mirrored(items: tuple[ItemType, ...], counts: list[int]) -> int:
    """A kind with a single piece, which may be held to the left back quarter: any packing can be mirrored, and pushing keeps it there."""
    singles = [at for at, count in enumerate(counts) if count == 1]
    return max(singles, key=lambda at: items[at].volume, default=-1)


def _after(search: _Search, places: list[Place], placement: Place, counts: list[int]) -> list[Place]:
    """Every place once `put` is there: raised where it would stand on `put`, and dropped when then too high.

    Places before `put` in packing order stay in the list: they can no longer be used as they are, but a later piece may raise them.
    """
    put_z, put_y, put_x, put_kind, put_dx, put_dy, put_dz = placement
    end_x, end_y, top, top_room = put_x + put_dx, put_y + put_dy, put_z + put_dz, search.sides[2]
    gaps, walls = search.gaps[put_kind], [item.wall for item in search.items]
    kept: list[Place] = []
    for place in places:
        z, y, x, item, dx, dy, dz = place
        if not counts[item]:
            continue
        gap = gaps[item]
        if x < end_x + gap and put_x < x + dx + gap and y < end_y + gap and put_y < y + dy + gap and top + gap > z:
            z = top + gap
            if z + dz + walls[item] > top_room:
                continue
            kept.append((z, y, x, item, dx, dy, dz))
        else:
            kept.append(place)
    kept.sort()
    return kept


def _too_little_room(search: _Search, from_z: int, from_y: int, counts: list[int], volume_left: int) -> bool:
    """Whether the room that is left from a place on, in packing order, is less than what is still to be packed.

    Every piece is counted with half its gap around it, in doubled units, and the room with half the least gap around. From a place on, no
    piece begins below it; and behind it no piece begins before the next height on which one may rest, so what is free there is lost.
    """
    most_gap, (near, x_1, y_1, z_1) = search.gap_most, search.grown_room
    floor, back = max(near, 2 * from_z - most_gap), 2 * from_y - most_gap
    left = [item for item, count in enumerate(counts) if count]
    next_z = from_z + min(search.least_high[item] for item in left)
    next_z = min([next_z, *(wall for item in left if (wall := search.items[item].wall) > from_z)])
    for z, _, _, _, _, _, dz in search.placements:
        top = z + dz + search.gap_least
        if from_z < top < next_z:
            next_z = top
    ceiling = min(z_1, 2 * next_z - most_gap)
    free = (x_1 - near) * (y_1 - near) * (z_1 - floor)
    behind = max(0, back - near) * max(0, ceiling - floor) * (x_1 - near)
    for z, y, _, item, dx, dy, dz in search.placements:
        gap = search.own_gap[item]
        wide, begin, end = 2 * dx + 2 * gap, 2 * z - gap, 2 * (z + dz) + gap
        above = end - (begin if begin > floor else floor)
        if above <= 0:
            continue
        free -= wide * (2 * dy + 2 * gap) * above
        deep = min(2 * (y + dy) + gap, back) - (2 * y - gap)
        high = min(end, ceiling) - max(begin, floor)
        if deep > 0 and high > 0:
            behind -= wide * deep * high
    return free - max(0, behind) < volume_left


def _keep(search: _Search, place: Place) -> bool:
    """With the full rules: set the piece down if they allow it."""
    if search.full is None:
        return True
    z, y, x, item, dx, dy, dz = place
    placement = Placement(item, x, y, z, dx, dy, dz)
    if not search.full.allows(placement):
        return False
    search.full.set_down(placement)
    return True


def _deeper(search: _Search, places: list[Place], last: Place, counts: list[int], volume_left: int) -> bool:
    """Try every place after `last` in turn as the next in packing order."""
    if not volume_left:
        return True
    search.effort.spend(1)
    begin = bisect_right(places, last)
    memory = (hash(tuple(places)), len(places), begin, *counts)
    if memory in search.failed:
        return False
    level = (-1, -1)
    for at in range(begin, len(places)):
        placement = places[at]
        if placement[:2] != level:
            level = placement[:2]
            search.effort.spend(1)
            if _too_little_room(search, placement[0], placement[1], counts, volume_left):
                break  # nor is there room from any later place on
        item = placement[3]
        if not _keep(search, placement):
            continue
        search.effort.spend(len(places) // PLACES_A_STEP + 1)
        search.placements.append(placement)
        counts[item] -= 1
        found = _deeper(search, _after(search, places, placement, counts), placement, counts, volume_left - search.grown_volume[item])
        counts[item] += 1
        if found:
            return True
        search.placements.pop()
        if search.full is not None:
            search.full.take_up()
    if search.full is None and len(search.failed) < MAX_REMEMBERED:
        search.failed.add(memory)
    return False


def _grow(search: _Search, counts: list[int]) -> None:
    """Sets what `_too_little_room` measures with."""
    used = [item for item, count in zip(search.items, counts, strict=True) if count]
    search.own_gap = [item.gap for item in search.items]
    search.gap_most, search.gap_least = max(item.gap for item in used), min(item.gap for item in used)
    search.least_high = [min(turn[2] for turn in item.orientations) for item in search.items]
    search.grown_volume = [8 * (a + item.gap) * (b + item.gap) * (c + item.gap) for item in search.items for a, b, c in [item.sides]]
    near = min(2 * item.wall - item.gap for item in used)
    search.grown_room = near, 2 * search.sides[0] - near, 2 * search.sides[1] - near, 2 * search.sides[2] - near


def search_all(
    sides: Sides, items: tuple[ItemType, ...], counts: list[int], effort: Effort, full_rules: bool = False
) -> list[Placement] | None:
    """A packing, or None when there is none. Raises EffortLimitReached when the effort ends first, or with too many places to search.

    Without `full_rules` None is a proof that the pieces cannot be in the room; with them it only says that no pushed packing
    obeys every rule.
    """
    places = _places(sides, items, counts, effort)
    if places is None:
        effort.spend(effort.left + 1)
        return None
    room = Container(sides, items, True) if full_rules else None
    gaps = [[max(a.gap, b.gap) for b in items] for a in items]
    search = _Search(sides, items, effort, room, gaps)
    _grow(search, counts)
    volume = sum(each * count for each, count in zip(search.grown_volume, counts, strict=True))
    if not _deeper(search, places, (-1, 0, 0, 0, 0, 0, 0), list(counts), volume):
        return None
    return [Placement(item, x, y, z, dx, dy, dz) for z, y, x, item, dx, dy, dz in search.placements]
