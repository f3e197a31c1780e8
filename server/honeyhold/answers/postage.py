"""What posting costs, from the house's own price table: which zone a place is in, and the table as the bench reads it.

The table is text that a spreadsheet opens, kept in the setting `posting_prices`. Zones are reckoned by distance between the middles of the
two ZIP prefixes (heat/places.py), which can be one off near a limit: what is told says so, and the carrier's chart decides.
"""

from __future__ import annotations

from typing import Any

from honeyhold.bench.posting_example import EXAMPLE_CSV
from honeyhold.bench.posting_table import read_prices, write_prices
from honeyhold.errors import BadRequest
from honeyhold.heat.places import place_of, zone_between
from honeyhold.trade.units import money_words

Json = dict[str, Any]

SERVICE = "ground"


def zone_to(house_zip: str, to_zip: str, atlas: Json) -> int | None:
    """The postal zone between two ZIP codes by distance, or None where one of them is not in the table of places."""
    here, there = place_of(house_zip, atlas["places"]), place_of(to_zip, atlas["places"])
    return None if here is None or there is None else zone_between(here, there)


def posting_of(request: Json, atlas: Json) -> Json | None:
    """The bench's `posting` for a call: the house's own table for the zone and day; None when there is no table or no zone."""
    house = request.get("house") or {}
    text, zone = house.get("posting_prices"), zone_to(str(house.get("zip") or ""), str((request.get("to") or {}).get("zip") or ""), atlas)
    if not text or zone is None or request.get("way") != "post":
        return None
    read = read_prices({"csv": text})
    rows = [row for row in read["prices"] if row["zone"] == str(zone)]
    services = sorted({row["service"] for row in rows})
    if not services:
        return None
    service = SERVICE if SERVICE in services else services[0]
    on = request.get("leave_on") or request["today"]
    return {"on": on, "zone": str(zone), "service": service, "prices": rows, "fees": read["fees"]}


def with_posting(request: Json, atlas: Json | None) -> Json:
    """The request with the bench's `posting` in it, for all who plan the same parcel: the call, its pictures, the slip."""
    return request if atlas is None or "posting" in request else {**request, "posting": posting_of(request, atlas)}


def priced(parcel: Json, posting: Json | None) -> Json:
    """What posting the whole order costs by the table, in cents and words; null where the table does not say."""
    cents = [row.get("posting_cents") for row in parcel["parcels"]]
    if posting is None or not cents:
        return {"posting_cents": None, "posting_words": ""}
    if any(value is None for value in cents):
        return {"posting_cents": None, "posting_words": f"your price table has no price for this parcel to zone {posting['zone']}"}
    total = sum(cents)
    example = any(row.get("example") for row in posting["prices"])
    words = f"posting {money_words(total)} by your table (zone {posting['zone']} by distance)"
    return {"posting_cents": total, "posting_words": words + ("; the prices are only examples" if example else "")}


def example_by_zone() -> str:
    """The shipped example by the nine zones: the near prices up to zone 4, the far ones beyond."""
    read = read_prices({"csv": EXAMPLE_CSV})
    prices = [
        {**row, "zone": str(zone)} for zone in range(1, 10) for row in read["prices"] if row["zone"] == ("near" if zone <= 4 else "far")
    ]
    text: str = write_prices({**read, "prices": prices})["csv"]
    return text


def price_table(request: Json) -> Json:
    """`answers.price_table`: `{"csv": text or null}` -> `{"csv", "prices", "fees", "errors", "zones"}`, for a person to look through.

    Without text the shipped example. The text comes back as it will be kept: bad lines left out, each with its reason in `errors`.
    Raises BadRequest when the text is no such table.
    """
    text = request.get("csv") or example_by_zone()
    if not isinstance(text, str):
        raise BadRequest(f"csv is {str(text)[:40]!r}, not text.", "Hand in the table as text.")
    read = read_prices({"csv": text})
    zones = sorted({row["zone"] for row in read["prices"]}, key=lambda zone: (len(zone), zone))
    return {**read, "csv": write_prices(read)["csv"], "zones": zones}
