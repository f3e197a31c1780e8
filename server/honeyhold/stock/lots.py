"""Lots: the code written on a batch, and the way of its material forward to the people who have it and back
to the comb.

A code is a kind letter, two digits of the year, the day of the year and, where there may be several, the run:
`W26-204-1` is the first pour of wax on July 23, 2026. Specked bars go back into a later melt, so material may
go round; a lot never does, because a re-melt is a new lot.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from honeyhold.stock.days import date_words, parse_day
from honeyhold.stock.errors import LotLoop, UnreadableField, UnreadableText
from honeyhold.stock.people import address_lines, phone_words
from honeyhold.stock.reading import Request, name_or_none, rows, text, whole
from honeyhold.stock.words import joined

KINDS = {
    "H": "extraction",
    "J": "bottling",
    "C": "creamed honey",
    "R": "honey from cappings",
    "K": "cappings",
    "M": "first melt",
    "D": "dipped wax",
    "S": "coarse screened wax",
    "F": "fine screened wax",
    "X": "specks to melt again",
    "W": "wax bars",
    "B": "candle blocks",
}

Edges = dict[str, list[str]]


def _edges(lots: Sequence[Mapping[str, Any]]) -> tuple[Edges, Edges]:
    """Sources of each lot, and what each lot went into."""
    sources: Edges = {}
    uses: Edges = {}
    for row in lots:
        code = str(row.get("id"))
        given = row.get("sources") or []
        if not isinstance(given, list | tuple):
            raise UnreadableField(f"sources of {code}", given, "a list of lots")
        sources[code] = [str(source) for source in given if source != code]  # of some of a lot more of it may be made
        for source in sources[code]:
            uses.setdefault(source, []).append(code)
    return sources, uses


def _reach(starts: Sequence[str], edges: Edges) -> list[str]:
    """Everything that can be reached from the starts, nearest first, the starts left out unless reached
    again.
    """
    found: dict[str, None] = {}
    row = list(starts)
    while row:
        row = [lot for start in row for lot in edges.get(start, []) if lot not in found]
        row = list(dict.fromkeys(row))
        found.update(dict.fromkeys(row))
    return list(found)


def _refuse_loop(starts: Sequence[str], sources: Edges) -> None:
    """Raise LotLoop if the way back from the starts comes round to where it has been."""
    done: set[str] = set()
    trail: list[str] = []
    stack: list[tuple[str, bool]] = [(start, False) for start in starts]
    while stack:
        lot, leaving = stack.pop()
        if leaving:
            done.add(trail.pop())
        elif lot in trail:
            raise LotLoop([*trail[trail.index(lot) :], lot])
        elif lot not in done:
            trail.append(lot)
            stack.append((lot, True))
            stack.extend((source, False) for source in sources.get(lot, []))


class _Sent:
    """What went out of the chosen lots, and what of them is still here, in one pass over the movements."""

    def __init__(self, chosen: set[str]) -> None:
        self.chosen = chosen
        self.on_shelf: dict[tuple[str, str], int] = {}
        self.by_order: dict[tuple[str, str, str], dict[str, Any]] = {}

    def add(self, row: Mapping[str, Any]) -> None:
        lot = name_or_none(row, "lot")
        if lot not in self.chosen:
            return
        good, units = str(row.get("good")), whole(row, "units", least=-10_000_000)
        self.on_shelf[(str(lot), good)] = self.on_shelf.get((str(lot), good), 0) + units
        if row.get("reason") in ("gone", "sold", "gift") or (row.get("order") and row.get("reason") != "packed"):
            # what came back, by whatever reason, has units above zero: it lowers what they have
            key = (str(row.get("order") or ""), str(lot), good)
            parcel = self.by_order.setdefault(
                key, {"lot": str(lot), "good": good, "units": 0, "on": row.get("on")}
            )
            parcel["units"] -= units


def _lots_of_order(request: Request, order: str) -> list[str]:
    """The lots from which the order was filled, in code order."""
    gone = _Sent({str(row.get("lot")) for row in rows(request, "movements") if row.get("lot")})
    for row in rows(request, "movements"):
        if row.get("order") == order:
            gone.add(row)
    return sorted({lot for (_, lot, _), parcel in gone.by_order.items() if parcel["units"] > 0})


def _who_has(request: Request, sent: _Sent) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """People with what they got, sorted by name; and what left without a name."""
    orders = {text(row, "id"): row for row in rows(request, "orders", optional=True)}
    people = {text(row, "id"): row for row in rows(request, "people", optional=True)}
    has: dict[str, dict[str, Any]] = {}
    not_named: list[dict[str, Any]] = []
    for (order_id, _, _), left in sorted(sent.by_order.items()):
        if left["units"] <= 0:
            continue
        order = orders.get(order_id, {})
        parcel = {"order": order_id or None, "number": order.get("number"), **left}
        person = people.get(name_or_none(order, "person") or "")
        if person is None:
            not_named.append(parcel)
            continue
        name, phone = str(person.get("name") or "no name"), str(person.get("phone") or "")
        entry = has.setdefault(
            str(person["id"]),
            {
                "person": person["id"],
                "name": name,
                "phone": phone,
                "address": _address(person),
                "units": 0,
                "parcels": [],
            },
        )
        entry["units"] += parcel["units"]
        entry["parcels"].append(parcel)
    return sorted(has.values(), key=lambda entry: (entry["name"].casefold(), entry["person"])), not_named


def _address(person: Mapping[str, Any]) -> list[str]:
    """The lines of an envelope without the name; none when no street is known."""
    fields = {field: str(person.get(field) or "") for field in ("street", "unit", "city", "state", "zip")}
    try:
        return address_lines(fields) if fields["street"] else []
    except (UnreadableField, UnreadableText):  # whoever has to be reached is not left out for an odd address
        return [line for line in (f"{fields['street']} {fields['unit']}".strip(), " ".join(list(fields.values())[2:])) if line.strip()]


def _words(
    starts: Sequence[str], people: list[dict[str, Any]], not_named: list[dict[str, Any]], here: int
) -> str:
    """The answer as one would say it at the table."""
    named = []
    for entry in people:
        phone = f", {phone_words(entry['phone'])}" if re.fullmatch(r"\+[1-9]\d{6,14}", entry["phone"]) else ""
        named.append(f"{entry['name']} ({entry['units']}{phone})")
    words = [f"{joined(starts)}: " + (joined(named) + "." if named else "nobody with a name has any.")]
    if not_named:
        words.append(f"{sum(parcel['units'] for parcel in not_named):,} went to people without a name.")
    if here:
        words.append(f"{here:,} still on the shelf.")
    return " ".join(words)


def trace(request: Request) -> dict[str, Any]:
    """Who has it, and what is in it: from a lot, or from an order, both ways at once.

    From a lot: `made_from` are all lots behind it, nearest first; `went_into` all lots made from it;
    `who_has` everybody who got any of it or of what it went into, sorted by name, `not_named` what left
    without a name. From an order: the lots it was filled from, what they were made from, and who else has
    some of them. One pass over the movements, so a book of 20,000 orders is answered at once. Shapes:
    README.md. Raises UnreadableField, LotLoop.
    """
    lots = rows(request, "lots")
    known = {str(row.get("id")): row for row in lots}
    sources, uses = _edges(lots)
    if request.get("order") is not None:
        starts = _lots_of_order(request, request["order"])
    else:
        starts = [str(request.get("lot") or "")]
        if starts[0] not in known and starts[0] not in uses:
            raise UnreadableField("lot", request.get("lot"), "the code of a lot in the book")
    _refuse_loop([*starts, *_reach(starts, uses)], sources)
    went_into = _reach(starts, uses)
    sent = _Sent({*starts, *went_into})
    for row in rows(request, "movements"):
        sent.add(row)
    people, not_named = _who_has(request, sent)
    shelf = [
        {"lot": lot, "good": good, "units": n} for (lot, good), n in sorted(sent.on_shelf.items()) if n > 0
    ]
    here = sum(units for (lot, _), units in sent.on_shelf.items() if lot in starts and units > 0)
    return {
        "lots": [_described(lot, known) for lot in starts],
        "made_from": [_described(lot, known) for lot in _reach(starts, sources)],
        "went_into": [_described(lot, known) for lot in went_into],
        "who_has": people,
        "not_named": not_named,
        "on_the_shelf": shelf,
        "words": _words(starts, people, not_named, here)
        if starts
        else "No lot was written down for this order.",
    }


def _described(lot: str, known: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """A lot with its good and day; not `known` when only other lots name it."""
    row = known.get(lot, {})
    made_on = row.get("made_on")
    words = f"{lot}, {date_words(parse_day(made_on, 'made_on'))}" if made_on else lot
    return {"lot": lot, "good": row.get("good"), "made_on": made_on, "known": lot in known, "words": words}
