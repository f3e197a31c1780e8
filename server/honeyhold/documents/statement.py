"""What one person owes: every order that is not settled, what came in for it, and the sum."""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import WAYS, good_facts, good_name, person_facts
from honeyhold.documents.page import SIZES, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import amount_words, day_words, short_day_words
from honeyhold.stock.pricing import order_total
from honeyhold.stock.units import money_words

NO_NAME = "Our honey house"


@dataclass(frozen=True)
class OwedOrder:
    """An order that is not settled, in words."""

    number: str
    taken: str
    way: str
    goods: tuple[str, ...]
    total: str
    paid: str
    owed: str


def statement(request: Reader) -> Printed:
    """The statement from `house`, `person`, `orders` (each `order`, `lines`, `adjusted_cents`, `paid_cents`, `owed_cents`: below zero
    what is to be paid back), `size`, `today`. Raises BadRequest naming the field that cannot be read.
    """
    house, person, today = house_facts(request, NO_NAME), person_facts(request), request.day("today")
    if today is None:
        raise request.wrong("today", "a day such as 2026-07-22")
    orders = request.objects("orders")
    sums = [_owed_cents(one) for one in orders]
    owed, back = sum(cents for cents in sums if cents > 0), -sum(cents for cents in sums if cents < 0)
    return printed(
        "statement.html",
        f"What {person.name} owes",
        paper=request.choice("size", SIZES, "letter"),
        house=house,
        person=person,
        day=day_words(today),
        orders=[_owed(one) for one in orders],
        owed=money_words(owed) if owed else "",
        back=money_words(back) if back else "",
        left=_left_words(owed - back) if owed and back else "",
        running_head=f"{house.name} \u00b7 what is owed \u00b7 {person.name}",
    )


def _owed_cents(one: Reader) -> int:
    cents = one.raw("owed_cents")
    if not isinstance(cents, int) or isinstance(cents, bool):
        raise one.wrong("owed_cents", "whole cents")
    return cents


def _owed(one: Reader) -> OwedOrder:
    order, lines, owed = one.mapping("order"), one.objects("lines"), _owed_cents(one)
    canceled = order.raw("state") == "let_go"
    total = 0 if canceled else order_total({**order.held, "adjusted_cents": one.raw("adjusted_cents") or 0}, [line.held for line in lines])
    taken, paid = order.day("taken_on"), one.raw("paid_cents") or 0
    return OwedOrder(
        number=order.text("number", needed=True),
        taken=short_day_words(taken) if taken else "",
        way="Canceled" if canceled else order.choice("way", WAYS, "post"),
        goods=tuple(_line_words(line) for line in lines if line.units("units")),
        total=money_words(total),
        paid=money_words(paid),
        owed=money_words(owed) if owed >= 0 else f"{money_words(-owed)} to pay back",
    )


def _line_words(line: Reader) -> str:
    good, units = good_facts(line.mapping("good")), line.units("units")
    return f"{amount_words(units, good.unit)} {good_name(good, units)}"


def _left_words(cents: int) -> str:
    return f"{money_words(cents)} to pay" if cents >= 0 else f"{money_words(-cents)} to pay back"
