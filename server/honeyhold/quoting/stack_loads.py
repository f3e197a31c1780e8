"""What stands on what in a packed parcel, and how hard the wax in it is pressed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

Json = dict[str, Any]

GRAVITY = 9.81
NEAR_MM = 30.0
"""Filler up to this thick between two pieces hands the weight of the upper one down to the lower one."""


def wax_load_pa(request: Json, parcel: Json) -> float | None:
    """The greatest pressure under any piece of wax: its own weight and all that stands on it, over the face it rests on.

    `parcel` is one of `parcel_answer`; `goods` of the request give each piece's mass. None without placements or without wax.
    """
    goods = {row["id"]: row for row in request["goods"]}
    puts = [put for put in parcel.get("placements") or [] if put["piece"] in goods]
    if not any(goods[put["piece"]].get("kind") == "wax" for put in puts):
        return None
    masses = [(goods[put["piece"]].get("gross_g") or goods[put["piece"]].get("net_g") or 0) / 1000 for put in puts]
    carried = carried_kg(puts, masses)
    loads = [
        GRAVITY * (own + above) / (put["size_mm"][0] * put["size_mm"][1] * 1e-6)
        for put, own, above in zip(puts, masses, carried, strict=True)
        if goods[put["piece"]].get("kind") == "wax"
    ]
    return round(float(max(loads)), 1)


def carried_kg(puts: Sequence[Json], masses_kg: Sequence[float]) -> list[float]:
    """What every piece carries: the weight of each goes to those right below it, by the area they share."""
    carried = [0.0] * len(puts)
    for upper in sorted(range(len(puts)), key=lambda index: -puts[index]["at_mm"][2]):
        below = {lower: area for lower in range(len(puts)) if (area := _shared_mm2(puts[upper], puts[lower])) > 0}
        nearest = max((_top(puts[lower]) for lower in below), default=0.0)
        bearing = {lower: area for lower, area in below.items() if _top(puts[lower]) >= nearest - 1.0}
        for lower, area in bearing.items():
            carried[lower] += (masses_kg[upper] + carried[upper]) * area / sum(bearing.values())
    return carried


def _top(put: Json) -> float:
    return float(put["at_mm"][2] + put["size_mm"][2])


def _shared_mm2(upper: Json, lower: Json) -> float:
    """The area over which one piece stands on another: none where there is too much between them."""
    gap = upper["at_mm"][2] - _top(lower)
    if not -0.5 <= gap <= NEAR_MM:
        return 0.0
    sides = []
    for axis in (0, 1):
        low = max(upper["at_mm"][axis], lower["at_mm"][axis])
        sides.append(min(upper["at_mm"][axis] + upper["size_mm"][axis], lower["at_mm"][axis] + lower["size_mm"][axis]) - low)
    return float(sides[0] * sides[1]) if min(sides) > 0 else 0.0
