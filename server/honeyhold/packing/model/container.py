"""One room (the inside of a lined carton) and the pieces set down in it: what may stand where."""

from __future__ import annotations

from typing import NamedTuple

from honeyhold.packing.model.request import Kind, Sides

SUPPORT_TOP, SUPPORT_UNDER = 8, 10  # at least 8/10 of a base is carried


class Put(NamedTuple):
    """A piece set down: its kind's place in the list, its left back bottom corner and its turned sides, in units."""

    kind: int
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


class StepsUsedUp(Exception):
    """The searching effort that was allowed has been used."""


class Effort:
    """A store of steps to spend; deterministic on every device, unlike a clock."""

    def __init__(self, steps: int) -> None:
        self.left = steps
        self.used = 0

    def spend(self, steps: int) -> None:
        """Take steps off; raises StepsUsedUp when none are left."""
        self.used += steps
        self.left -= steps
        if self.left < 0:
            raise StepsUsedUp

    def settle(self, part: Effort) -> None:
        """Take off what a part of it spent, never below nothing."""
        self.left, self.used = max(0, self.left - part.used), self.used + part.used


class Room:
    """Pieces set down one by one, each dropped from above onto what is there."""

    def __init__(self, sides: Sides, kinds: tuple[Kind, ...], support: bool) -> None:
        self.sides = sides
        self.kinds = kinds
        self.support = support
        self.puts: list[Put] = []
        self.loads_mg: list[int] = []
        self.under: list[frozenset[int]] = []
        self.gaps = [[max(a.gap, b.gap) for b in kinds] for a in kinds]

    def drop(self, kind: int, x: int, y: int, dx: int, dy: int) -> int:
        """The lowest z at which the piece comes to rest when let down at (x, y)."""
        z = self.kinds[kind].wall
        gaps = self.gaps[kind]
        for put in self.puts:
            gap = gaps[put.kind]
            if x < put.x + put.dx + gap and put.x < x + dx + gap and y < put.y + put.dy + gap and put.y < y + dy + gap:
                top = put.z + put.dz + gap
                z = max(z, top)
        return z

    def below(self, put: Put) -> frozenset[int]:
        """Every piece under any part of `put`, directly or through others (all earlier pieces are below where they overlap)."""
        found: set[int] = set()
        for at, other in enumerate(self.puts):
            if put.x < other.x + other.dx and other.x < put.x + put.dx and put.y < other.y + other.dy and other.y < put.y + put.dy:
                found.add(at)
                found |= self.under[at]
        return frozenset(found)

    def stands(self, put: Put) -> bool:
        """Whether at least 80 % of the base is carried by the floor bed or by tops exactly one gap below."""
        if put.z == self.kinds[put.kind].wall:
            return True
        carried, gaps = 0, self.gaps[put.kind]
        for other in self.puts:
            if other.z + other.dz + gaps[other.kind] == put.z:
                wide = min(put.x + put.dx, other.x + other.dx) - max(put.x, other.x)
                deep = min(put.y + put.dy, other.y + other.dy) - max(put.y, other.y)
                if wide > 0 and deep > 0:
                    carried += wide * deep
        return carried * SUPPORT_UNDER >= put.dx * put.dy * SUPPORT_TOP

    def bears(self, below: frozenset[int], mass_mg: int) -> bool:
        """Whether everything below can carry that much more."""
        for at in below:
            limit = self.kinds[self.puts[at].kind].bears_mg
            if limit is not None and self.loads_mg[at] + mass_mg > limit:
                return False
        return True

    def touches_wall(self, put: Put) -> bool:
        """Whether a piece is at its least distance from one of the six faces."""
        wall = self.kinds[put.kind].wall
        room_x, room_y, room_z = self.sides
        return (
            wall in (put.x, put.y, put.z)
            or put.x + put.dx + wall == room_x
            or put.y + put.dy + wall == room_y
            or put.z + put.dz + wall == room_z
        )

    def allows(self, put: Put) -> bool:
        """Every rule beyond the bare geometry of `drop`: height, cold packs at a face, support, load."""
        kind = self.kinds[put.kind]
        if put.z + put.dz + kind.wall > self.sides[2]:
            return False
        if kind.chill and not self.touches_wall(put):
            return False
        if self.support and not self.stands(put):
            return False
        return not self.support or self.bears(self.below(put), kind.mass_mg)

    def set_down(self, put: Put) -> None:
        """Add a piece on top of what is there."""
        below = self.below(put)
        mass = self.kinds[put.kind].mass_mg
        for at in below:
            self.loads_mg[at] += mass
        self.puts.append(put)
        self.loads_mg.append(0)
        self.under.append(below)

    def take_up(self) -> None:
        """Take the last piece out again."""
        put = self.puts.pop()
        self.loads_mg.pop()
        mass = self.kinds[put.kind].mass_mg
        for at in self.under.pop():
            self.loads_mg[at] -= mass
