"""The goods and dressings that the packing benchmarks draw their orders from: invented, in the sizes such things have."""

from __future__ import annotations

from typing import Any

Json = dict[str, Any]
BAR: Json = {"id": "bar", "size_mm": [76, 38, 11], "mass_g": 30, "upright": False, "wall_mm": 0, "gap_mm": 0}
JAR: Json = {"id": "jar", "size_mm": [72, 72, 118], "mass_g": 550, "upright": True, "wall_mm": 25, "gap_mm": 25, "bears_g": 0}
TUB: Json = {"id": "tub", "size_mm": [90, 90, 70], "mass_g": 310, "upright": True, "wall_mm": 10, "gap_mm": 10}
BLOCK: Json = {"id": "block", "size_mm": [125, 80, 50], "mass_g": 470, "upright": False, "wall_mm": 0, "gap_mm": 0}
GOODS = [BAR, JAR, TUB, BLOCK]
PACK: Json = {"id": "cold pack", "size_mm": [150, 100, 25], "mass_g": 280, "count": 1, "gap_mm": 6}
DRESSINGS: list[Json] = [{}, {}, {"liner_mm": 15}, {"liner_mm": 15, "chill": [PACK]}]
"""Half of all parcels go plain; the demo's liner and cold pack."""
