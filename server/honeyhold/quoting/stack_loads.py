"""What stands on what in a packed parcel, and how hard the wax in it is pressed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from honeyhold.packing.model.plan import PlacedPiece
from honeyhold.quoting.request import Good

GRAVITY = 9.81
NEAR_MM = 30.0
"""Filler up to this thick between two pieces hands the weight of the upper one down to the lower one."""


def wax_load_pa(goods: Mapping[str, Good], placements: Sequence[PlacedPiece]) -> float | None:
    """The greatest pressure under any piece of wax: its own weight and all that stands on it, over the face it rests on.

    None without placements or without wax.
    """
    placed = [one for one in placements if one.piece in goods]
    if not any(goods[one.piece].kind == "wax" for one in placed):
        return None
    masses = [goods[one.piece].packed_g / 1000 for one in placed]
    carried = carried_kg(placed, masses)
    loads = [
        GRAVITY * (own + above) / (one.size_mm[0] * one.size_mm[1] * 1e-6)
        for one, own, above in zip(placed, masses, carried, strict=True)
        if goods[one.piece].kind == "wax"
    ]
    return round(float(max(loads)), 1)


def carried_kg(placed: Sequence[PlacedPiece], masses_kg: Sequence[float]) -> list[float]:
    """What every piece carries: the weight of each goes to those right below it, by the area they share."""
    carried = [0.0] * len(placed)
    for upper in sorted(range(len(placed)), key=lambda index: -placed[index].at_mm[2]):
        below = {lower: area for lower in range(len(placed)) if (area := _shared_mm2(placed[upper], placed[lower])) > 0}
        nearest = max((_top(placed[lower]) for lower in below), default=0.0)
        bearing = {lower: area for lower, area in below.items() if _top(placed[lower]) >= nearest - 1.0}
        for lower, area in bearing.items():
            carried[lower] += (masses_kg[upper] + carried[upper]) * area / sum(bearing.values())
    return carried


def _top(one: PlacedPiece) -> float:
    return float(one.at_mm[2] + one.size_mm[2])


def _shared_mm2(upper: PlacedPiece, lower: PlacedPiece) -> float:
    """The area over which one piece stands on another: none where there is too much between them."""
    gap = upper.at_mm[2] - _top(lower)
    if not -0.5 <= gap <= NEAR_MM:
        return 0.0
    sides = []
    for axis in (0, 1):
        low = max(upper.at_mm[axis], lower.at_mm[axis])
        sides.append(min(upper.at_mm[axis] + upper.size_mm[axis], lower.at_mm[axis] + lower.size_mm[axis]) - low)
    return float(sides[0] * sides[1]) if min(sides) > 0 else 0.0
