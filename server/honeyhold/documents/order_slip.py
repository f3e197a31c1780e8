"""The packing slip from the rows of an order: works the parcel out anew, then hands all to the paper."""

from __future__ import annotations

import re
from typing import Any

from honeyhold.documents.slip import slip_html
from honeyhold.errors import BadRequest
from honeyhold.quoting.pictures import drawings
from honeyhold.quoting.postage import with_posting
from honeyhold.quoting.protection import WORDS
from honeyhold.stock.units import mailing_weight_words

Json = dict[str, Any]

NO_NAME = "Our honey house"
"""What the slip says of a house that has not written its name under Settings yet."""

NUMBER = re.compile(r"^\d+\.\s*")  # the paper numbers its steps itself


def slip(request: Json, atlas: Json | None = None) -> Json:
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


def told_parcels(request: Json, atlas: Json | None) -> list[Json]:
    """An order's parcels as a paper tells them: carton, weight, one drawing and its steps. None for what does not go by post."""
    order = request["order"]
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
        "carton": _one_carton(request),
    }
    if order.get("way") != "post" or not asked["lines"]:
        return []
    return _parcels(with_posting(asked, atlas), request.get("parcels") or [])


def _one_carton(request: Json) -> str | None:
    """The carton the parcel stands in, where it is packed in a single one, or that was chosen by hand; None: work it out."""
    kept = [row.get("carton") for row in request.get("parcels") or []]
    return kept[0] if len(kept) == 1 and kept[0] else request.get("carton")


def _kept_words(order: Json) -> str:
    """What was done against heat, for who packs and who receives."""
    dressed = {"lined": "Heat-packed: padded.", "chilled": "Heat-packed: cold pack inside; it may sweat."}
    held = "Held at the post office for pick-up." if order.get("hold_at_counter") else ""
    return " ".join(part for part in (dressed.get(str(order.get("dressing")), ""), held) if part)


def _parcels(asked: Json, kept: list[Json]) -> list[Json]:
    """The parcels as the bench draws them; the weight off the scale where it was weighed."""
    try:
        answer, svgs = drawings(asked)
    except BadRequest:  # a good that nobody measured yet: the slip is needed all the same
        return []
    dressing = WORDS[asked["dressing"]]  # no carton holds it: there are no parcels, and nothing is drawn
    return [
        {
            "part": parcel["part"],
            "of": parcel["of"],
            "carton_name": parcel["carton_name"],
            "gross_words": _weight(parcel, kept),
            "dressing": asked["dressing"],
            "dressing_words": dressing,
            "svg": svg,
            "steps": [NUMBER.sub("", step) for step in parcel["steps"]],
        }
        for parcel, svg in zip(answer["parcels"], svgs, strict=True)
    ]


def _weight(parcel: Json, kept: list[Json]) -> str:
    weighed = next((row["scale_g"] for row in kept if row["part"] == parcel["part"] and row.get("scale_g")), None)
    return mailing_weight_words(weighed) if weighed else str(parcel["gross_words"])
