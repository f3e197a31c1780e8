"""One room (the inside of a lined carton) and the pieces set down in it: what may stand where."""

from __future__ import annotations

from typing import NamedTuple

from honeyhold.packing.model.problem import ItemType, Sides

SUPPORT_TOP, SUPPORT_UNDER = 8, 10  # at least 8/10 of a base is carried


class Placement(NamedTuple):
    """A piece set down: its kind's place in the list, its left back bottom corner and its turned sides, in units."""

    item: int
    x: int
    y: int
    z: int
    dx: int
    dy: int
    dz: int

    @property
    def key(self) -> tuple[int, int, int]:
        """Order of packing: from the floor up."""
        return self.z, self.y, self.x


class EffortLimitReached(Exception):
    """The searching effort that was allowed has been used."""


class Effort:
    """A store of steps to spend; deterministic on every device, unlike a clock."""

    def __init__(self, steps: int) -> None:
        self.left = steps
        self.used = 0

    def spend(self, steps: int) -> None:
        """Take steps off; raises EffortLimitReached when none are left."""
        self.used += steps
        self.left -= steps
        if self.left < 0:
            raise EffortLimitReached

    def settle(self, part: Effort) -> None:
        """Take off what a part of it spent, never below nothing."""
        self.left, self.used = max(0, self.left - part.used), self.used + part.used


class Container:
    """Pieces set down one by one, each dropped from above onto what is there."""

    def __init__(self, sides: Sides, items: tuple[ItemType, ...], support: bool) -> None:
        self.sides = sides
        self.items = items
        self.support = support
        self.placements: list[Placement] = []
        self.loads_mg: list[int] = []
        self.under: list[frozenset[int]] = []
        self.gaps = [[max(a.gap, b.gap) for b in items] for a in items]

    def drop(self, item: int, x: int, y: int, dx: int, dy: int) -> int:
        """The lowest z at which the piece comes to rest when let down at (x, y)."""
        z = self.items[item].wall
        gaps = self.gaps[item]
        for other in self.placements:
            gap = gaps[other.item]
            if x < other.x + other.dx + gap and other.x < x + dx + gap and y < other.y + other.dy + gap and other.y < y + dy + gap:
                top = other.z + other.dz + gap
                z = max(z, top)
        return z

    def below(self, placement: Placement) -> frozenset[int]:
        """Every piece under any part of `put`, directly or through others (all earlier pieces are below where they overlap)."""
        found: set[int] = set()
        left, back, right, front = placement.x, placement.y, placement.x + placement.dx, placement.y + placement.dy
        for at, other in enumerate(self.placements):
            if left < other.x + other.dx and other.x < right and back < other.y + other.dy and other.y < front:
                found.add(at)
                found |= self.under[at]
        return frozenset(found)

    def stands(self, placement: Placement) -> bool:
        """Whether at least 80 % of the base is carried by the floor bed or by tops exactly one gap below."""
        if placement.z == self.items[placement.item].wall:
            return True
        carried, gaps = 0, self.gaps[placement.item]
        for other in self.placements:
            if other.z + other.dz + gaps[other.item] == placement.z:
                wide = min(placement.x + placement.dx, other.x + other.dx) - max(placement.x, other.x)
                deep = min(placement.y + placement.dy, other.y + other.dy) - max(placement.y, other.y)
                if wide > 0 and deep > 0:
                    carried += wide * deep
        return carried * SUPPORT_UNDER >= placement.dx * placement.dy * SUPPORT_TOP

    def bears(self, below: frozenset[int], mass_mg: int) -> bool:
        """Whether everything below can carry that much more."""
        for at in below:
            limit = self.items[self.placements[at].item].bears_mg
            if limit is not None and self.loads_mg[at] + mass_mg > limit:
                return False
        return True

    def touches_wall(self, placement: Placement) -> bool:
        """Whether a piece is at its least distance from one of the six faces."""
        wall = self.items[placement.item].wall
        room_x, room_y, room_z = self.sides
        return (
            wall in (placement.x, placement.y, placement.z)
            or placement.x + placement.dx + wall == room_x
            or placement.y + placement.dy + wall == room_y
            or placement.z + placement.dz + wall == room_z
        )

    def allows(self, placement: Placement) -> bool:
        """Every rule beyond the bare geometry of `drop`: height, cold packs at a face, support, load."""
        item = self.items[placement.item]
        if placement.z + placement.dz + item.wall > self.sides[2]:
            return False
        if item.chill and not self.touches_wall(placement):
            return False
        if self.support and not self.stands(placement):
            return False
        return not self.support or self.bears(self.below(placement), item.mass_mg)

    def set_down(self, placement: Placement) -> None:
        """Add a piece on top of what is there."""
        below = self.below(placement)
        mass = self.items[placement.item].mass_mg
        for at in below:
            self.loads_mg[at] += mass
        self.placements.append(placement)
        self.loads_mg.append(0)
        self.under.append(below)

    def take_up(self) -> None:
        """Take the last piece out again."""
        placement = self.placements.pop()
        self.loads_mg.pop()
        mass = self.items[placement.item].mass_mg
        for at in self.under.pop():
            self.loads_mg[at] -= mass
