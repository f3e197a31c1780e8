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

from honeyhold.packing.model.container import Effort, Put, Room
from honeyhold.packing.model.request import Kind, Sides

Place = tuple[int, int, int, int, int, int, int]  # z, y, x, kind, dx, dy, dz
MAX_CHAIN_STATES = 20_000
MAX_PLACES = 60_000
PLACES_A_STEP = 12  # so many places are looked over in the time of a step
MAX_REMEMBERED = 200_000


def starts(kinds: tuple[Kind, ...], counts: list[int], edge: int, axis: int, effort: Effort) -> list[list[int]]:
    """For each kind, every coordinate where a pushed piece of it may begin on an axis of length `edge`."""
    found = _chains(kinds, counts, edge, axis, True, effort)
    return found or _chains(kinds, counts, edge, axis, False, effort) or []


def _chains(kinds: tuple[Kind, ...], counts: list[int], edge: int, axis: int, counted: bool, effort: Effort) -> list[list[int]] | None:
    """Chains of pieces from the wall; with `counted`, none uses more pieces than there are (None when that is too many chains)."""
    numbers = [at for at, count in enumerate(counts) if count]
    lengths = [sorted({turn[axis] for turn in kind.turns}) for kind in kinds]
    gaps = [[max(a.gap, b.gap) for b in kinds] for a in kinds]
    found: list[set[int]] = [{kind.wall} for kind in kinds]
    left = tuple(counts[at] if counted else 1 for at in numbers)
    waiting = [(kinds[at].wall, at, left) for at in numbers]
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
                if more and kinds[following].wall <= begin < edge and state not in seen:
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
    kinds: tuple[Kind, ...]
    effort: Effort
    full: Room | None
    gaps: list[list[int]]
    own_gap: list[int] = field(default_factory=list)
    gap_most: int = 0
    gap_least: int = 0
    grown_volume: list[int] = field(default_factory=list)
    least_high: list[int] = field(default_factory=list)
    grown_room: tuple[int, int, int, int] = (0, 0, 0, 0)  # where it begins on every axis and ends on each; doubled units
    failed: set[tuple[int, ...]] = field(default_factory=set)
    puts: list[Place] = field(default_factory=list)


def _places(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort) -> list[Place] | None:
    """Every place in the empty room, in packing order; None when there are too many to search."""
    by_x, by_y = starts(kinds, counts, sides[0], 0, effort), starts(kinds, counts, sides[1], 1, effort)
    half = _mirrored(kinds, counts)
    places: list[Place] = []
    for at, kind in enumerate(kinds):
        if not counts[at]:
            continue
        for dx, dy, dz in kind.turns:
            last_x, last_y, z = sides[0] - kind.wall - dx, sides[1] - kind.wall - dy, kind.wall
            if z + dz + kind.wall > sides[2]:
                continue
            if at == half:
                last_x, last_y = min(last_x, (sides[0] - dx) // 2), min(last_y, (sides[1] - dy) // 2)
            xs = [x for x in by_x[at] if x <= last_x]
            places += [(z, y, x, at, dx, dy, dz) for y in by_y[at] if y <= last_y for x in xs]
            if len(places) > MAX_PLACES:
                return None
    return sorted(places)


def _mirrored(kinds: tuple[Kind, ...], counts: list[int]) -> int:
    """A kind with a single piece, which may be held to the left back quarter: any packing can be mirrored, and pushing keeps it there."""
    singles = [at for at, count in enumerate(counts) if count == 1]
    return max(singles, key=lambda at: kinds[at].volume, default=-1)


def _after(search: _Search, places: list[Place], put: Place, counts: list[int]) -> list[Place]:
    """Every place once `put` is there: raised where it would stand on `put`, and dropped when then too high.

    Places before `put` in packing order stay in the list: they can no longer be used as they are, but a later piece may raise them.
    """
    put_z, put_y, put_x, put_kind, put_dx, put_dy, put_dz = put
    end_x, end_y, top, top_room = put_x + put_dx, put_y + put_dy, put_z + put_dz, search.sides[2]
    gaps, walls = search.gaps[put_kind], [kind.wall for kind in search.kinds]
    kept: list[Place] = []
    for place in places:
        z, y, x, kind, dx, dy, dz = place
        if not counts[kind]:
            continue
        gap = gaps[kind]
        if x < end_x + gap and put_x < x + dx + gap and y < end_y + gap and put_y < y + dy + gap and top + gap > z:
            z = top + gap
            if z + dz + walls[kind] > top_room:
                continue
            kept.append((z, y, x, kind, dx, dy, dz))
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
    left = [kind for kind, count in enumerate(counts) if count]
    next_z = from_z + min(search.least_high[kind] for kind in left)
    next_z = min([next_z, *(wall for kind in left if (wall := search.kinds[kind].wall) > from_z)])
    for z, _, _, _, _, _, dz in search.puts:
        top = z + dz + search.gap_least
        if from_z < top < next_z:
            next_z = top
    ceiling = min(z_1, 2 * next_z - most_gap)
    free = (x_1 - near) * (y_1 - near) * (z_1 - floor)
    behind = max(0, back - near) * max(0, ceiling - floor) * (x_1 - near)
    for z, y, _, kind, dx, dy, dz in search.puts:
        gap = search.own_gap[kind]
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
    z, y, x, kind, dx, dy, dz = place
    put = Put(kind, x, y, z, dx, dy, dz)
    if not search.full.allows(put):
        return False
    search.full.set_down(put)
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
        put = places[at]
        if put[:2] != level:
            level = put[:2]
            search.effort.spend(1)
            if _too_little_room(search, put[0], put[1], counts, volume_left):
                break  # nor is there room from any later place on
        kind = put[3]
        if not _keep(search, put):
            continue
        search.effort.spend(len(places) // PLACES_A_STEP + 1)
        search.puts.append(put)
        counts[kind] -= 1
        found = _deeper(search, _after(search, places, put, counts), put, counts, volume_left - search.grown_volume[kind])
        counts[kind] += 1
        if found:
            return True
        search.puts.pop()
        if search.full is not None:
            search.full.take_up()
    if search.full is None and len(search.failed) < MAX_REMEMBERED:
        search.failed.add(memory)
    return False


def _grow(search: _Search, counts: list[int]) -> None:
    """Sets what `_too_little_room` measures with."""
    used = [kind for kind, count in zip(search.kinds, counts, strict=True) if count]
    search.own_gap = [kind.gap for kind in search.kinds]
    search.gap_most, search.gap_least = max(kind.gap for kind in used), min(kind.gap for kind in used)
    search.least_high = [min(turn[2] for turn in kind.turns) for kind in search.kinds]
    search.grown_volume = [8 * (a + kind.gap) * (b + kind.gap) * (c + kind.gap) for kind in search.kinds for a, b, c in [kind.sides]]
    near = min(2 * kind.wall - kind.gap for kind in used)
    search.grown_room = near, 2 * search.sides[0] - near, 2 * search.sides[1] - near, 2 * search.sides[2] - near


def search_all(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], effort: Effort, full_rules: bool = False) -> list[Put] | None:
    """A packing, or None when there is none. Raises StepsUsedUp when the effort ends first (also when there are too many places to search).

    Without `full_rules` None is a proof that the pieces cannot be in the room; with them it only says that no pushed packing
    obeys every rule.
    """
    places = _places(sides, kinds, counts, effort)
    if places is None:
        effort.spend(effort.left + 1)
        return None
    room = Room(sides, kinds, True) if full_rules else None
    gaps = [[max(a.gap, b.gap) for b in kinds] for a in kinds]
    search = _Search(sides, kinds, effort, room, gaps)
    _grow(search, counts)
    volume = sum(each * count for each, count in zip(search.grown_volume, counts, strict=True))
    if not _deeper(search, places, (-1, 0, 0, 0, 0, 0, 0), list(counts), volume):
        return None
    return [Put(kind, x, y, z, dx, dy, dz) for z, y, x, kind, dx, dy, dz in search.puts]
