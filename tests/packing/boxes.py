"""Plain measuring of a packing, from where its pieces lie alone; it shares no code with the search."""

from __future__ import annotations

from honeyhold.packing.model.container import Placement


def shared(one: Placement, other: Placement) -> tuple[int, int, int]:
    """How far two pieces reach into one another along x, y and z; negative when they are apart."""
    return (
        min(one.x + one.dx, other.x + other.dx) - max(one.x, other.x),
        min(one.y + one.dy, other.y + other.dy) - max(one.y, other.y),
        min(one.z + one.dz, other.z + other.dz) - max(one.z, other.z),
    )


def carried(box: Placement, boxes: list[Placement]) -> int:
    """The area of a base that lies on tops right under it, or all of it on the floor."""
    if box.z == 0:
        return box.dx * box.dy
    below = [shared(box, other) for other in boxes if other.z + other.dz == box.z]
    return sum(wide * deep for wide, deep, _ in below if wide > 0 and deep > 0)
