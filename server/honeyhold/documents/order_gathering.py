"""A day's gathering sheet from its orders' rows: every parcel with its drawing, so that a helper can pack without the screen."""

from __future__ import annotations

from honeyhold.documents.gathering import GatheredOrder, gathered_order, print_gathering
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_slip import NO_NAME, told_parcels, with_named_lots
from honeyhold.documents.page import Printed
from honeyhold.documents.reading import Reader
from honeyhold.heat.atlas import Atlas


def gathering_of_orders(request: Reader, atlas: Atlas | None = None) -> Printed:
    """One day's sheet.

    `request`: `house`, `day`, `orders` (each with `order`, `person` or null, `lines` (`good` row, `units`, `sure`, `lots`), `parcels` (rows
    kept when it was packed) and perhaps a `carton` chosen by hand), `cartons` (rows with `in_stock`), `size`, `today`.
    Raises BadRequest as the paper does.
    """
    orders = [_told(with_named_lots(one), request, atlas) for one in request.objects("orders")]
    return print_gathering(request, orders, house_facts(request, NO_NAME))


def _told(order: Reader, request: Reader, atlas: Atlas | None) -> GatheredOrder:
    return gathered_order(order, told_parcels(order, request, atlas))
