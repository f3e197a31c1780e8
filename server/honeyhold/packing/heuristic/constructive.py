"""Finding a packing quickly: pieces are let down one by one, in several orders and by several tastes.

Whatever this finds obeys every rule of the room; that it finds nothing proves nothing (see rule_out.py).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice, product

from honeyhold.packing.model.container import Effort, Put, Room
from honeyhold.packing.model.request import Kind, Sides

Span = tuple[int, int, int, int, int, int]
Taste = Callable[[Span | None, Put], tuple[int, ...]]
Turns = tuple[tuple[Sides, ...], ...]


def span_of(room: Room, kind: int) -> Span | None:
    """The box round all pieces of a kind that are there: begin and end on x, y, z."""
    same = [put for put in room.puts if put.kind == kind]
    if not same:
        return None
    return (
        min(put.x for put in same),
        max(put.x + put.dx for put in same),
        min(put.y for put in same),
        max(put.y + put.dy for put in same),
        min(put.z for put in same),
        max(put.z + put.dz for put in same),
    )


def tidy(span: Span | None, put: Put) -> tuple[int, ...]:
    """Pieces of a kind in one steady block: no side of it, nor twice its height, longer than need be; then low, back, left."""
    _, x, y, z, dx, dy, dz = put
    if span is None:
        return max(dx, dy, 2 * dz), z, y, x, dz
    from_x, to_x, from_y, to_y, from_z, to_z = span  # asked for every place: no max, no min
    long = (x + dx if x + dx > to_x else to_x) - (x if x < from_x else from_x)
    wide = (y + dy if y + dy > to_y else to_y) - (y if y < from_y else from_y)
    high = 2 * ((z + dz if z + dz > to_z else to_z) - (z if z < from_z else from_z))
    longest = long if long > wide else wide
    return (longest if longest > high else high), z, y, x, dz


TASTES: tuple[Taste, ...] = (
    tidy,
    lambda _, put: (put.z, put.y, put.x, put.dz),
    lambda _, put: (put.z, put.x, put.y, put.dz),
    lambda _, put: (put.z + put.dz, put.y, put.x),
    lambda _, put: (put.y + put.dy, put.x + put.dx, put.z),
    lambda _, put: (put.x + put.dx, put.z, put.y),
    lambda _, put: (put.x + put.y + put.z, put.z),
    lambda _, put: (put.z + put.dz, put.x + put.dx + put.y + put.dy),
)


def _coordinates(room: Room, kind: int, size: int, axis: int) -> list[int]:
    """Where a side may begin: at the walls, beside or flush with what is there."""
    wall, gaps = room.kinds[kind].wall, room.gaps[kind]
    last = room.sides[axis] - wall - size
    if last < wall:
        return []
    found = {wall, last}
    for put in room.puts:
        start, length = ((put.x, put.dx), (put.y, put.dy))[axis]
        found.add(start)
        found.add(start + length + gaps[put.kind])
    return sorted(at for at in found if wall <= at <= last)


def _tops(room: Room, kind: int, x: int, dx: int) -> list[tuple[int, int, int]]:
    """Begin and end along y, and top, of every piece that one of this kind from x to x + dx would come to rest on; gaps included."""
    gaps, end = room.gaps[kind], x + dx
    return [
        (put.y - gap, put.y + put.dy + gap, put.z + put.dz + gap)
        for put, gap in [(put, gaps[put.kind]) for put in room.puts]
        if x < put.x + put.dx + gap and put.x < end + gap
    ]


def _best_put(room: Room, kind: int, turns: tuple[Sides, ...], taste: Taste, effort: Effort) -> Put | None:
    best: Put | None = None
    best_score: tuple[int, ...] = ()
    span, wall = span_of(room, kind), room.kinds[kind].wall
    for dx, dy, dz in turns:
        ys, highest = _coordinates(room, kind, dy, 1), room.sides[2] - wall - dz
        for x in _coordinates(room, kind, dx, 0):
            effort.spend(len(ys) * (1 + len(room.puts) // 8))
            tops = _tops(room, kind, x, dx)
            for y in ys:
                z, end = wall, y + dy
                for begin, until, top in tops:  # as Room.drop, with what does not depend on y done before
                    if top > z and y < until and begin < end:
                        z = top
                if z > highest:
                    continue
                put = Put(kind, x, y, z, dx, dy, dz)
                score = taste(span, put)
                if (best is None or score < best_score) and room.allows(put):
                    best, best_score = put, score
    return best


def let_down(room: Room, order: list[int], turns: Turns, taste: Taste, effort: Effort) -> bool:
    """Set down every piece of `order` (kind numbers) into an empty room by one taste; False at the first that finds no place."""
    for kind in order:
        put = _best_put(room, kind, turns[kind], taste, effort)
        if put is None:
            return False
        room.set_down(put)
    return True


def _orders(kinds: tuple[Kind, ...], counts: list[int]) -> list[list[int]]:
    """Orders worth trying: what must stand first, the largest first, the heaviest bearers first, kinds as given."""
    numbers = [at for at, count in enumerate(counts) if count]
    rules: list[Callable[[int], tuple[int, ...]]] = [
        lambda at: (-kinds[at].upright, -kinds[at].sides[2] * kinds[at].upright, -kinds[at].volume),
        lambda at: (-kinds[at].volume,),
        lambda at: (kinds[at].wall, kinds[at].bears_mg is not None, -kinds[at].volume),
        lambda at: (-kinds[at].chill, -kinds[at].mass_mg),
        lambda at: (kinds[at].chill, kinds[at].gap, -kinds[at].volume),
    ]
    found: list[list[int]] = []
    for rule in rules:
        order = [at for at in sorted(numbers, key=rule) for _ in range(counts[at])]
        if order not in found:
            found.append(order)
    return found


def _flat(kind: Kind, side: int) -> tuple[Sides, ...]:
    """The flattest turn with its longer side along x (0) or y (1): how a tidy hand would stack it."""
    low = min(turn[2] for turn in kind.turns)
    flat = sorted((turn for turn in kind.turns if turn[2] == low), key=lambda turn: -turn[0])
    return (flat[0] if side == 0 else flat[-1],)


def _attempts(kinds: tuple[Kind, ...], counts: list[int]) -> Iterator[tuple[list[int], Turns, Taste]]:
    """Quick attempts first: flat and tidy, every order by two tastes, then every taste, then each kind held to a single turn."""
    free: Turns = tuple(kind.turns for kind in kinds)
    orders = _orders(kinds, counts)
    for side in (0, 1):
        yield orders[0], tuple(_flat(kind, side) for kind in kinds), tidy
    for tastes in (TASTES[:2], TASTES[2:]):
        for order in orders:
            for taste in tastes:
                yield order, free, taste
    ways = 1
    for at, kind in enumerate(kinds):
        ways *= len(kind.turns) if counts[at] else 1
    if ways <= 72:
        for choice in product(*(kind.turns if counts[at] else kind.turns[:1] for at, kind in enumerate(kinds))):
            held: Turns = tuple((turn,) for turn in choice)
            for order in orders[:2]:
                for taste in TASTES[:1]:
                    yield order, held, taste


def try_out(
    sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort, attempts: int, first: int = 0
) -> list[Put] | None:
    """The first packing found among the ways of letting the pieces down from number `first` to before `attempts`, or None.

    Raises StepsUsedUp.
    """
    for order, turns, taste in islice(_attempts(kinds, counts), first, attempts):
        room = Room(sides, kinds, support)
        if let_down(room, order, turns, taste, effort):
            return room.puts
    return None
