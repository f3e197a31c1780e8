"""What posting costs, from the house's own price table: which zone a place is in, and the table as the bench reads it.

The table is text that a spreadsheet opens, kept in the setting `posting_prices`. Zones are reckoned by distance between the middles of the
two ZIP prefixes (heat/places.py), which can be one off near a limit: what is told says so, and the carrier's chart decides.
"""

from __future__ import annotations

from typing import Any

from honeyhold.errors import BadRequest
from honeyhold.heat.places import place_of, zone_between
from honeyhold.packing.postage.example import EXAMPLE_CSV
from honeyhold.packing.postage.grid import is_grid, read_grid
from honeyhold.packing.postage.table import COLUMNS, read_prices, write_prices
from honeyhold.stock.units import money_words, weight_words

Json = dict[str, Any]

SERVICE = "ground"
ZONES = tuple(str(zone) for zone in range(1, 10))


def zone_to(house_zip: str, to_zip: str, atlas: Json) -> int | None:
    """The postal zone between two ZIP codes by distance, or None where one of them is not in the table of places."""
    here, there = place_of(house_zip, atlas["places"]), place_of(to_zip, atlas["places"])
    return None if here is None or there is None else zone_between(here, there)


def posting_of(request: Json, atlas: Json) -> tuple[Json | None, str]:
    """The bench's `posting` for a call, by the house's own table for the zone and day; or None, and why the price is not known.

    Nothing is wrong with an order that is not mailed: None, and no reason.
    """
    house, to_zip = request.get("house") or {}, str((request.get("to") or {}).get("zip") or "")
    if request.get("way") != "post":
        return None, ""
    if not house.get("posting_prices"):
        return None, "you have no price table yet"
    if not house.get("zip"):
        return None, "your own ZIP is missing under Settings"
    if not to_zip:
        return None, "no ZIP for this order"
    zone = zone_to(str(house["zip"]), to_zip, atlas)
    if zone is None:
        return None, f"no place is known for ZIP {to_zip}"
    return _by_table(request, house["posting_prices"], str(zone))


def _by_table(request: Json, text: str, zone: str) -> tuple[Json | None, str]:
    try:
        read = read_prices({"csv": text})
    except BadRequest:
        return None, "your price table cannot be read"
    rows = [row for row in read["prices"] if row["zone"] == zone]
    services = sorted({row["service"] for row in rows})
    if not services:
        return None, f"no zone {zone} in your table"
    service = SERVICE if SERVICE in services else services[0]
    on = request.get("leave_on") or request["today"]
    return {"on": on, "zone": zone, "service": service, "prices": rows, "fees": read["fees"]}, ""


def with_posting(request: Json, atlas: Json | None) -> Json:
    """The request with the bench's `posting` in it, for all who plan the same parcel: the call, its pictures, the slip.

    Where there is none, `posting_unknown` says why.
    """
    if atlas is None or "posting" in request:
        return request
    posting, unknown = posting_of(request, atlas)
    return {**request, "posting": posting, "posting_unknown": unknown}


def priced(parcel: Json, posting: Json | None, unknown: str = "") -> Json:
    """What mailing the whole order costs by the table, in cents and words; where the table does not say, why not."""
    cents = [row.get("posting_cents") for row in parcel["parcels"]]
    if not cents:
        return _not_known("")
    if posting is None:
        return _not_known(unknown)
    if any(value is None for value in cents):
        heavy = next(row for row in parcel["parcels"] if row.get("posting_cents") is None)
        return _not_known(f"no price for {weight_words(round(heavy['gross_g']))} to zone {posting['zone']} in your table")
    total = sum(cents)
    example = any(row.get("example") for row in posting["prices"])
    words = f"mailing {money_words(total)} by your table (zone {posting['zone']} by distance)"
    words += "; the prices are only examples" if example else ""
    return {"posting_cents": total, "posting_words": words, "posting_unknown": ""}


def _not_known(why: str) -> Json:
    return {"posting_cents": None, "posting_words": f"price of mailing not known: {why}" if why else "", "posting_unknown": why}


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
    read = read_grid(text) if is_grid(text) else read_prices({"csv": text})
    read = _with_typed(read, add) if add else read
    zones = sorted({row["zone"] for row in read["prices"]}, key=lambda zone: (len(zone), zone))
    return {**read, "csv": write_prices(read)["csv"], "zones": zones}
