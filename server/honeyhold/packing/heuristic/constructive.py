"""Finding a packing quickly: pieces are let down one by one, in several orders and by several tastes.

Whatever this finds obeys every rule of the room; that it finds nothing proves nothing (see rule_out.py).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import islice, product

from honeyhold.packing.model.container import Container, Effort, Placement
from honeyhold.packing.model.problem import ItemType, Sides

Span = tuple[int, int, int, int, int, int]
Taste = Callable[[Span | None, Placement], tuple[int, ...]]
Turns = tuple[tuple[Sides, ...], ...]


def span_of(room: Container, item: int) -> Span | None:
    """The box round all pieces of a kind that are there: begin and end on x, y, z."""
    same = [placement for placement in room.placements if placement.item == item]
    if not same:
        return None
    return (
        min(placement.x for placement in same),
        max(placement.x + placement.dx for placement in same),
        min(placement.y for placement in same),
        max(placement.y + placement.dy for placement in same),
        min(placement.z for placement in same),
        max(placement.z + placement.dz for placement in same),
    )


def tidy(span: Span | None, placement: Placement) -> tuple[int, ...]:
    """Pieces of a kind in one steady block: no side of it, nor twice its height, longer than need be; then low, back, left."""
    _, x, y, z, dx, dy, dz = placement
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
    lambda _, placement: (placement.z, placement.y, placement.x, placement.dz),
    lambda _, placement: (placement.z, placement.x, placement.y, placement.dz),
    lambda _, placement: (placement.z + placement.dz, placement.y, placement.x),
    lambda _, placement: (placement.y + placement.dy, placement.x + placement.dx, placement.z),
    lambda _, placement: (placement.x + placement.dx, placement.z, placement.y),
    lambda _, placement: (placement.x + placement.y + placement.z, placement.z),
    lambda _, placement: (placement.z + placement.dz, placement.x + placement.dx + placement.y + placement.dy),
)


def _coordinates(room: Container, item: int, size: int, axis: int) -> list[int]:
    """Where a side may begin: at the walls, beside or flush with what is there."""
    wall, gaps = room.items[item].wall, room.gaps[item]
    last = room.sides[axis] - wall - size
    if last < wall:
        return []
    found = {wall, last}
    for placement in room.placements:
        start, length = ((placement.x, placement.dx), (placement.y, placement.dy))[axis]
        found.add(start)
        found.add(start + length + gaps[placement.item])
    return sorted(at for at in found if wall <= at <= last)


def _tops(room: Container, item: int, x: int, dx: int) -> list[tuple[int, int, int]]:
    """Begin and end along y, and top, of every piece that one of this kind from x to x + dx would come to rest on; gaps included."""
    gaps, end = room.gaps[item], x + dx
    return [
        (placement.y - gap, placement.y + placement.dy + gap, placement.z + placement.dz + gap)
        for placement, gap in [(placement, gaps[placement.item]) for placement in room.placements]
        if x < placement.x + placement.dx + gap and placement.x < end + gap
    ]


def _best_put(room: Container, item: int, orientations: tuple[Sides, ...], taste: Taste, effort: Effort) -> Placement | None:
    best: Placement | None = None
    best_score: tuple[int, ...] = ()
    span, wall = span_of(room, item), room.items[item].wall
    for dx, dy, dz in orientations:
        ys, highest = _coordinates(room, item, dy, 1), room.sides[2] - wall - dz
        for x in _coordinates(room, item, dx, 0):
            effort.spend(len(ys) * (1 + len(room.placements) // 8))
            tops = _tops(room, item, x, dx)
            for y in ys:
                z, end = wall, y + dy
                for begin, until, top in tops:  # as Container.drop, with what does not depend on y done before
                    if top > z and y < until and begin < end:
                        z = top
                if z > highest:
                    continue
                placement = Placement(item, x, y, z, dx, dy, dz)
                score = taste(span, placement)
                if (best is None or score < best_score) and room.allows(placement):
                    best, best_score = placement, score
    return best


def let_down(room: Container, order: list[int], orientations: Turns, taste: Taste, effort: Effort) -> bool:
    """Set down every piece of `order` (kind numbers) into an empty room by one taste; False at the first that finds no place."""
    for item in order:
        placement = _best_put(room, item, orientations[item], taste, effort)
        if placement is None:
            return False
        room.set_down(placement)
    return True


def _orders(items: tuple[ItemType, ...], counts: list[int]) -> list[list[int]]:
    """Orders worth trying: what must stand first, the largest first, the heaviest bearers first, kinds as given."""
    numbers = [at for at, count in enumerate(counts) if count]
    rules: list[Callable[[int], tuple[int, ...]]] = [
        lambda at: (-items[at].upright, -items[at].sides[2] * items[at].upright, -items[at].volume),
        lambda at: (-items[at].volume,),
        lambda at: (items[at].wall, items[at].bears_mg is not None, -items[at].volume),
        lambda at: (-items[at].chill, -items[at].mass_mg),
        lambda at: (items[at].chill, items[at].gap, -items[at].volume),
    ]
    found: list[list[int]] = []
    for rule in rules:
        order = [at for at in sorted(numbers, key=rule) for _ in range(counts[at])]
        if order not in found:
            found.append(order)
    return found


def _flat(item: ItemType, side: int) -> tuple[Sides, ...]:
    """The flattest turn with its longer side along x (0) or y (1): how a tidy hand would stack it."""
    low = min(turn[2] for turn in item.orientations)
    flat = sorted((turn for turn in item.orientations if turn[2] == low), key=lambda turn: -turn[0])
    return (flat[0] if side == 0 else flat[-1],)


def _attempts(items: tuple[ItemType, ...], counts: list[int]) -> Iterator[tuple[list[int], Turns, Taste]]:
    """Quick attempts first: flat and tidy, every order by two tastes, then every taste, then each kind held to a single turn."""
    free: Turns = tuple(item.orientations for item in items)
    orders = _orders(items, counts)
    for side in (0, 1):
        yield orders[0], tuple(_flat(item, side) for item in items), tidy
    for tastes in (TASTES[:2], TASTES[2:]):
        for order in orders:
            for taste in tastes:
                yield order, free, taste
    ways = 1
    for at, item in enumerate(items):
        ways *= len(item.orientations) if counts[at] else 1
    if ways <= 72:
        for choice in product(*(item.orientations if counts[at] else item.orientations[:1] for at, item in enumerate(items))):
            held: Turns = tuple((turn,) for turn in choice)
            for order in orders[:2]:
                for taste in TASTES[:1]:
                    yield order, held, taste


def construct(
    sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort, attempts: int, first: int = 0
) -> list[Placement] | None:
    """The first packing found among the ways of letting the pieces down from number `first` to before `attempts`, or None.

    Raises EffortLimitReached.
    """
    for order, orientations, taste in islice(_attempts(items, counts), first, attempts):
        room = Container(sides, items, support)
        if let_down(room, order, orientations, taste, effort):
            return room.placements
    return None
