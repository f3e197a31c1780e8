"""The year's summary: what left by month and good, what was mailed and came in, what was put right and why."""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import good_facts, good_name
from honeyhold.documents.page import SIZES, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import MONTHS, day_words
from honeyhold.stock.units import money_words, weight_words

NO_NAME = "Our honey house"
SUMS_MOST = 10**12
REPLACED = {"heat": "for heat", "breakage": "for breakage", "loss": "for what never came", "gift": "as a present"}
TAKEN_OFF = {
    "discount": "a lower price", "gift": "a present", "heat": "heat", "breakage": "broken", "loss": "lost", "correction": "put right",
}  # fmt: skip


@dataclass(frozen=True)
class YearGood:
    """What left of a good: by month, where that is known, and in all."""

    name: str
    months: tuple[str, ...]
    total: str


@dataclass(frozen=True)
class YearMonth:
    """One month's orders and money."""

    name: str
    mailed: str
    picked_up: str
    income: str


def year_summary(request: Reader) -> Printed:
    """The summary from `house`, `year`, `goods` (each `good` row, `units`, `months`: twelve or none), `months` (twelve: `mailed`,
    `picked_up`, null where a device cannot know, `income_cents`), `replaced` (`why`, `count`), `taken_off` (`why`, `cents`), `partial`
    (true where a device without signal made it), `day`, `size`. Raises BadRequest naming the field that cannot be read.
    """
    house, year, day = house_facts(request, NO_NAME), request.units("year", least=1900), request.day("day")
    months = request.objects("months")
    if len(months) != len(MONTHS):
        raise request.wrong("months", "a list of twelve")
    goods = [_good(one) for one in request.objects("goods")]
    return printed(
        "year.html",
        f"The year {year}",
        paper=request.choice("size", SIZES, "letter"),
        house=house,
        year=year,
        day=day_words(day) if day else "",
        month_names=[name[:3] for name in MONTHS],
        goods=goods,
        by_month=any(good.months for good in goods),
        months=[_month(name, one) for name, one in zip(MONTHS, months, strict=True)],
        orders_known=all(one.raw("mailed") is not None for one in months),
        mailed=sum(one.units("mailed") for one in months if one.raw("mailed") is not None),
        picked_up=sum(one.units("picked_up") for one in months if one.raw("picked_up") is not None),
        income=money_words(sum(_cents(one, "income_cents") for one in months)),
        replaced=[(one.choice("why", REPLACED, ""), one.units("count")) for one in request.objects("replaced")],
        taken_off=[(one.choice("why", TAKEN_OFF, ""), money_words(_cents(one, "cents"))) for one in request.objects("taken_off")],
        partial=request.raw("partial") is True,
        running_head=f"{house.name} \u00b7 the year {year}",
    )


def _good(one: Reader) -> YearGood:
    good, units, months = good_facts(one.mapping("good")), _cents(one, "units"), one.raw("months")
    if months is None:
        months = []
    elif not isinstance(months, list) or len(months) != len(MONTHS) or any(type(count) is not int for count in months):
        raise one.wrong("months", "twelve whole numbers")
    words = [_amount(count, good.unit) if count else "" for count in months]
    return YearGood(good_name(good, 2), tuple(words), _amount(units, good.unit))


def _amount(units: int, unit: str) -> str:
    return weight_words(units) if unit == "g" else f"\N{MINUS SIGN}{-units:,}" if units < 0 else f"{units:,}"


def _month(name: str, one: Reader) -> YearMonth:
    mailed, picked_up = ("" if one.raw(key) is None else str(one.units(key)) for key in ("mailed", "picked_up"))
    return YearMonth(name, mailed, picked_up, money_words(_cents(one, "income_cents")))


def _cents(one: Reader, key: str) -> int:
    return one.units(key, least=-SUMS_MOST) if one.raw(key) is not None else 0
