"""The recall sheet of a lot: whom to ring, with numbers and addresses, what is still here, and how complete the list is."""

from __future__ import annotations

from typing import Any

from honeyhold.documents import reading
from honeyhold.documents.letterhead import house_facts, phone_words
from honeyhold.documents.page import SIZES, render
from honeyhold.documents.wording import day_words

Json = dict[str, Any]


def recall_html(request: Json) -> Json:
    """The sheet as `{"html", "title"}`.

    `request`: `house`, `trace` (answer of `honeyhold.stock.lots.trace` from a lot), `goods` ([{`id`, `name`, `plural`}]), `day`
    (printed on), `since` (the day from which on the list is complete; null when the house gave all of it), `size` (`letter`
    or `a5`). Raises BadRequest naming the field that cannot be read.
    """
    house = house_facts(request)
    day = reading.day(request, "day")
    if day is None:
        raise reading.wrong("day", "a day such as 2026-07-22", request.get("day"))
    trace = reading.mapping(request, "trace")
    goods = {str(good.get("id")): good for good in reading.objects(request, "goods")}
    lots = [reading.text(lot, "lot", "trace.lots.", needed=True) for lot in reading.objects(trace, "lots", "trace.", least=1)]
    since = reading.day(request, "since")
    people = [_person(one, goods) for one in reading.objects(trace, "who_has", "trace.")]
    title = f"Recall {', '.join(lots)}"
    facts = {
        "title": title,
        "paper": reading.choice(request, "size", SIZES, "letter"),
        "house": house,
        "lots": lots,
        "day": day_words(day),
        "made_from": [str(lot.get("words") or lot.get("lot")) for lot in reading.objects(trace, "made_from", "trace.")],
        "went_into": [str(lot.get("words") or lot.get("lot")) for lot in reading.objects(trace, "went_into", "trace.")],
        "people": people,
        "not_named": [_part(part, goods) for part in reading.objects(trace, "not_named", "trace.")],
        "here": [_part(part, goods) for part in reading.objects(trace, "on_the_shelf", "trace.")],
        "complete": _complete(since),
        "running_head": f"{house['name']} · {title}",
    }
    return {"html": render("recall.html", facts), "title": title}


def _person(entry: Json, goods: dict[str, Json]) -> Json:
    return {
        "name": reading.text(entry, "name", "trace.who_has."),
        "phone": phone_words(reading.text(entry, "phone", "trace.who_has.")),
        "address": [str(line) for line in entry.get("address") or []],
        "parts": [_part(part, goods) for part in reading.objects(entry, "parcels", "trace.who_has.")],
    }


def _part(part: Json, goods: dict[str, Json]) -> Json:
    units, good = int(part.get("units") or 0), goods.get(str(part.get("good")), {})
    name = good.get("name") if units == 1 else good.get("plural") or good.get("name")
    amount = f"{units:,} g of {name or part.get('good')}" if good.get("unit") == "g" else f"{units:,} {name or part.get('good')}"
    return {"amount": amount, "lot": str(part.get("lot") or ""), "number": str(part.get("number") or ""), "on": str(part.get("on") or "")}


def _complete(since: Any) -> str:
    if since is None:
        return "From the main computer's own book: every order there ever was."
    told = f"From one device, without signal: orders since {day_words(since)}."
    return f"{told} Complete only once the main computer is in reach: print it again then."
