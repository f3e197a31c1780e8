"""What posting costs, from the house's own price table: which zone a place is in, and the table as the bench reads it.

The table is text that a spreadsheet opens, kept in the setting `posting_prices`. Zones are reckoned by distance between the middles of the
two ZIP prefixes (heat/places.py), which can be one off near a limit: what is told says so, and the carrier's chart decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat.atlas import Atlas
from honeyhold.heat.places import place_of, zone_between
from honeyhold.packing.model.plan import ParcelPlan
from honeyhold.packing.postage.example import EXAMPLE_CSV
from honeyhold.packing.postage.grid import is_grid, read_grid
from honeyhold.packing.postage.table import COLUMNS, read_prices, write_prices
from honeyhold.quoting.quote import Postage
from honeyhold.quoting.request import CallRequest, MailPrices, prices_of
from honeyhold.stock.units import money_words, weight_words

Json = dict[str, Any]

SERVICE = "ground"
NONE_HOLDS = "no carton here holds it"
"""The words for an order that no carton takes, of its parcel and of what mailing it costs."""
ZONES = tuple(str(zone) for zone in range(1, 10))


def zone_to(house_zip: str, to_zip: str, atlas: Atlas) -> int | None:
    """The postal zone between two ZIP codes by distance, or None where one of them is not in the table of places."""
    here, there = place_of(house_zip, atlas.places), place_of(to_zip, atlas.places)
    return None if here is None or there is None else zone_between(here, there)


def prices_for(request: CallRequest, atlas: Atlas) -> tuple[MailPrices | None, str]:
    """The house's own prices for an order's zone and day; or None, and why the price is not known.

    Nothing is wrong with an order that is not mailed: None, and no reason.
    """
    house = request.house
    if not request.is_mailed:
        return None, ""
    if not house.posting_prices:
        return None, "you have no price table yet"
    if not house.zip:
        return None, "your own ZIP is missing under Settings"
    if not request.to_zip:
        return None, "no ZIP for this order"
    zone = zone_to(house.zip, request.to_zip, atlas)
    if zone is None:
        return None, f"no place is known for ZIP {request.to_zip}"
    return _by_table(request, str(zone))


def _by_table(request: CallRequest, zone: str) -> tuple[MailPrices | None, str]:
    try:
        read = read_prices({"csv": request.house.posting_prices})
    except BadRequest:
        return None, "your price table cannot be read"
    rows = [row for row in read["prices"] if row["zone"] == zone]
    services = sorted({row["service"] for row in rows})
    if not services:
        return None, f"no zone {zone} in your table"
    service = SERVICE if SERVICE in services else services[0]
    on = request.leave_on or request.today
    return prices_of({"on": on, "zone": zone, "service": service, "prices": rows, "fees": read["fees"]}), ""


def with_prices(request: CallRequest, atlas: Atlas | None) -> CallRequest:
    """The request with the prices of mailing in it, for all who plan the same parcel: the call, its pictures, the slip.

    Where there are none, `prices_unknown` says why.
    """
    if atlas is None or request.prices_given:
        return request
    prices, unknown = prices_for(request, atlas)
    return replace(request, prices=prices, prices_unknown=unknown, prices_given=True)


def postage_of(parcels: Sequence[ParcelPlan], prices: MailPrices | None, unknown: str = "") -> Postage:
    """What mailing the whole order costs by the table, in cents and words; where the table does not say, why not."""
    if not parcels:
        return Postage(None, "", NONE_HOLDS)
    if prices is None:
        return _not_known(unknown)
    heavy = next((parcel for parcel in parcels if parcel.posting_cents is None), None)
    if heavy is not None:
        return _not_known(f"no price for {weight_words(round(heavy.gross_g))} to zone {prices.zone} in your table")
    total = sum(parcel.posting_cents or 0 for parcel in parcels)
    words = f"mailing {money_words(total)} by your table (zone {prices.zone} by distance)"
    words += "; the prices are only examples" if prices.are_examples else ""
    return Postage(total, words, "")


def _not_known(why: str) -> Postage:
    return Postage(None, f"price of mailing not known: {why}" if why else "", why)


def example_by_zone() -> str:
    """The shipped example by the nine zones: the near prices up to zone 4, the far ones beyond."""
    read = read_prices({"csv": EXAMPLE_CSV})
    prices = [
        {**row, "zone": str(zone)} for zone in range(1, 10) for row in read["prices"] if row["zone"] == ("near" if zone <= 4 else "far")
    ]
    text: str = write_prices({**read, "prices": prices})["csv"]
    return text


def _with_typed(read: Json, add: Json) -> Json:
    """One price more, in the place of the one for the same zone and weight."""
    typed = {name: add.get(name) for name in ("up_to_oz", "cents")}
    row = {"service": SERVICE, "zone": str(add.get("zone") or ""), **typed, "example": False}
    weighed = isinstance(row["up_to_oz"], int | float) and row["up_to_oz"] > 0
    if row["zone"] not in ZONES or not weighed or not isinstance(row["cents"], int):
        raise BadRequest("Zone, weight or price is missing.", "Say the zone (1 to 9), up to which weight, and the price.")
    same = [(old["service"], old["zone"], old["up_to_oz"]) == (SERVICE, row["zone"], row["up_to_oz"]) for old in read["prices"]]
    kept = [old for old, is_same in zip(read["prices"], same, strict=True) if not is_same]
    return {**read, "prices": sorted([*kept, row], key=lambda one: (one["service"], one["zone"], one["up_to_oz"]))}


def price_table(request: Json) -> Json:
    """`quoting.price_table`: `{"csv": text or null}` -> `{"csv", "prices", "fees", "errors", "zones"}`, for a person to look through.

    Without text the shipped example. The text may be the table as this house keeps it, or a carrier's grid of weights and zones, with
    tabs, commas or semicolons; with `add`, `{"zone", "up_to_oz", "cents"}`, one price typed by hand is laid over it. It comes back as it
    will be kept: bad lines left out, each with its reason in `errors`; `lines` says of each what was understood.
    Raises BadRequest when the text is no such table.
    """
    text, add = request.get("csv"), request.get("add")
    if not text:
        text = ",".join(COLUMNS) + "\n" if add else example_by_zone()
    if not isinstance(text, str):
        raise BadRequest(f"csv is {str(text)[:40]!r}, not text.", "Hand in the table as text.")
    read = read_grid(text) if is_grid(text) else read_prices({"csv": text}, ZONES)
    read = _with_typed(read, add) if add else read
    zones = sorted({row["zone"] for row in read["prices"]}, key=lambda zone: (len(zone), zone))
    return {**read, "csv": write_prices(read)["csv"], "zones": zones}
