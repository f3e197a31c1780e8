"""The price list for the wall: what is sold here today and what it costs, large enough to be read across a counter."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from honeyhold.documents.cautions import INFANTS, holds_honey
from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.net_quantity import net_words
from honeyhold.documents.order_facts import good_facts
from honeyhold.documents.page import SIZES, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import day_words
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.pricing import price_on, price_words

NO_NAME = "Our honey house"


@dataclass(frozen=True)
class PricedGood:
    """A good and what it costs here and by mail."""

    name: str
    net: str
    here: list[str]
    mailed: list[str]
    taxed: bool


def price_list(request: Reader) -> Printed:
    """The list from `house` (with `sales_tax`), `goods` (rows of what is sold, in their order), `day`, `size`. Raises BadRequest."""
    house, day = house_facts(request, NO_NAME), request.day("day")
    if day is None:
        raise request.wrong("day", "a day such as 2026-07-22")
    rows = request.objects("goods", least=1)
    goods = [_priced(row, day) for row in rows]
    tax = request.mapping("house").raw("sales_tax")
    taxing = isinstance(tax, dict) and tax.get("on") is True
    return printed(
        "prices.html",
        f"Prices, {day_words(day)}",
        paper=request.choice("size", SIZES, "letter"),
        house=house,
        day=day_words(day),
        goods=goods,
        by_mail=any(good.mailed != good.here for good in goods),
        taxing=taxing and any(good.taxed for good in goods),
        caution=INFANTS.words if any(holds_honey(good_facts(row)) for row in rows) else "",
        running_head=f"{house.name} \u00b7 prices",
    )


def _priced(row: Reader, day: date) -> PricedGood:
    good, net_g = good_facts(row), row.raw("net_g")
    try:
        here, mailed = (price_on(row.held, way, day.isoformat()) for way in ("walk_in", "post"))
    except UnreadableField as trouble:
        raise row.wrong("prices", "prices in whole cents") from trouble
    return PricedGood(
        name=good.name[:1].upper() + good.name[1:],
        net=net_words(net_g)[0].removeprefix("Net Wt ") if good.unit != "g" and isinstance(net_g, int) and net_g > 0 else "",
        here=_lines(here),
        mailed=_lines(mailed),
        taxed=row.raw("taxed") is True,
    )


def _lines(price: dict[str, Any]) -> list[str]:
    """The price of one, then each step under it."""
    return price_words(price["price_cents"], price["steps"]).split(", ")
