"""How a parcel is dressed: plain, lined, or lined and chilled; what each takes from the carton and adds to the bill.

The defaults are a small house's: recycled fibre batt 15 mm thick and one sealed cold pack. A house that
buys other stuff writes its own figures into the setting `dressings` (integers only, so that they travel in operations).
Conductivity of recycled fibre batt, 0.040 W/m.K: R 3.5 to 3.6 an inch, insulation handbook tables. The density, the pack's
measures and the costs are examples: weigh and price your own.
"""

from __future__ import annotations

from typing import Any

from honeyhold.errors import BadRequest

Json = dict[str, Any]

NAMES = ("plain", "lined", "chilled")

WORDS = {"plain": "plain", "lined": "padded", "chilled": "cold pack"}

DEFAULTS: dict[str, dict[str, int]] = {
    "plain": {"liner_mm": 0, "filler_g_per_l": 30, "cost_cents": 0},
    "lined": {
        "liner_mm": 15,
        "liner_mw_per_mk": 40,
        "liner_kg_per_m3": 35,
        "filler_g_per_l": 30,
        "cost_cents": 160,
    },
    "chilled": {
        "liner_mm": 15,
        "liner_mw_per_mk": 40,
        "liner_kg_per_m3": 35,
        "filler_g_per_l": 30,
        "cost_cents": 310,
        "pack_length_mm": 150,
        "pack_width_mm": 100,
        "pack_height_mm": 25,
        "pack_g": 280,
        "pack_latent_j_per_g": 300,
        "pack_start_c": -10,
    },
}


def dressing_figures(house: Json, name: str) -> dict[str, int]:
    """The figures of one dressing: the defaults with the house's own on top.

    Raises BadRequest for a name that is no dressing.
    """
    if name not in DEFAULTS:
        raise BadRequest(f"{name!r} is no dressing.", f"Choose one of {', '.join(NAMES)}.")
    own = house.get("dressings") or {}
    return {**DEFAULTS[name], **(own.get(name) or {})}
