"""The packing slip from the rows of an order: what is packed is read, what is only promised is planned; then all goes to the paper."""

from __future__ import annotations

import re
from typing import Any

from honeyhold.documents.slip import slip_html
from honeyhold.errors import BadRequest
from honeyhold.heat.atlas import Atlas
from honeyhold.heat.words import packing
from honeyhold.quoting.kept import drawing_of, read_kept
from honeyhold.quoting.pictures import drawings
from honeyhold.quoting.postage import with_prices
from honeyhold.quoting.request import CallRequest, read_call
from honeyhold.stock.units import mailing_weight_words
from honeyhold.wire import Fields

Json = dict[str, Any]

NO_NAME = "Our honey house"
"""What the slip says of a house that has not written its name under Settings yet."""

NUMBER = re.compile(r"^\d+\.\s*")  # the paper numbers its steps itself


def slip(request: Json, atlas: Atlas | None = None) -> Json:
    """`{"html", "title"}` of one order's slip.

    `request`: `house`, `order`, `person` (or null), `lines` (`good` row, `units`, `sure`, `lots`), `parcels` (rows kept when it was
    packed), `cartons` (rows with `in_stock`), `size`, `today`. What goes by post and has no carton that holds it is told without
    a drawing, and so is what was never measured. Raises BadRequest as the paper does.
    """
    order = request["order"]
    heat = {"words": order["heat"], "advice_words": _kept_words(order)} if order.get("heat") or _kept_words(order) else None
    house = {**request["house"], "name": request["house"].get("name") or NO_NAME}
    told = {**request, "house": house, "lines": named_lots(request), "parcels": told_parcels(request, atlas), "heat": heat, "cautions": []}
    return slip_html(told)


def named_lots(request: Json) -> list[Json]:
    """The lines with those lots alone that have a name."""
    return [{**line, "lots": [lot for lot in line["lots"] if lot.get("lot")]} for line in request["lines"]]


def told_parcels(request: Json, atlas: Atlas | None) -> list[Json]:
    """An order's parcels as a paper tells them: carton, weight, one drawing and its steps. None for what does not go by post.

    Parcels that are packed are told from their rows alone; only what is still promised is planned.
    """
    order = request["order"]
    packed = [row for row in request.get("parcels") or [] if row.get("packed_on")]
    if order.get("way") == "post" and packed:
        return [_packed(row, len(packed), request) for row in sorted(packed, key=lambda row: row["part"])]
    asked = {
        "goods": [line["good"] for line in request["lines"]],
        "cartons": request.get("cartons") or [],
        "house": request["house"],
        "lines": [{"good": line["good"]["id"], "units": line["sure"]} for line in request["lines"] if line["sure"]],
        "way": order.get("way"),
        "dressing": order.get("dressing") or "plain",
        "view": "oblique",
        "to": {"zip": (request.get("person") or {}).get("zip") or ""},
        "leave_on": order.get("leave_on"),
        "today": request["today"],
        "carton": request.get("carton"),
    }
    if order.get("way") != "post" or not asked["lines"]:
        return []
    return _planned(with_prices(read_call(asked), atlas))


def _kept_words(order: Json) -> str:
    """What was done against heat, for who packs and who receives."""
    dressed = {"lined": f"Against heat: {packing('lined')}.", "chilled": f"Against heat: {packing('chilled')}; it may sweat."}
    held = "Held at the post office for pick-up." if order.get("hold_at_counter") else ""
    return " ".join(part for part in (dressed.get(str(order.get("dressing")), ""), held) if part)


def _packed(row: Json, of: int, request: Json) -> Json:
    """A packed parcel as its row keeps it: by eye there is no more than its carton, and its weight once it was weighed."""
    plan = read_kept(Fields.of(row.get("plan") or {}, "parcel.plan"))
    carton: Json = row.get("carton_row") or next((one for one in request.get("cartons") or [] if one["id"] == row.get("carton")), {})
    weight_g = row.get("scale_g") or row.get("gross_g")
    dressing = row.get("dressing") or "plain"
    unit = str(request["house"].get("length_unit") or "in")
    return {
        "part": row["part"],
        "of": of,
        "carton_name": plan.name or carton.get("name") or "",
        "gross_words": mailing_weight_words(weight_g) if weight_g else "",
        "dressing": dressing,
        "dressing_words": packing(dressing),
        "svg": drawing_of(plan, unit, "oblique") if plan.placements else "",
        "steps": [NUMBER.sub("", step) for step in plan.steps],
    }


def _planned(asked: CallRequest) -> list[Json]:
    """The parcels as they are planned and drawn."""
    try:
        quote, svgs = drawings(asked)
    except BadRequest:  # a good that nobody measured yet: the slip is needed all the same
        return []
    dressing = packing(asked.dressing)  # no carton holds it: there are no parcels, and nothing is drawn
    return [
        {
            "part": parcel.part,
            "of": parcel.of,
            "carton_name": parcel.carton_name,
            "gross_words": parcel.gross_words,
            "dressing": asked.dressing,
            "dressing_words": dressing,
            "svg": svg,
            "steps": [NUMBER.sub("", step) for step in parcel.steps],
        }
        for parcel, svg in zip(quote.parcels, svgs, strict=True)
    ]
