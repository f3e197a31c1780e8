"""Finding a packing quickly: pieces are let down one by one, in several orders and by several tastes.

Whatever this finds obeys every rule of the room; that it finds nothing proves nothing (see rule_out.py).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import product

from honeyhold.bench.room import Effort, Put, Room
from honeyhold.bench.wanted import Kind, Sides

Taste = Callable[[Room, Put], tuple[int, ...]]
Turns = tuple[tuple[Sides, ...], ...]


def tidy(room: Room, put: Put) -> tuple[int, ...]:
    """Pieces of a kind in one close block: the least sum of sides round all of them, then low, back, left."""
    x, y, z, end_x, end_y, end_z = put.x, put.y, put.z, put.x + put.dx, put.y + put.dy, put.z + put.dz
    for other in room.puts:
        if other.kind == put.kind:
            x, y, z = min(x, other.x), min(y, other.y), min(z, other.z)
            end_x, end_y, end_z = (
                max(end_x, other.x + other.dx),
                max(end_y, other.y + other.dy),
                max(end_z, other.z + other.dz),
            )
    return end_x - x + end_y - y + end_z - z, put.z, put.y, put.x, put.dz


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


def _best_put(room: Room, kind: int, turns: tuple[Sides, ...], taste: Taste, effort: Effort) -> Put | None:
    best: Put | None = None
    best_score: tuple[int, ...] = ()
    for dx, dy, dz in turns:
        ys = _coordinates(room, kind, dy, 1)
        for x in _coordinates(room, kind, dx, 0):
            effort.spend(len(ys))
            for y in ys:
                put = Put(kind, x, y, room.drop(kind, x, y, dx, dy), dx, dy, dz)
                score = taste(room, put)
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


def _attempts(kinds: tuple[Kind, ...], counts: list[int]) -> Iterator[tuple[list[int], Turns, Taste]]:
    """Quick attempts first: every order by two tastes, then every taste, then each kind held to a single turn."""
    free: Turns = tuple(kind.turns for kind in kinds)
    orders = _orders(kinds, counts)
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


def try_out(sides: Sides, kinds: tuple[Kind, ...], counts: list[int], support: bool, effort: Effort, attempts: int) -> list[Put] | None:
    """The first packing found among at most `attempts` ways of letting the pieces down, or None. Raises StepsUsedUp."""
    for number, (order, turns, taste) in enumerate(_attempts(kinds, counts)):
        if number >= attempts:
            break
        room = Room(sides, kinds, support)
        if let_down(room, order, turns, taste, effort):
            return room.puts
    return None
