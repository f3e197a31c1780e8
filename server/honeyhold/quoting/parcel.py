"""From what a caller wants to the parcel it makes: pieces and cartons for the bench, and its plan in words."""

from __future__ import annotations

from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.packing.plan import plan
from honeyhold.quoting.kept import kept_plan
from honeyhold.quoting.protection import dressing_figures, named, used_up
from honeyhold.stock.units import mailing_weight_words

Json = dict[str, Any]

GLASS_OVER_LIQUID_ML = 118
"""Four US fluid ounces: above this a liquid in a breakable container is packed three times over (postal rule 601.3.4)."""

BAG_G, SOAK_G_PER_100_ML = 6, 15
"""The leakproof bag around each such jar, and paper to soak up what is in it, which the cushioning is part of: common practice, no
source; weigh your own."""

UM_PER_IN = 25_400

LIFT_G = 23_133
"""51 lb: the load constant of the NIOSH lifting equation, the most for one person under the best conditions."""


def thrice_packed(row: Json) -> bool:
    """Whether a good is a liquid of more than four fluid ounces, which the post wants packed three times over."""
    return (row.get("liquid_ml") or 0) > GLASS_OVER_LIQUID_ML


def soak_g(row: Json) -> int:
    """The paper that soaks up all that one such piece holds, in whole grams; nothing for all others."""
    return round(row["liquid_ml"] * SOAK_G_PER_100_ML / 100) if thrice_packed(row) else 0


def pieces_of(goods: dict[str, Json], lines: list[Json], posted: bool = False) -> list[Json]:
    """The pieces the bench has to stand in a carton: one group a good, wrapped as the good's measures say.

    `goods` by id, `lines` of `{"good", "units"}`; `posted`: each such liquid weighs its bag too.
    Raises BadRequest when a good is unknown or was never measured.
    """
    units: dict[str, int] = {}
    for line in lines:
        units[line["good"]] = units.get(line["good"], 0) + int(line["units"])
    return [_piece(_known(goods, good), count, posted) for good, count in units.items() if count > 0]


def bench_request(request: Json, dressing: str) -> Json:
    """The bench's question for one dressing.

    `request` holds `goods` (rows), `cartons` (rows with `in_stock`), `lines`, `house` (settings) and, where a house keeps a
    price table, `posting`; `carton` is one chosen by hand: no other is looked at.
    """
    house = request.get("house") or {}
    figures = dressing_figures(house, dressing)
    goods = {row["id"]: row for row in request.get("goods") or []}
    return {
        "pieces": pieces_of(goods, request.get("lines") or [], request.get("way") == "post"),
        "cartons": [
            _carton(row) for row in request.get("cartons") or [] if not row.get("hidden") and request.get("carton") in (None, row["id"])
        ],
        "dressing": {
            "liner_mm": figures["liner_mm"],
            "liner_g_per_m2": figures["liner_mm"] * figures.get("liner_kg_per_m3", 0),
            "liner_cents": figures["cost_cents"],
            "reserve_top_mm": 0,
            "chill": [_cold_pack(figures)] if "pack_g" in figures else [],
            "filler_g_per_l": figures["filler_g_per_l"],
            "filler_cents_per_l": 0,
        },
        "posting": request.get("posting"),
        "support": True,
        "seconds": request.get("seconds"),
        "unit": house.get("length_unit") or "in",
    }


def parcel_answer(request: Json, dressing: str) -> Json:
    """The parcel in words: `{"ok", "words", "parcels", "proved", "why_not", "cautions", "dressing", "dressing_words"}`."""
    question = bench_request(request, dressing)
    if not question["pieces"]:
        raise BadRequest("Nothing to pack: no line has any units.", "Say what is wanted first.")
    found = plan(question)
    if not found["parcels"] and question["posting"]:
        question = {**question, "posting": None}  # a price table that ends too soon must not keep a parcel from being packed
        found = plan(question)
    liquids = {row["id"]: soak_g(row) for row in request.get("goods") or [] if request.get("way") == "post" and thrice_packed(row)}
    parcels = [_told(parcel, number, len(found["parcels"]), liquids) for number, parcel in enumerate(found["parcels"], 1)]
    parcels = [{**parcel, "kept": kept_plan(parcel, question)} for parcel in parcels]
    return {
        "ok": bool(parcels),
        "words": _words(parcels) if parcels else "nothing here holds it; see why below",
        "parcels": parcels,
        "proved": bool(found["proved"]),
        "said": found.get("said", ""),
        "why_not": [_named(row, question["cartons"]) for row in found["why_not"]],
        "cautions": [*_lacking(request, dressing), *cautions(request, parcels)],
        "dressing": dressing,
        "dressing_words": named(request.get("house") or {}, dressing),
        "cost_cents": found.get("cost_cents") or 0,
        "bench": question,
    }


def _lacking(request: Json, dressing: str) -> list[str]:
    """What the chosen dressing needs and the house has counted down to none."""
    gone = used_up(request.get("house") or {}, dressing)
    return [f"There is no {' and no '.join(gone)} left by your count: count again under Settings, or choose another way."] if gone else []


def cautions(request: Json, parcels: list[Json]) -> list[str]:
    """What belongs to these contents and nothing else; local rules and the carrier's come first."""
    goods = {row["id"]: row for row in request.get("goods") or []}
    inside = [goods[line["good"]] for line in request.get("lines") or [] if line["good"] in goods and line["units"]]
    said = []
    if any(row.get("kind") == "honey" for row in inside):
        said.append("Honey is not for babies under 12 months.")
    if any(thrice_packed(row) for row in inside):
        said.append(
            "Liquid over 4 fl oz: cushion it with enough to soak it all up, seal it in a second leakproof bag, "
            "then a strong carton. Ask the post office what holds today."
        )
    if any(parcel["gross_g"] > LIFT_G for parcel in parcels):
        said.append("Heavier than 51 lb: two people lift it, or split it.")
    return said


def posting_off(request: Json) -> str:
    """Why honey may not be posted yet, or nothing: rules for home-bottled honey differ, and only the keeper can ask their state."""
    goods = {row["id"]: row for row in request.get("goods") or []}
    honey = any(goods.get(line["good"], {}).get("kind") == "honey" for line in request.get("lines") or [] if line["units"])
    if request.get("way") != "post" or not honey or (request.get("house") or {}).get("posting_honey_asked"):
        return ""
    return (
        "Mailing honey is off: some states forbid mailing what was bottled at home. Ask yours once, then tick it "
        "under Settings, your honey house."
        " Until then they may pick it up, or the order waits."
    )


def _known(goods: dict[str, Json], good: str) -> Json:
    row = goods.get(good)
    if row is None:
        raise BadRequest(f"The good {good!r} is not among those sent.", "Send the rows of every good in the order.")
    if not all(row.get(side) for side in ("length_mm", "width_mm", "height_mm")):
        raise BadRequest(
            f"{row.get('name', good)} was never measured.", "Measure length, width and height with lid and wrap, under Settings."
        )
    return row


def _piece(row: Json, count: int, posted: bool) -> Json:
    texture = "glass" if row.get("glass") else "wax" if row.get("kind") == "wax" else "plain"
    return {
        "id": row["id"],
        "count": count,
        "size_mm": [row["length_mm"], row["width_mm"], row["height_mm"]],
        "mass_g": (row.get("gross_g") or row.get("net_g") or 0) + (BAG_G if posted and thrice_packed(row) else 0),
        "mass_sd_g": (row.get("gross_sd_mg") or 0) / 1000,
        "upright": bool(row.get("upright")),
        "glass": bool(row.get("glass")),
        "wall_mm": row.get("wall_mm") or 0,
        "gap_mm": row.get("gap_mm") or 0,
        "bears_g": row.get("bears_g"),
        "label": _one_of(row),
        "texture": texture,
    }


def _one_of(row: Json) -> str:
    """What one of it is called: the bench makes several of it by itself. `short` is written for several ("bars")."""
    several = row.get("short")
    return str(several).removesuffix("s") if several else str(row.get("name") or row["id"])


def _carton(row: Json) -> Json:
    return {
        "id": row["id"],
        "label": row.get("name") or row["id"],
        "inner_mm": row["inner"],
        "outer_mm": row.get("outer") or None,
        "tare_g": row.get("tare_g") or 0,
        "max_gross_g": row.get("max_gross_g") or None,
        "max_united_mm": row.get("max_united_mm"),
        "edge_crush_lb_per_in": row.get("edge_crush_lb_per_in"),
        "board_in": row["board_um"] / UM_PER_IN if row.get("board_um") else None,
        "cost_cents": row.get("cost_cents") or 0,
        "in_stock": row.get("in_stock"),
    }


def _cold_pack(figures: dict[str, int]) -> Json:
    return {
        "id": "cold_pack",
        "count": 1,
        "size_mm": [figures["pack_length_mm"], figures["pack_width_mm"], figures["pack_height_mm"]],
        "mass_g": figures["pack_g"],
        "label": "cold pack",
        "texture": "chill",
    }


def _told(parcel: Json, number: int, of: int, liquids: dict[str, int]) -> Json:
    """A parcel in words. Where its cushioning is too little to soak up its liquids, paper is added until it is enough."""
    needed_g = sum(units * liquids.get(good, 0) for good, units in parcel["contents"].items())
    added_g = max(0, needed_g - round(parcel["filler_g"]))
    step = f"First: each jar over 4 fl oz into its own leakproof bag, with paper around it to soak it all up ({needed_g} g in all)."
    parcel = {**parcel, "gross_g": parcel["gross_g"] + added_g, "filler_g": parcel["filler_g"] + added_g}
    return {
        **parcel,
        "steps": [*([step] if needed_g else []), *parcel["steps"]],
        "step_rows": [*([{"says": step, "piece": None, "first": None, "count": 1}] if needed_g else []), *parcel["step_rows"]],
        "part": number,
        "of": of,
        "carton_name": parcel.get("label") or parcel["carton"],
        "gross_words": mailing_weight_words(round(parcel["gross_g"])),
        "notes": [note for note in parcel["notes"] if not note.startswith("Over 50 lb")],  # the cautions say it, for all boxes at once
    }


def _words(parcels: list[Json]) -> str:
    if len(parcels) == 1:
        return f"carton {parcels[0]['carton_name']}, {parcels[0]['gross_words']}"
    each = "; ".join(f"{parcel['carton_name']}, {parcel['gross_words']}" for parcel in parcels)
    return f"{len(parcels)} parcels: {each}"


def _named(row: Json, cartons: list[Json]) -> Json:
    name = next((carton["label"] for carton in cartons if carton["id"] == row["carton"]), row["carton"])
    return {"carton": row["carton"], "name": name, "why": row["why"]}
