"""How a parcel is protected: plain, padded, or padded with a cold pack; what each takes from the carton and adds to the bill.

The defaults are a small house's: recycled fibre batt 15 mm thick and one sealed cold pack. A house that
buys other stuff writes its own figures into the setting `dressings` (integers only, so that they travel in operations).
Conductivity of recycled fibre batt, 0.040 W/m.K: R 3.5 to 3.6 an inch, insulation handbook tables. The density, the pack's
measures and the costs are examples: weigh and price your own.

Paddings and cold packs that lie here are kept in the settings `paddings` and `cold_packs`, in the order in which they are used: the first
that is not put away and not used up gives the figures. A house that lists none goes on with the defaults; one whose list is used up has
no such dressing to offer.
"""

from __future__ import annotations

from honeyhold.errors import BadRequest
from honeyhold.heat.words import packing
from honeyhold.quoting.request import House, Supply

NAMES = ("plain", "lined", "chilled")

PADDED: dict[str, int] = {"liner_mm": 15, "liner_mw_per_mk": 40, "liner_kg_per_m3": 35, "filler_g_per_l": 30, "cost_cents": 160}

DEFAULTS: dict[str, dict[str, int]] = {
    "plain": {"liner_mm": 0, "filler_g_per_l": 30, "cost_cents": 0},
    "lined": PADDED,
    "chilled": {
        **PADDED,
        "cost_cents": 310,
        "pack_length_mm": 150,
        "pack_width_mm": 100,
        "pack_height_mm": 25,
        "pack_g": 280,
        "pack_latent_j_per_g": 300,
        "pack_start_c": -10,
    },
}


def dressing_figures(house: House, name: str) -> dict[str, int]:
    """The figures of one dressing: the defaults with the house's own on top.

    Raises BadRequest for a name that is no dressing.
    """
    if name not in DEFAULTS:
        raise BadRequest(f"{name!r} is no dressing.", f"Choose one of {', '.join(NAMES)}.")
    figures = {**DEFAULTS[name], **(house.dressings or {}).get(name, {})}
    if name == "plain":
        return figures
    padding = in_use(house, "paddings")
    if padding:
        more_cents = figures["cost_cents"] - DEFAULTS["lined"]["cost_cents"] if name == "chilled" else 0
        figures |= {field: padding.figures[key] for field, key in PADDING.items() if key in padding.figures}
        figures["cost_cents"] = padding.cost_cents + max(0, more_cents)
    pack = in_use(house, "cold_packs") if name == "chilled" else None
    if pack:
        padded_cents = padding.cost_cents if padding else dressing_figures(house, "lined")["cost_cents"]
        figures |= {field: pack.figures[key] for field, key in COLD_PACK.items() if key in pack.figures}
        figures["cost_cents"] = padded_cents + pack.cost_cents
    return figures


PADDING = {"liner_mm": "thickness_mm", "liner_mw_per_mk": "mw_per_mk", "liner_kg_per_m3": "kg_per_m3"}
COLD_PACK = {"pack_length_mm": "length_mm", "pack_width_mm": "width_mm", "pack_height_mm": "height_mm", "pack_g": "mass_g"}
NEEDS = {"plain": (), "lined": ("paddings",), "chilled": ("paddings", "cold_packs")}
OUT = {"paddings": "padding", "cold_packs": "cold pack"}


def in_use(house: House, stuff: str) -> Supply | None:
    """The padding or cold pack that is taken next: the first that is not put away and not used up."""
    return next((one for one in supplies(house, stuff) if not one.hidden and one.here != 0), None)


def supplies(house: House, stuff: str) -> tuple[Supply, ...]:
    """All that the house has listed of it."""
    return house.paddings if stuff == "paddings" else house.cold_packs


def named(house: House, name: str) -> str:
    """The dressing in words, with the names of what is taken for it."""
    rows = [in_use(house, stuff) for stuff in NEEDS[name]]
    names = ", ".join(row.name for row in rows if row and row.name)
    return f"{packing(name)}: {names}" if names else packing(name)


def used_up(house: House, name: str) -> list[str]:
    """What this dressing needs and the house has listed and has no more of, in words."""
    return [OUT[stuff] for stuff in NEEDS[name] if supplies(house, stuff) and in_use(house, stuff) is None]
