"""The packing slip: goes into the box, and guides the hands that pack it. It names no price unless the house wants it to."""

from __future__ import annotations

from typing import Any

from honeyhold.documents import reading
from honeyhold.documents.cautions import cautions_for
from honeyhold.documents.costs import cost_facts
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import line_facts, order_facts, parcel_facts, person_facts
from honeyhold.documents.page import SIZES, render
from honeyhold.documents.wording import day_words

Json = dict[str, Any]


def slip_html(request: Json) -> Json:
    """The packing slip of one order as `{"html", "title"}`.

    `request`: `house` (settings), `order`, `person` (or null), `lines` (good, units, sure, lots), `parcels`
    (part, of, carton_name, gross_words, dressing_words, svg, steps), `heat` (words, advice_words) or null,
    `cautions` (sentences of the asker's own), `size` (`letter` or `a5`), `today`. Raises BadRequest naming
    the field that cannot be read.
    """
    house, order, person = house_facts(request), order_facts(request), person_facts(request)
    lines = line_facts(request)
    title = f"Packing slip {order['number']} for {person['name']}"
    facts = {
        "title": title,
        "paper": reading.choice(request, "size", SIZES, "letter"),
        "house": house,
        "order": order,
        "person": person,
        "day": _day_line(request, order),
        "sent": [line for line in lines if line["sent"]],
        "waiting": [line for line in lines if line["waiting"]],
        "pieces": sum(line["sent"] for line in lines if line["unit"] == "each"),
        "with_lots": any(line["lots"] for line in lines),
        "parcels": parcel_facts(request),
        "costs": cost_facts(request) if request["house"].get("slip_prices") is True else None,
        "heat": _heat(request),
        "cautions": cautions_for(
            [line["row"] for line in lines if line["sent"]], reading.texts(request, "cautions")
        ),
        "running_head": f"{house['name']} \u00b7 packing slip {order['number']} \u00b7 {person['name']}",
    }
    return {"html": render("slip.html", facts), "title": title}


def _day_line(request: Json, order: Json) -> str:
    """The way it travels and the day; without a day of its own, the day of printing."""
    today = reading.day(request, "today")
    day = order["leaves"] or (day_words(today) if today else "")
    return f"{order['way']}, {day}" if day else str(order["way"])


def _heat(request: Json) -> list[str]:
    heat = reading.mapping_or_none(request, "heat") or {}
    sentences = (reading.text(heat, "words", "heat."), reading.text(heat, "advice_words", "heat."))
    return [sentence for sentence in sentences if sentence]
