"""Packing many pieces: kinds that keep the same gap and wall go in together as blocks, one such batch after the other.

A batch is filled in lengths grown by its gap (fill.py). What was packed before it stands in its way, larger by the gap that is to be
kept, and carries it where it may: blocks of pieces without a gap as one level top, others each by its own top, a piece that bears only
so much nothing but its own sort, unless it bears all that comes later together. Cold packs go in first, against a face. So the whole
of every base is carried, which is more than the rules ask; only a single batch without gaps is also tried with as much as they ask.
What is found obeys every rule, and that nothing is found proves nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from honeyhold.packing.heuristic.beam_search import Start, State, boxes_of, fill, laid_in
from honeyhold.packing.heuristic.blocks import Goods
from honeyhold.packing.heuristic.constructive import TASTES, let_down
from honeyhold.packing.heuristic.overhang import fill_overhanging
from honeyhold.packing.heuristic.surface import Ground, Place, Rect, less, place_at, widest
from honeyhold.packing.heuristic.surface import corner_of as corner_in
from honeyhold.packing.model.container import SUPPORT_TOP, SUPPORT_UNDER, Container, Effort, EffortLimitReached, Placement
from honeyhold.packing.model.problem import ItemType, Sides

Batch = tuple[int, ...]
"""Kinds, by number, that keep the same gap and wall."""


@dataclass(frozen=True)
class _Mass:
    """Something packed earlier, seen from above: where it reaches on the floor plan, how high, and the gap it keeps."""

    rect: Rect
    top: int
    gap: int


def _top_of(placement: Placement, gap: int) -> _Mass:
    """The top of a placed piece, for what may stand on it."""
    return _Mass(
        (placement.x, placement.y, placement.x + placement.dx, placement.y + placement.dy), placement.z + placement.dz, gap
    )


@dataclass
class _Packed:
    """What is in the room: pieces, what stands in the way, and the tops that carry."""

    placements: list[Placement] = field(default_factory=list)
    masses: list[_Mass] = field(default_factory=list)
    tops: list[_Mass] = field(default_factory=list)

    def taken(self, items: tuple[ItemType, ...]) -> int:
        """The room that the pieces take with their gaps."""
        gaps = [item.gap for item in items]
        return sum(
            (one.dx + gaps[one.item]) * (one.dy + gaps[one.item]) * (one.dz + gaps[one.item]) for one in self.placements
        )


def _most_high(item: ItemType, high: int, support: bool) -> int:
    """How many of a kind may stand one on the other in a room so high."""
    least = min(turn[2] for turn in item.orientations)
    rows = min(item.count, max(1, (high - 2 * item.wall + item.gap) // (least + item.gap)))
    if not support or item.bears_mg is None or not item.mass_mg:
        return rows
    return min(rows, item.bears_mg // item.mass_mg + 1)


def _bears_all(item: ItemType, high: int, support: bool, later_mg: int) -> bool:
    """Whether a piece, with as many of its own sort on it as may be, could still bear everything that comes later."""
    if not support or item.bears_mg is None:
        return True
    return item.bears_mg - (_most_high(item, high, support) - 1) * item.mass_mg >= later_mg > 0


def _goods(item: ItemType, high: int, support: bool) -> Goods:
    grown = tuple((dx + item.gap, dy + item.gap, dz + item.gap) for dx, dy, dz in item.orientations)
    return Goods(grown, _most_high(item, high, support), not item.gap and not (support and item.bears_mg is not None))


def _in_the_way(masses: list[_Mass], level: int, gap: int, wall: int) -> list[Rect]:
    """Where, in the batch's lengths, nothing may stand at that level, since something reaches higher or too near below it."""
    found = []
    for mass in masses:
        apart = max(gap, mass.gap)
        if mass.top + apart - wall > level:
            x, y, end_x, end_y = mass.rect
            low, high = gap - apart - wall, apart - wall
            found.append((x + low, y + low, end_x + high, end_y + high))
    return widest(found)


def _places(ground: Ground, packed: _Packed, gap: int, wall: int) -> list[Place]:
    """The floor and the carrying tops, as far as they are free for a batch."""
    floor = (0, 0, ground.sides[0], ground.sides[1])
    beside_all = _in_the_way(packed.masses, -wall, gap, wall)  # a bed of filler does not carry a piece over lower ones
    found = [(rect, 0) for rect in less([floor], beside_all, ground.least)]
    for top in packed.tops:
        level = top.top + max(gap, top.gap) - wall
        x, y, end_x, end_y = top.rect
        rect = (max(0, x - wall), max(0, y - wall), min(floor[2], end_x - wall + gap), min(floor[3], end_y - wall + gap))
        if 0 <= level < ground.sides[2] and rect[0] < rect[2] and rect[1] < rect[3]:
            found += [(free, level) for free in less([rect], _in_the_way(packed.masses, level, gap, wall), ground.least)]
    return [place_at(ground, *rect, level) for rect, level in dict.fromkeys(found)]


def _start(sides: Sides, items: tuple[ItemType, ...], counts: list[int], batch: Batch, packed: _Packed, support: bool) -> Start | None:
    """The room as a batch finds it, its kinds numbered as in the batch; None when it leaves no space between the walls."""
    gap, wall = items[batch[0]].gap, items[batch[0]].wall
    grown = (sides[0] - 2 * wall + gap, sides[1] - 2 * wall + gap, sides[2] - 2 * wall + gap)
    if min(grown) <= 0:
        return None
    shortest = min(side for at in range(len(items)) if counts[at] for turn in items[at].orientations for side in turn)
    ground = Ground(grown, (shortest, shortest, shortest))
    goods = tuple(_goods(items[at], sides[2], support) for at in batch)
    return Start(ground, goods, [counts[at] for at in batch], _places(ground, packed, gap, wall))


def _add(packed: _Packed, start: Start, state: State, items: tuple[ItemType, ...], batch: Batch, bearing: set[int]) -> None:
    """Take a filled batch over into the room's own lengths. On the kinds `bearing` whatever comes later may stand."""
    gap, wall = items[batch[0]].gap, items[batch[0]].wall
    for box in boxes_of(start.ground, state):
        placement = Placement(batch[box.item], box.x + wall, box.y + wall, box.z + wall, box.dx - gap, box.dy - gap, box.dz - gap)
        packed.placements.append(placement)
        if placement.item in bearing and (gap or items[placement.item].bears_mg is not None):
            packed.tops.append(_top_of(placement, gap))
    for laid in laid_in(state):
        x, y = corner_in(start.ground, laid.place, laid.block)
        rect = (x + wall, y + wall, x + wall + laid.block.dx - gap, y + wall + laid.block.dy - gap)
        packed.masses.append(_Mass(rect, laid.place.z + laid.block.dz - gap + wall, gap))
    if not gap:
        level = [place for place in (*state.places, *state.idle) if place.z]
        packed.tops += [_Mass((at.x + wall, at.y + wall, at.end_x + wall, at.end_y + wall), at.z + wall, 0) for at in level]


def _orders_of_batches(items: tuple[ItemType, ...], counts: list[int]) -> list[list[Batch]]:
    """The largest gaps first, then the smallest first: jars beside a pile of bars, or upon it."""
    batches: dict[tuple[int, int], list[int]] = {}
    for at, item in enumerate(items):
        if counts[at] and not item.chill:
            batches.setdefault((item.gap, item.wall), []).append(at)
    ordered = [tuple(batches[key]) for key in sorted(batches, reverse=True)]
    return [ordered, ordered[::-1]] if len(ordered) > 1 else [ordered]


def _with_cold(sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort) -> Iterator[_Packed]:
    """The cold packs laid flat, then set on their smallest side; an empty room when there are none, nothing when they find no place."""
    cold = [at for at, item in enumerate(items) if item.chill for _ in range(counts[at])]
    if not cold:
        yield _Packed()
        return
    for upright in (False, True):
        orientations = tuple(tuple(sorted(item.orientations, key=lambda turn: -turn[2] if upright else turn[2])[:2]) for item in items)
        room = Container(sides, items, support)
        if let_down(room, cold, orientations, TASTES[1], effort):
            masses = [_top_of(placement, items[placement.item].gap) for placement in room.placements]
            bearing = [
                mass
                for mass, placement in zip(masses, room.placements, strict=True)
                if not support or items[placement.item].bears_mg is None
            ]
            yield _Packed(list(room.placements), masses, bearing)


def _batch_by_batch(
    sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, packed: _Packed, batches: list[Batch], effort: Effort
) -> None:
    """Fill in one batch after the other, each with an even part of the effort left."""
    for number, batch in enumerate(batches):
        start = _start(sides, items, counts, batch, packed, support)
        if start is None:
            continue
        part = Effort(effort.left // (len(batches) - number))
        alone = len(batches) == 1 and not packed.placements and _may_overhang(items, batch, support)
        state = _either(start, part, support) if alone else fill(start, part)
        effort.settle(part)
        later_mg = sum(items[at].mass_mg * counts[at] for later in batches[number + 1 :] for at in later)
        _add(packed, start, state, items, batch, {at for at in batch if _bears_all(items[at], sides[2], support, later_mg)})


def _may_overhang(items: tuple[ItemType, ...], batch: Batch, support: bool) -> bool:
    """Whether pieces may stand out over others: they keep no gap and bear any load."""
    return not any(items[at].gap or (support and items[at].bears_mg is not None) for at in batch)


def _either(start: Start, effort: Effort, support: bool) -> State:
    """The fuller of a packing with whole bases and, while not everything is in, one with as much carried as the rules ask."""
    half = Effort(effort.left // 2)
    whole = fill(start, half)
    effort.settle(half)
    if not any(whole.left):
        return whole
    other = fill_overhanging(start, effort, 100 * SUPPORT_TOP // SUPPORT_UNDER if support else 0)
    return other if other.volume > whole.volume else whole


def pack_many(sides: Sides, items: tuple[ItemType, ...], counts: list[int], support: bool, effort: Effort) -> list[Placement]:
    """The fullest packing found, in packing order; all the pieces when they are as many as asked for. Never spends more than the effort."""
    best, whole = _Packed(), sum(counts)
    orders = _orders_of_batches(items, counts)
    ways = len(orders) * (2 if any(item.chill and count for item, count in zip(items, counts, strict=True)) else 1)
    for order in orders:
        try:
            for packed in _with_cold(sides, items, counts, support, effort):
                part = Effort(effort.left // ways)
                ways -= 1
                _batch_by_batch(sides, items, counts, support, packed, order, part)
                effort.settle(part)
                if len(packed.placements) == whole or packed.taken(items) > best.taken(items):
                    best = packed
                if len(best.placements) == whole:
                    return sorted(best.placements, key=lambda placement: placement.key)
        except EffortLimitReached:
            break
    return sorted(best.placements, key=lambda placement: placement.key)
