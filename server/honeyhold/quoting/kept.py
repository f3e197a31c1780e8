"""A planned parcel as it is kept when it is packed, and drawn again from what was kept: never planned a second time.

What stood in the carton is a fact from the moment it was packed. Planned anew it would follow today's stock, today's measures and today's
prices: an order packed into the last small cartons would lose its parcel, or be shown in a large one bought since.
"""

from __future__ import annotations

from typing import Any

from honeyhold.packing.drawing.parcel import draw

Json = dict[str, Any]

UM_PER_MM = 1000
MG_PER_G = 1000
PLACEMENTS_MOST = 500
"""So many pieces are kept where they stood; a row of the one message has room for 5,000 values, and a placement takes eight."""


def kept_plan(parcel: Json, question: Json) -> Json:
    """The dictionary kept in `parcel.plan`: whole numbers and text only, all lengths in micrometres, masses in milligrams.

    `parcel` is one of `quoting.parcel`, `question` the request its plan answers. `{"name", "steps", "contents", "notes", "inner_um",
    "outer_um", "liner_um", "gross_sd_mg", "pieces": [{"id", "label", "texture", "mass_mg", "mass_sd_mg"}], "placements": [[piece, x, y, z,
    length, width, height], ...]}` and, where the price is known, `posting_cents`. `piece` counts from 0 in `pieces`, cold packs included.
    """
    dressing = question["dressing"]
    pieces = [*question["pieces"], *({**pack, "texture": "cold"} for pack in dressing["chill"])]
    index = {row["id"]: at for at, row in enumerate(pieces)}
    placements = parcel["placements"] if len(parcel["placements"]) <= PLACEMENTS_MOST else []
    kept = {
        "name": parcel["carton_name"],
        "steps": list(parcel["steps"]),
        "contents": dict(parcel["contents"]),
        "notes": list(parcel["notes"]),
        "inner_um": [_um(side) for side in parcel["inner_mm"]],
        "outer_um": [_um(side) for side in parcel["outer_mm"]],
        "liner_um": _um(dressing["liner_mm"]),
        "gross_sd_mg": round(parcel["gross_sd_g"] * MG_PER_G),
        "pieces": [_kept_piece(row) for row in pieces],
        "placements": [[index[row["piece"]], *map(_um, row["at_mm"]), *map(_um, row["size_mm"])] for row in placements],
    }
    return {**kept, "posting_cents": parcel["posting_cents"]} if parcel.get("posting_cents") is not None else kept


def packed_picture(request: Json) -> Json:
    """Packed parcels drawn from their rows: `{"svgs": [text], "of": [part]}`; those without placements have no drawing.

    `request`: `{"parcels": [row], "unit": "in" or "mm", "view": "both", "oblique" or "layers"}`. Raises BadRequest as `packing.draw` does.
    """
    rows = [row for row in request.get("parcels") or [] if (row.get("plan") or {}).get("placements")]
    svgs = [drawing_of(row["plan"], request.get("unit") or "in", request.get("view") or "both") for row in rows]
    return {"svgs": svgs, "of": [row.get("part") for row in rows]}


def drawing_of(plan: Json, unit: str, view: str) -> str:
    """The SVG of a kept plan that has placements."""
    pieces = plan["pieces"]
    parcel = {
        "label": plan.get("name"),
        "inner_mm": [side / UM_PER_MM for side in plan["inner_um"]],
        "placements": [
            {
                "piece": pieces[piece]["id"],
                "at_mm": [side / UM_PER_MM for side in place[:3]],
                "size_mm": [side / UM_PER_MM for side in place[3:]],
            }
            for piece, *place in plan["placements"]
        ],
    }
    dressing = {"liner_mm": plan.get("liner_um", 0) / UM_PER_MM}
    return draw({"parcel": parcel, "pieces": pieces, "dressing": dressing, "unit": unit, "view": view})["svg"]


def _kept_piece(row: Json) -> Json:
    return {
        "id": row["id"],
        "label": row["label"],
        "texture": row["texture"],
        "mass_mg": round(row["mass_g"] * MG_PER_G),
        "mass_sd_mg": round(row.get("mass_sd_g", 0) * MG_PER_G),
    }


def _um(side_mm: float) -> int:
    return round(side_mm * UM_PER_MM)
