"""What an order cost as it was told, line by line: for the receipt, and for a slip of a house that wants prices on it."""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.documents.order_facts import good_facts, good_name
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import amount_words, day_words
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.pricing import line_total, order_total, price_words, read_steps
from honeyhold.stock.units import money_words

HOW = {"cash": "in cash", "check": "by check", "transfer": "by transfer", "other": "another way"}


@dataclass(frozen=True)
class LineCost:
    """What a line cost, in words."""

    amount: str
    good: str
    price: str
    total: str


@dataclass(frozen=True)
class CostFacts:
    """What an order cost, in words; empty where there is none of it."""

    lines: tuple[LineCost, ...]
    mailing: str
    tax: str
    rate: str
    off: str
    total: str
    paid: str
    owed: str
    back: str
    payments: tuple[str, ...] = ()


def cost_facts(holder: Reader) -> CostFacts:
    """The costs of a request. Every figure is the one kept with the order: nothing is worked out from today's prices. Raises BadRequest."""
    order = holder.mapping("order")
    lines = [line for line in holder.objects("lines") if line.units("units")]
    adjusted = holder.raw("adjusted_cents") or 0
    total = order_total({**order.held, "adjusted_cents": adjusted}, [line.held for line in lines])
    paid = holder.raw("paid_cents") or 0
    mailing, tax, rate = order.raw("posting_cents") or 0, order.raw("tax_cents") or 0, order.raw("tax_rate")
    return CostFacts(
        lines=tuple(_line(line) for line in lines),
        mailing=money_words(mailing) if mailing else "",
        tax=money_words(tax) if tax else "",
        rate=f"{rate / 1000:g} %" if tax and rate else "",
        off=money_words(adjusted) if adjusted else "",
        total=money_words(total),
        paid=money_words(paid) if paid else "",
        owed=money_words(total - paid) if total > paid else "",
        back=money_words(paid - total) if paid > total else "",
        payments=tuple(map(_payment, holder.objects("payments"))),
    )


def _payment(row: Reader) -> str:
    """ "Tue Jul 21: $20.00 by check, number 118" """
    cents, on = row.raw("cents"), row.day("on")
    if not isinstance(cents, int) or isinstance(cents, bool) or on is None:
        raise row.wrong("cents" if on else "on", "what was paid, in whole cents, and its day")
    way = HOW[row.choice("how", {name: name for name in HOW}, "other")]
    number = row.text("check_number")
    sum_ = f"{money_words(-cents)} paid back" if cents < 0 and not row.raw("corrects") else money_words(cents)
    return f"{day_words(on)}: {sum_} {way}" + (f", number {number}" if number else "") + (", put right" if row.raw("corrects") else "")


def _line(line: Reader) -> LineCost:
    good, units = good_facts(line.mapping("good")), line.units("units")
    cents = 0 if "price_cents" not in line.held else line.units("price_cents")
    try:
        price = price_words(cents, read_steps(line.held))
    except UnreadableField as trouble:
        raise line.wrong("steps", "pairs of units and cents") from trouble
    amount = amount_words(units, "g" if good.unit == "g" else "each")
    return LineCost(amount, good_name(good, units), price, money_words(line_total(line.held)))
