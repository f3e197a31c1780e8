"""The receipt of one order: what it was told to cost, what was paid, and what is still owed."""

from __future__ import annotations

from typing import Any

from honeyhold.documents import reading
from honeyhold.documents.costs import cost_facts
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import order_facts, person_facts
from honeyhold.documents.page import SIZES, render
from honeyhold.documents.wording import day_words

Json = dict[str, Any]
NO_NAME = "Our honey house"


def receipt_html(request: Json) -> Json:
    """The receipt as `{"html", "title"}`.

    `request`: `house` (settings), `order`, `person` (or null), `lines` (`good` row, `units`, `price_cents`, `steps`, `total_cents`),
    `paid_cents`, `size` (`letter` or `a5`), `today`. Raises BadRequest naming the field that cannot be read.
    """
    settings = reading.mapping(request, "house")
    house = house_facts({"house": {**settings, "name": settings.get("name") or NO_NAME}})
    order, person = order_facts(request), person_facts(request)
    today = reading.day(request, "today")
    title = f"Receipt {order['number']} for {person['name']}"
    facts = {
        "title": title,
        "paper": reading.choice(request, "size", SIZES, "letter"),
        "house": house,
        "order": order,
        "person": person,
        "day": day_words(today) if today else "",
        "costs": cost_facts(request),
        "running_head": f"{house['name']} · receipt {order['number']} · {person['name']}",
    }
    return {"html": render("receipt.html", facts), "title": title}
