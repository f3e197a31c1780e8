"""The counting sheet: what should lie on the shelf, lot by lot, and room to write what does."""

from __future__ import annotations

from dataclasses import dataclass

from honeyhold.documents.letterhead import house_facts
from honeyhold.documents.order_facts import good_facts, good_name
from honeyhold.documents.page import SIZES, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import amount_words, day_words, short_day_words

NO_NAME = "Our honey house"


@dataclass(frozen=True)
class ShelfLot:
    """So much of a lot, by the book."""

    lot: str
    made: str
    amount: str


@dataclass(frozen=True)
class ShelfGood:
    """A good and its lots."""

    name: str
    amount: str
    lots: tuple[ShelfLot, ...]


def counting_sheet(request: Reader) -> Printed:
    """The sheet from `house`, `day`, `shelf` (each `good` row and `lots`: `lot` or null, `units`, `made_on` or null), `size`.

    Raises BadRequest naming the field that cannot be read.
    """
    house, day = house_facts(request, NO_NAME), request.day("day")
    if day is None:
        raise request.wrong("day", "a day such as 2026-07-22")
    return printed(
        "counting.html",
        f"Counting sheet, {day_words(day)}",
        paper=request.choice("size", SIZES, "letter"),
        house=house,
        day=day_words(day),
        shelf=[_good(one) for one in request.objects("shelf")],
        running_head=f"{house.name} \u00b7 counting sheet, {day_words(day)}",
    )


def _good(one: Reader) -> ShelfGood:
    good, lots = good_facts(one.mapping("good")), one.objects("lots")
    return ShelfGood(
        name=good_name(good, 2),
        amount=_amount(sum(map(_units, lots)), good.unit),
        lots=tuple(_lot(lot, good.unit) for lot in lots) or (ShelfLot("no lot written", "", "0"),),
    )


def _lot(lot: Reader, unit: str) -> ShelfLot:
    made = lot.day("made_on")
    return ShelfLot(lot.text("lot") or "no lot written", short_day_words(made) if made else "", _amount(_units(lot), unit))


def _units(lot: Reader) -> int:
    """Below zero where more left than was ever written."""
    return lot.units("units", least=-(10**12))


def _amount(units: int, unit: str) -> str:
    return f"\N{MINUS SIGN}{amount_words(-units, unit)}" if units < 0 else amount_words(units, unit)
