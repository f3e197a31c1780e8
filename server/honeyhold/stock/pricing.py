"""What a line and an order cost: the one place that works it out. All in whole cents, nothing is rounded but the tax.

A good has a price for one, and `steps`: so many for so much ("10 for $25.00"). A line is the cheapest way to make at least
so many out of ones and steps, so fewer never cost more than more: nine bars cost no more than ten. The price is that of the
day the order is taken, at the place where it is sold (`mail`, or `counter` for what is picked up or taken along).

The tax is worked out on the sum of an order, half a cent up: the Streamlined Sales and Use Tax Agreement, section 324 (read as
North Dakota Century Code 57-39.4-25), carries to the third decimal, rounds up when it is above four, and lets the seller
choose the whole invoice. `web/store/pricing.js` says the same in the browser; one table of cases holds both to it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.reading import Request, rows, table, text, whole
from honeyhold.stock.units import money_words

CENTS_MAX: Final = 100_000_000
LINE_UNITS_MAX: Final = 1_000_000
STEPS_MAX: Final = 6
STEP_UNITS_MAX: Final = 500
RATE_PER_WHOLE: Final = 100_000
"""Tax rates are whole thousandths of a percent: 8.875 % is 8875. Some cities and counties need the third decimal."""
PLACES: Final = {"post": "mail", "pick_up": "counter", "walk_in": "counter"}

Step = tuple[int, int]


def line_cents(units: int, price_cents: int, steps: Sequence[Sequence[int]] = ()) -> int:
    """What so many cost: the cheapest cover of `units` by ones and by `steps`, each (units, cents)."""
    offers: list[Step] = [(1, price_cents), *((step[0], step[1]) for step in steps)]
    if len(offers) == 1:
        return units * price_cents
    best_units, best_cents = _cheapest_each(offers)
    # Of the others fewer than best_units are ever needed: among that many, some make a multiple of best_units together.
    many = best_units * max(offer[0] for offer in offers)
    times = (units - many) // best_units if units > many else 0
    return times * best_cents + _cover(units - times * best_units, offers)


def _cheapest_each(offers: list[Step]) -> Step:
    best = offers[0]
    for offer in offers[1:]:
        if offer[1] * best[0] < best[1] * offer[0]:
            best = offer
    return best


def _cover(units: int, offers: list[Step]) -> int:
    """The least cents for at least `units`."""
    least = [0] * (units + 1)
    for count in range(1, units + 1):
        least[count] = min(cents + least[max(0, count - size)] for size, cents in offers)
    return least[units]


def price_on(good: Request, way: str, day: str) -> dict[str, Any]:
    """`{"price_cents", "steps"}` of a good on a day, for a way of leaving.

    The place's own price stands before the general one; of several, the one that began last.
    """
    place = PLACES.get(way, "counter")
    begun = [price for price in rows(good, "prices", optional=True) if text(price, "since", default="") <= day]
    for wanted in (place, ""):
        found = [price for price in begun if text(price, "place", default="") == wanted]
        if found:
            last = max(found, key=lambda price: text(price, "since", default=""))
            return {"price_cents": whole(last, "cents", most=CENTS_MAX), "steps": read_steps(last)}
    return {"price_cents": whole(good, "price_cents", most=CENTS_MAX, default=0), "steps": read_steps(good)}


def read_steps(holder: Request, field: str = "steps") -> list[list[int]]:
    """The steps, by units; raises UnreadableField when one is none."""
    steps = holder.get(field) or []
    if not isinstance(steps, list | tuple) or len(steps) > STEPS_MAX or not all(map(_is_step, steps)):
        raise UnreadableField(field, steps, f"at most {STEPS_MAX} pairs of units (2 to {STEP_UNITS_MAX}) and cents")
    return sorted([step[0], step[1]] for step in steps)


def _is_step(step: object) -> bool:
    if not isinstance(step, list | tuple) or len(step) != 2 or any(type(value) is not int for value in step):
        return False
    return bool(2 <= step[0] <= STEP_UNITS_MAX and 0 <= step[1] <= CENTS_MAX)


def told_line(good: Request, units: int, way: str, day: str) -> dict[str, Any]:
    """What a new line keeps for good: `{"price_cents", "steps", "taxed", "total_cents"}`."""
    price = price_on(good, way, day)
    total = line_cents(units, price["price_cents"], price["steps"])
    return {**price, "taxed": bool(good.get("taxed", False)), "total_cents": total}


def line_total(line: Mapping[str, Any]) -> int:
    """What a line costs as it was told; an old one has no total and costs its units times its price."""
    if line.get("total_cents") is not None:
        return whole(line, "total_cents", most=CENTS_MAX * LINE_UNITS_MAX)
    return whole(line, "units", most=LINE_UNITS_MAX) * whole(line, "price_cents", most=CENTS_MAX, default=0)


def tax_terms(setting: object, way: str, state: str, own_state: str) -> dict[str, Any]:
    """`{"tax_rate", "tax_mailing"}` of a new order by the setting `sales_tax`: nothing unless it is switched on, and nothing
    on what is mailed to another state unless that is wanted. A place whose state is not known counts as one's own."""
    none = {"tax_rate": 0, "tax_mailing": False}
    if not isinstance(setting, Mapping) or not setting.get("on"):
        return none
    elsewhere = way == "post" and bool(state) and bool(own_state) and state.upper() != own_state.upper()
    if elsewhere and not setting.get("elsewhere"):
        return none
    return {"tax_rate": whole(setting, "rate", most=RATE_PER_WHOLE, default=0), "tax_mailing": bool(setting.get("mailing"))}


def tax_cents(taxed_cents: int, rate: int) -> int:
    """Tax on a sum, half a cent up."""
    return (taxed_cents * rate + RATE_PER_WHOLE // 2) // RATE_PER_WHOLE


def order_tax(order: Mapping[str, Any], lines: Sequence[Mapping[str, Any]]) -> int:
    """The tax of an order at the rate it was told."""
    taxed = sum(line_total(line) for line in lines if line.get("taxed"))
    mailing = order.get("posting_cents", 0) if order.get("tax_mailing") else 0
    return tax_cents(taxed + mailing, order.get("tax_rate") or 0)


def order_total(order: Mapping[str, Any], lines: Sequence[Mapping[str, Any]]) -> int:
    """What an order comes to: its lines, its mailing and its tax, as they are kept with it, and what was taken off."""
    taxed = sum(map(line_total, lines)) + int(order.get("posting_cents", 0)) + int(order.get("tax_cents") or 0)
    return taxed + int(order.get("adjusted_cents") or 0)


def price_words(price_cents: int, steps: Sequence[Sequence[int]]) -> str:
    """ "$3.00 each, 10 for $25.00" """
    parts = [f"{units} for {money_words(cents)}" for units, cents in steps]
    return ", ".join([f"{money_words(price_cents)} each" if parts else money_words(price_cents), *parts])


def line_price(request: Request) -> dict[str, Any]:
    """A line on a day: `{"good": {"price_cents", "steps"?, "prices"?, "taxed"?}, "units", "way", "day"}` ->
    `{"price_cents", "steps", "taxed", "total_cents", "words"}`. Raises UnreadableField."""
    told = told_line(
        table(request, "good"), whole(request, "units", most=LINE_UNITS_MAX), text(request, "way"), text(request, "day")
    )
    return {**told, "words": price_words(told["price_cents"], told["steps"])}


def order_sums(request: Request) -> dict[str, Any]:
    """An order's sums: `{"lines": [{"units", "price_cents", "steps"?, "taxed"?}], "posting_cents"?, "setting"?, "way", "state"?,
    "own_state"?, "paid_cents"?}` -> `{"lines": [cents], "goods_cents", "posting_cents", "tax_rate", "tax_mailing",
    "tax_cents", "total_cents", "owed_cents"}`. Raises UnreadableField."""
    lines = [_summed(line) for line in rows(request, "lines")]
    posting = whole(request, "posting_cents", most=CENTS_MAX, default=0)
    where = (text(request, "state", default=""), text(request, "own_state", default=""))
    order = {"posting_cents": posting, **tax_terms(request.get("setting"), text(request, "way"), *where)}
    order["tax_cents"] = order_tax(order, lines)
    total = order_total(order, lines)
    paid = whole(request, "paid_cents", least=-CENTS_MAX, most=CENTS_MAX, default=0)
    totals = [line["total_cents"] for line in lines]
    return {"lines": totals, "goods_cents": sum(totals), **order, "total_cents": total, "owed_cents": total - paid}


def _summed(line: Request) -> dict[str, Any]:
    units, price = whole(line, "units", most=LINE_UNITS_MAX), whole(line, "price_cents", most=CENTS_MAX)
    total = line_cents(units, price, read_steps(line))
    return {"units": units, "price_cents": price, "taxed": bool(line.get("taxed", False)), "total_cents": total}
