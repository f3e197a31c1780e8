"""What an order cost as it was told, line by line: for the receipt, and for a slip of a house that wants prices on it."""

from __future__ import annotations

from typing import Any

from honeyhold.documents import reading
from honeyhold.documents.order_facts import good_name
from honeyhold.documents.wording import amount_words
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.pricing import line_total, order_total, price_words, read_steps
from honeyhold.stock.units import money_words

Json = dict[str, Any]


def cost_facts(holder: Json) -> Json:
    """`{lines: [{amount, good, price, total}], mailing, tax, total, paid, owed}` in words; empty where there is none of it.

    Every figure is the one kept with the order: nothing is worked out from today's prices. Raises BadRequest.
    """
    order = reading.mapping(holder, "order")
    lines = [line for line in reading.objects(holder, "lines") if reading.units(line, "units", "lines.")]
    total = order_total(order, lines)
    paid = holder.get("paid_cents") or 0
    mailing, tax = order.get("posting_cents") or 0, order.get("tax_cents") or 0
    return {
        "lines": [_line(line, f"lines[{n}].") for n, line in enumerate(lines)],
        "mailing": money_words(mailing) if mailing else "",
        "tax": money_words(tax) if tax else "",
        "rate": f"{order['tax_rate'] / 1000:g} %" if tax and order.get("tax_rate") else "",
        "total": money_words(total),
        "paid": money_words(paid) if paid else "",
        "owed": money_words(total - paid) if total > paid else "",
        "back": money_words(paid - total) if paid > total else "",
    }


def _line(line: Json, where: str) -> Json:
    good, units = reading.mapping(line, "good", where), reading.units(line, "units", where)
    try:
        price = price_words(reading.units({"price_cents": 0, **line}, "price_cents", where), read_steps(line))
    except UnreadableField as trouble:
        raise reading.wrong(where + "steps", "pairs of units and cents", line.get("steps")) from trouble
    unit = "g" if good.get("unit") == "g" else "each"
    said = {"amount": amount_words(units, unit), "good": good_name(good, units, where)}
    return {**said, "price": price, "total": money_words(line_total(line))}
