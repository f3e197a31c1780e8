"""Reasons why pieces cannot be in a room, found without searching.

Each bound holds for bare geometry (walls and gaps kept, support and load forgotten), so it holds under the full rules.
The growing of pieces by their gaps and the weighing functions are those of Fekete and Schepers, "A general framework for bounds
for higher-dimensional orthogonal packing problems", Mathematical Methods of Operations Research 60 (2004): a function that never
overfills a line of length L turns sides into weights, and the product of the weights may not overfill the room.
"""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.packing.model.problem import ItemType, Sides

EDGE_REACHED_MAX = 20_000  # units: a longer edge, in finer units, would take too long
FILE_KINDS_MAX = 10
"""Beyond so many kinds the sets to look at are too many for a bound that is asked at every turn."""


def fits_alone(item: ItemType, sides: Sides) -> bool:
    """Whether one piece can be in the empty room in any of its turns."""
    return any(all(side + 2 * item.wall <= room for side, room in zip(turn, sides, strict=True)) for turn in item.orientations)


@dataclass(frozen=True)
class _Grown:
    """A kind with each side grown by its gap (doubled units, so half a gap is whole)."""

    orientations: tuple[Sides, ...]
    count: int
    inset: int  # twice (wall - gap / 2)


def _grown(items: tuple[ItemType, ...], counts: list[int], sides: Sides) -> list[_Grown]:
    grown = []
    for item, count in zip(items, counts, strict=True):
        if count:
            orientations = tuple(
                (2 * (dx + item.gap), 2 * (dy + item.gap), 2 * (dz + item.gap))
                for dx, dy, dz in item.orientations
                if all(side + 2 * item.wall <= room for side, room in zip((dx, dy, dz), sides, strict=True))
            )
            grown.append(_Grown(orientations, count, 2 * item.wall - item.gap))
    return grown


def _weight(side: int, room: int, cut: int, whole: int) -> tuple[int, int]:
    """A side's weight and the room's, by one weighing function: `cut` 0 keeps lengths; `whole` > 0 counts how many fit; else rounds.

    With cut e: longer than room - e weighs the whole room, shorter than e nothing. With whole k: floor((k + 1) side / room) unless exact.
    """
    if whole:
        times = (whole + 1) * side
        return (side * whole, room * whole) if times % room == 0 else (times // room * room, room * whole)
    if cut:
        return (room if side > room - cut else 0 if side < cut else side), room
    return side, room


def _choices(room: int, lengths: set[int]) -> list[tuple[int, int]]:
    """Weighing functions worth trying on one axis: the length itself, cuts at the sides seen, and counting by 1 to 4"""
    cuts = sorted(cut for cut in lengths | {room - length + 1 for length in lengths if length < room} if cut * 2 <= room)
    return [
        (0, 0),
        *((cut, 0) for cut in cuts[:4]),
        *((0, whole) for whole in range(1, 5)),
    ]


def _overfilled(grown: list[_Grown], room: Sides) -> bool:
    """Whether some product of weighing functions overfills the room."""
    lengths = {side for piece in grown for turn in piece.orientations for side in turn}
    if any(edge <= 0 for edge in room):
        return True
    weighed = [
        [{length: _weight(length, edge, cut, whole) for length in lengths} for cut, whole in _choices(edge, lengths)] for edge in room
    ]
    for by_x in weighed[0]:
        for by_y in weighed[1]:
            for by_z in weighed[2]:
                some = next(iter(lengths))
                limit = by_x[some][1] * by_y[some][1] * by_z[some][1]
                total = 0
                for piece in grown:
                    total += piece.count * min(by_x[dx][0] * by_y[dy][0] * by_z[dz][0] for dx, dy, dz in piece.orientations)
                if total > limit:
                    return True
    return False


def reached(grown: list[_Grown], room: Sides) -> Sides:
    """The part of each edge that rows of these pieces can reach: pushed together they leave the rest empty, so it may be cut off."""
    return _reach(grown, room[0], 0), _reach(grown, room[1], 1), _reach(grown, room[2], 2)


def _reach(grown: list[_Grown], edge: int, axis: int) -> int:
    """The longest row of pieces, each with any of its sides along the axis, that is no longer than the edge."""
    if not 0 < edge <= EDGE_REACHED_MAX:
        return edge
    sums = 1  # bit n: a row of length n
    most = (1 << (edge + 1)) - 1
    for piece in grown:
        lengths = {turn[axis] for turn in piece.orientations}
        for _ in range(min(piece.count, edge // min(lengths))):
            longer = sums
            for length in lengths:
                longer |= sums << length & most
            if longer == sums:
                break
            sums = longer
    return sums.bit_length() - 1


def _only_apart_along(items: tuple[ItemType, ...], used: list[int], sides: Sides, axis: int) -> set[tuple[int, int]]:
    """Pairs of kinds of which two pieces can be beside one another along `axis` only: along both other axes they are too long together."""
    across = [other for other in range(3) if other != axis]
    least = {at: [min(turn[axis] for turn in items[at].orientations) for axis in range(3)] for at in used}
    pairs = set()
    for at, one in enumerate(used):
        for other in used[at:]:
            gap, walls = max(items[one].gap, items[other].gap), items[one].wall + items[other].wall
            if all(least[one][side] + gap + least[other][side] + walls > sides[side] for side in across):
                pairs.add((one, other))
    return pairs


def too_long_in_file(items: tuple[ItemType, ...], counts: list[int], sides: Sides) -> bool:
    """Whether some pieces must stand in single file, any two of them, and the file is longer than the room.

    Two pieces are apart along at least one axis. Where the two other axes are too short for any pair of a set, all of the set stand one
    behind the other along the third: their least lengths, the gaps between them (the larger of two neighbours; least when sorted) and the
    walls at both ends must go into it. A one-dimensional projection in the sense of Fekete and Schepers.
    """
    used = [at for at, count in enumerate(counts) if count]
    if len(used) > FILE_KINDS_MAX:
        return False
    for axis in range(3):
        pairs = _only_apart_along(items, used, sides, axis)
        for chosen in _cliques(used, pairs):
            pieces = [(at, counts[at] if (at, at) in pairs else 1) for at in chosen]
            if _file_length(items, pieces, axis) > sides[axis]:
                return True
    return False


def _cliques(used: list[int], pairs: set[tuple[int, int]]) -> list[tuple[int, ...]]:
    """Sets of kinds in which any two are a pair; a kind by itself when two of it are."""
    found: list[tuple[int, ...]] = [(at,) for at in used]
    waiting = list(found)
    while waiting:
        chosen = waiting.pop()
        for at in used:
            if at > chosen[-1] and all((one, at) in pairs for one in chosen):
                waiting.append((*chosen, at))
                found.append((*chosen, at))
    return found


def _file_length(items: tuple[ItemType, ...], pieces: list[tuple[int, int]], axis: int) -> int:
    """The least length of these pieces in single file along an axis, gaps and both end walls included."""
    length = sum(count * min(turn[axis] for turn in items[at].orientations) for at, count in pieces)
    gaps = sorted(items[at].gap for at, count in pieces for _ in range(count))
    walls = sorted(items[at].wall for at, count in pieces for _ in range(min(2, count)))
    return length + sum(gaps[1:]) + walls[0] + walls[min(1, len(walls) - 1)]


def cannot_be(items: tuple[ItemType, ...], counts: list[int], sides: Sides) -> bool:
    """True when the pieces provably cannot all be in the room. False says nothing.

    Pieces are grown by half their gap on every side; a piece then stays wall - gap / 2 away from the faces, so for each such inset the
    pieces that keep at least that much must be in the room less the inset.
    """
    grown = _grown(items, counts, sides)
    if any(not piece.orientations for piece in grown) or too_long_in_file(items, counts, sides):
        return True
    for inset in sorted({piece.inset for piece in grown}):
        kept = [piece for piece in grown if piece.inset >= inset]
        room = (2 * sides[0] - 2 * inset, 2 * sides[1] - 2 * inset, 2 * sides[2] - 2 * inset)
        if _overfilled(kept, reached(kept, room)):
            return True
    return False
