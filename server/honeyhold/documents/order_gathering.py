"""A day's gathering sheet from its orders' rows: every parcel with its drawing, so that a helper can pack without the screen."""

from __future__ import annotations

from typing import Any

from honeyhold.documents import reading
from honeyhold.documents.gathering import gathering_html
from honeyhold.documents.order_slip import NO_NAME, named_lots, told_parcels
from honeyhold.heat.atlas import Atlas

Json = dict[str, Any]


def gathering(request: Json, atlas: Atlas | None = None) -> Json:
    """`{"html", "title"}` of one day's sheet.

    `request`: `house`, `day`, `orders` (each with `order`, `person` or null, `lines` (`good` row, `units`, `sure`, `lots`), `parcels` (rows
    kept when it was packed) and perhaps a `carton` chosen by hand), `cartons` (rows with `in_stock`), `size`, `today`.
    Raises BadRequest as the paper does.
    """
    orders = reading.objects(request, "orders")
    shared = {"house": request["house"], "cartons": request.get("cartons"), "today": request["today"]}
    house = {**request["house"], "name": request["house"].get("name") or NO_NAME}
    told = [{**one, "lines": named_lots(one), "parcels": told_parcels({**one, **shared}, atlas)} for one in orders]
    return gathering_html({**request, "house": house, "orders": told})
