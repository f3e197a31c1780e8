"""The gathering sheet: what to take from the shelf for a day's parcels, and then whose is what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from honeyhold.documents.letterhead import HouseFacts, house_facts
from honeyhold.documents.order_facts import (
    WAYS,
    LineFacts,
    OrderFacts,
    ParcelFacts,
    PersonFacts,
    good_name,
    line_facts,
    order_facts,
    parcel_facts,
    receiver_facts,
)
from honeyhold.documents.page import SIZES, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import amount_words, day_words
from honeyhold.quoting.parcel import soak_g, soaking_words, thrice_packed
from honeyhold.quoting.request import Good

LOT_UNKNOWN = "oldest first"


@dataclass(frozen=True)
class GatheredOrder:
    """One order of the day."""

    order: OrderFacts
    person: PersonFacts
    lines: tuple[LineFacts, ...]
    parcels: tuple[ParcelFacts, ...]


@dataclass(frozen=True)
class ShelfLine:
    """What to take from the shelf, of one lot."""

    good: str
    lot: str
    amount: str


@dataclass(frozen=True)
class CartonCount:
    """How many cartons of a sort to set up, and how they are dressed."""

    count: int
    carton: str
    dressing: str


def gathered(request: Reader) -> tuple[GatheredOrder, ...]:
    """The orders of a request, each with `order`, `person` or null, `lines` and `parcels` as for the packing slip."""
    return tuple(gathered_order(one, parcel_facts(one)) for one in request.objects("orders"))


def gathered_order(holder: Reader, parcels: tuple[ParcelFacts, ...]) -> GatheredOrder:
    """One order with its parcels."""
    sent = tuple(line for line in line_facts(holder, least=0) if line.sent)
    return GatheredOrder(order_facts(holder), receiver_facts(holder), sent, parcels)


def print_gathering(request: Reader, orders: Sequence[GatheredOrder], house: HouseFacts | None = None) -> Printed:
    """The sheet of one day. `request`: `house`, `day`, `size` (`letter`, `a4` or `a5`). Raises BadRequest naming what cannot be read."""
    house = house or house_facts(request)
    day = request.day("day")
    if day is None:
        raise request.wrong("day", "a day such as 2026-07-22")
    title = f"Gathering sheet, {day_words(day)}"
    return printed(
        "gathering.html",
        title,
        paper=request.choice("size", SIZES, "letter"),
        house=house,
        day=day_words(day),
        shelf=shelf_lines(orders),
        cartons=carton_lines(orders),
        liquids=liquid_lines(orders),
        orders=orders,
        running_head=f"{house.name} \u00b7 {title}",
    )


def shelf_lines(orders: Sequence[GatheredOrder]) -> list[ShelfLine]:
    """What to take, summed over the orders, by good in the house's order of goods, then by lot.

    Units whose lot nobody has named yet stand under "oldest first".
    """
    sums: dict[tuple[int, str, str], tuple[Good, str, int]] = {}
    for line in (line for order in orders for line in order.lines):
        for lot, units in _by_lot(line):
            key = (line.row.rank, line.row.name, lot)
            good, unit, before = sums.get(key, (line.row, line.unit, 0))
            sums[key] = good, unit, before + units
    return [
        ShelfLine(good_name(good, units), lot, amount_words(units, unit))
        for (_, _, lot), (good, unit, units) in sorted(sums.items(), key=lambda entry: entry[0])
    ]


def liquid_lines(orders: Sequence[GatheredOrder]) -> list[str]:
    """What liquids over four fluid ounces need to go by post, for all the day's parcels together (Domestic Mail Manual 601.3.4)."""
    posted = [line for order in orders if order.order.way == WAYS["post"] for line in order.lines if thrice_packed(line.row)]
    jars = sum(line.sent for line in posted)
    if not jars:
        return []
    paper_g = sum(line.sent * soak_g(line.row) for line in posted)
    bags = "leakproof bag" if jars == 1 else "leakproof bags"
    return [
        f"{jars} {bags}, one around each jar over 4 fl oz, closed so that it holds a leak",
        f"about {soaking_words(paper_g)} of paper to soak up all that is in them, around the jars inside their cartons",
        "strong cartons, the outside saying what is in them: three layers in all; ask the post office what holds today",
    ]


def _by_lot(line: LineFacts) -> list[tuple[str, int]]:
    named = [(lot.lot, lot.units) for lot in line.lots]
    rest = line.sent - sum(units for _, units in named)
    return named + ([(LOT_UNKNOWN, rest)] if rest else [])


def carton_lines(orders: Sequence[GatheredOrder]) -> list[CartonCount]:
    """How many cartons of each sort to set up, and how they are dressed."""
    counts: dict[tuple[str, str], int] = {}
    for parcel in (parcel for order in orders for parcel in order.parcels):
        key = (parcel.carton or "carton not chosen yet", parcel.dressing)
        counts[key] = counts.get(key, 0) + 1
    return [CartonCount(count, carton, dressing) for (carton, dressing), count in sorted(counts.items())]
