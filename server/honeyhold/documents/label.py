"""The address label, 4 by 6 inches, one page per parcel. It is no postage and bears no carrier's marks.

The address is in the manner of the Postal Service's Publication 28. The handling words are our own plain ones
and stand only where they belong: glass is fragile, a jar stands upright, wax and honey fear sun and heat.
They promise no gentle handling. Where a liquid travels, the outside says what it is (Domestic Mail Manual
601.3.4, revised March 2019).
"""

from __future__ import annotations

from typing import Any

from honeyhold.documents import reading
from honeyhold.documents.cautions import holds_honey, holds_wax
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import line_facts, order_facts, parcel_facts
from honeyhold.documents.page import LABEL, render
from honeyhold.errors import BadRequest
from honeyhold.heat.words import packing
from honeyhold.stock.people import address_lines

Json = dict[str, Any]

FRAGILE, UPRIGHT, HEAT = "FRAGILE", "THIS SIDE UP", "KEEP OUT OF SUN AND HEAT"
HOLD = "HOLD FOR PICK-UP"


def label_html(request: Json) -> Json:
    """The labels of one order as `{"html", "title"}`, one page per parcel.

    `request`: `house`, `order`, `person` (with a whole address), `lines`, `parcels` as for the packing slip;
    a parcel may name in `goods` the ids of what is in it, else every box is marked for all of the order.
    Raises BadRequest for an address that is not whole, an order without parcels, or any field that cannot be
    read.
    """
    house, order = house_facts(request), order_facts(request)
    to = _postal_lines(reading.mapping(request, "person"))
    sent = [line["row"] for line in line_facts(request) if line["sent"]]
    parcels = parcel_facts(request)
    if not parcels:
        raise BadRequest("parcels is []: there is no box to label.", "Choose the cartons first.")
    named = reading.objects(request, "parcels")
    held = request["order"].get("hold_at_counter") is True
    labels = [
        {**parcel, "packed": heat_packed(raw), **_marks(_inside(sent, raw, f"parcels[{n}]."))}
        for n, (parcel, raw) in enumerate(zip(parcels, named, strict=True))
    ]
    title = f"Address label, order {order['number']}"
    facts = {"title": title, "paper": LABEL, "house": house, "to": to, "order": order, "labels": labels, "hold": HOLD if held else ""}
    return {"html": render("label.html", {**facts, "running_head": ""}), "title": title}


def heat_packed(parcel: Json) -> str:
    """The words for a parcel that is dressed against heat, empty for plain paper: whoever packs and posts it must see them."""
    dressing = parcel.get("dressing")
    return f"against heat: {packing(dressing)}" if dressing in ("lined", "chilled") else ""


def _postal_lines(person: Json) -> list[str]:
    """The address block of a person whose address is whole; BadRequest names the part that is missing."""
    needed = ("name", "street", "city", "state", "zip")
    written = {key: reading.text(person, key, "person.", needed=True) for key in needed}
    return address_lines({**written, "unit": reading.text(person, "unit", "person.")})


def _inside(sent: list[Json], parcel: Json, where: str) -> list[Json]:
    """The goods in this parcel: those it names, else all of the order's."""
    ids = reading.texts(parcel, "goods", where)
    chosen = [good for good in sent if good.get("id") in ids]
    if ids and len({good.get("id") for good in chosen}) != len(set(ids)):
        raise reading.wrong(where + "goods", "a list of goods that the order sends", ids)
    return chosen if ids else sent


def _marks(goods: list[Json]) -> Json:
    """`{handling, contents}` of a parcel that holds these goods."""
    glass = any(good.get("glass") is True for good in goods)
    upright = any(good.get("upright") is True for good in goods)
    honey, wax = any(map(holds_honey, goods)), any(map(holds_wax, goods))
    asked = ((FRAGILE, glass), (UPRIGHT, upright), (HEAT, wax or honey))
    contents = [word for word, belongs in (("HONEY", honey), ("BEESWAX", wax)) if belongs]
    return {
        "handling": [word for word, belongs in asked if belongs],
        "contents": " AND ".join(contents) + (", IN GLASS" if contents and glass else ""),
    }
