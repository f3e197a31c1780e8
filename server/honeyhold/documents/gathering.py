"""The gathering sheet: what to take from the shelf for a day's parcels, and then whose is what."""

from __future__ import annotations

from typing import Any

from honeyhold.documents import reading
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import WAYS, good_name, line_facts, order_facts, parcel_facts, person_facts
from honeyhold.documents.page import SIZES, render
from honeyhold.documents.wording import amount_words, day_words
from honeyhold.quoting.parcel import soak_g, thrice_packed
from honeyhold.quoting.request import good_of
from honeyhold.wire import Fields

Json = dict[str, Any]

LOT_UNKNOWN = "oldest first"


def gathering_html(request: Json) -> Json:
    """The sheet of one day as `{"html", "title"}`.

    `request`: `house`, `day`, `orders` (each with `order`, `person` or null, `lines` and `parcels` as for the
    packing slip), `size` (`letter` or `a5`). Raises BadRequest naming the field that cannot be read.
    """
    house = house_facts(request)
    day = reading.day(request, "day")
    if day is None:
        raise reading.wrong("day", "a day such as 2026-07-22", request.get("day"))
    orders = [_order(one, f"orders[{n}].") for n, one in enumerate(reading.objects(request, "orders"))]
    title = f"Gathering sheet, {day_words(day)}"
    facts = {
        "title": title,
        "paper": reading.choice(request, "size", SIZES, "letter"),
        "house": house,
        "day": day_words(day),
        "shelf": shelf_lines(orders),
        "cartons": carton_lines(orders),
        "liquids": liquid_lines(orders),
        "orders": orders,
        "running_head": f"{house['name']} \u00b7 {title}",
    }
    return {"html": render("gathering.html", facts), "title": title}


def _order(holder: Json, where: str) -> Json:
    return {
        "order": order_facts(holder, where),
        "person": person_facts(holder, where),
        "lines": [line for line in line_facts(holder, where, least=0) if line["sent"]],
        "parcels": parcel_facts(holder, where),
    }


def shelf_lines(orders: list[Json]) -> list[Json]:
    """`{good, lot, amount}` summed over the orders, by good in the house's order of goods, then by lot.

    Units whose lot nobody has named yet stand under "oldest first".
    """
    sums: dict[tuple[int, str, str], Json] = {}
    for order in orders:
        for line in order["lines"]:
            for lot, units in _by_lot(line):
                good = line["row"]
                key = (_rank(good), str(good.get("name")), lot)
                entry = sums.setdefault(key, {"row": good, "unit": line["unit"], "lot": lot, "units": 0})
                entry["units"] += units
    return [
        {
            "good": good_name(entry["row"], entry["units"], "orders.lines."),
            "lot": entry["lot"],
            "amount": amount_words(entry["units"], entry["unit"]),
        }
        for _, entry in sorted(sums.items())
    ]


def liquid_lines(orders: list[Json]) -> list[str]:
    """What liquids over four fluid ounces need to go by post, for all the day's parcels together (Domestic Mail Manual 601.3.4)."""
    posted = [line for order in orders if order["order"]["way"] == WAYS["post"] for line in order["lines"] if _is_liquid(line["row"])]
    jars = sum(line["sent"] for line in posted)
    if not jars:
        return []
    paper_g = sum(line["sent"] * soak_g(good_of(Fields.of(line["row"], "good"))) for line in posted)
    bags = "leakproof bag" if jars == 1 else "leakproof bags"
    return [
        f"{jars} {bags}, one around each jar over 4 fl oz, closed so that it holds a leak",
        f"about {paper_g} g of paper to soak up all that is in them, around the jars inside their cartons",
        "strong cartons, the outside saying what is in them: three layers in all; ask the post office what holds today",
    ]


def _is_liquid(good: Json) -> bool:
    return isinstance(good.get("liquid_ml"), int) and thrice_packed(good_of(Fields.of(good, "good")))


def _by_lot(line: Json) -> list[tuple[str, int]]:
    named = [(lot["lot"], lot["units"]) for lot in line["lots"]]
    rest = line["sent"] - sum(units for _, units in named)
    return named + ([(LOT_UNKNOWN, rest)] if rest else [])


def _rank(good: Json) -> int:
    rank = good.get("rank")
    return rank if isinstance(rank, int) else 0


def carton_lines(orders: list[Json]) -> list[Json]:
    """`{count, carton, dressing}`: how many cartons of each sort to set up, and how they are dressed."""
    counts: dict[tuple[str, str], int] = {}
    for order in orders:
        for parcel in order["parcels"]:
            key = (parcel["carton"] or "carton not chosen yet", parcel["dressing"])
            counts[key] = counts.get(key, 0) + 1
    return [
        {"count": count, "carton": carton, "dressing": dressing}
        for (carton, dressing), count in sorted(counts.items())
    ]
