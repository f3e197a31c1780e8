"""The recall sheet of a lot: whom to ring, with numbers and addresses, what is still here, and how complete the list is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from honeyhold.documents.letterhead import house_facts, phone_words
from honeyhold.documents.page import SIZES, Printed, printed
from honeyhold.documents.reading import Reader
from honeyhold.documents.wording import amount_words, day_words, short_day_words

UNITS_MAX = 10**12
MINUS = "\N{MINUS SIGN}"


@dataclass(frozen=True)
class RecallPart:
    """So much of a lot in one place."""

    amount: str
    lot: str
    number: str
    on: str


@dataclass(frozen=True)
class RecallPerson:
    """Somebody to ring, and what they have."""

    name: str
    phone: str
    address: list[str]
    parts: tuple[RecallPart, ...]


def recall(request: Reader) -> Printed:
    """The recall sheet.

    `request`: `house`, `trace` (answer of `honeyhold.stock.lots.trace` from a lot), `goods` ([{`id`, `name`, `plural`}]), `day`
    (printed on), `from_device` (whether a device worked it out; else the house gave all of it), `since` (the day from which on
    that device's list is complete; null where it does not know), `size` (`letter` or `a5`). Raises BadRequest naming the field that
    cannot be read.
    """
    house, day = house_facts(request), request.day("day")
    if day is None:
        raise request.wrong("day", "a day such as 2026-07-22")
    trace = request.mapping("trace")
    goods = {str(good.raw("id")): good for good in request.objects("goods")}
    lots = [lot.text("lot", needed=True) for lot in trace.objects("lots", least=1)]
    title = f"Recall {', '.join(lots)}"
    return printed(
        "recall.html",
        title,
        paper=request.choice("size", SIZES, "letter"),
        house=house,
        lots=lots,
        day=day_words(day),
        made_from=_lots(trace, "made_from"),
        went_into=_lots(trace, "went_into"),
        people=[_person(one, goods) for one in trace.objects("who_has")],
        not_named=[_part(part, goods) for part in trace.objects("not_named")],
        here=[_part(part, goods) for part in trace.objects("on_the_shelf")],
        complete=_complete(request.day("since"), request.raw("from_device") is True),
        running_head=f"{house.name} · {title}",
    )


def _lots(trace: Reader, key: str) -> list[str]:
    return [str(lot.raw("words") or lot.raw("lot")) for lot in trace.objects(key)]


def _person(entry: Reader, goods: Mapping[str, Reader]) -> RecallPerson:
    return RecallPerson(
        name=entry.text("name"),
        phone=phone_words(entry.text("phone")),
        address=entry.texts("address"),
        parts=tuple(_part(part, goods) for part in entry.objects("parcels")),
    )


def _part(part: Reader, goods: Mapping[str, Reader]) -> RecallPart:
    units = part.units("units", least=-UNITS_MAX) if part.raw("units") else 0
    good = goods.get(str(part.raw("good")), Reader({}))
    name = good.raw("name") if units == 1 else good.raw("plural") or good.raw("name")
    called = name or part.raw("good")
    much = f"{amount_words(abs(units), 'g')} of" if good.raw("unit") == "g" else f"{abs(units):,}"
    amount = f"{MINUS if units < 0 else ''}{much} {called}"
    on = part.day("on")
    return RecallPart(amount, str(part.raw("lot") or ""), str(part.raw("number") or ""), short_day_words(on) if on else "")


def _complete(since: date | None, from_device: bool) -> str:
    if not since and not from_device:
        return "From the main computer's own book: every order there ever was."
    known = f"orders since {day_words(since)}" if since else "what it was told, and orders may be missing"
    told = f"From one device, without signal: {known}."
    return f"{told} Complete only once the main computer is in reach: print it again then."
