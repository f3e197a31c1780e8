"""What stands on a recall sheet of a lot, of so much of it in one place, and of how much the list knows."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from honeyhold.documents.reading import Reader
from honeyhold.documents.recall import RecallPart, RecallPerson, _complete, _lots, _part, _person

Json = dict[str, Any]
GOODS = {
    "bar": Reader({"id": "bar", "name": "wax bar", "plural": "wax bars", "unit": "each"}),
    "comb": Reader({"id": "comb", "name": "comb", "plural": ""}),
    "wax": Reader({"id": "wax", "name": "clean wax", "unit": "g"}),
}


def test_a_lot_is_told_in_its_words_or_by_its_code() -> None:
    lots = [{"lot": "K26-1", "words": "K26-1, cappings of June"}, {"lot": "K26-2", "words": ""}, {"lot": "K26-3"}]
    assert _lots(Reader({"made_from": lots}), "made_from") == ["K26-1, cappings of June", "K26-2", "K26-3"]
    assert _lots(Reader({}), "made_from") == []


@pytest.mark.parametrize(("good", "units", "amount"), [
    ("bar", 1, "1 wax bar"), ("bar", 2, "2 wax bars"), ("bar", 0, "0 wax bars"), ("bar", None, "0 wax bars"),
    ("bar", -1, "\N{MINUS SIGN}1 wax bars"), ("bar", -1200, "\N{MINUS SIGN}1,200 wax bars"),
    ("bar", 1200, "1,200 wax bars"), ("comb", 2, "2 comb"), ("comb", 1, "1 comb"), ("propolis", 2, "2 propolis"),
    ("wax", 454, "1 lb of clean wax"), ("wax", -454, "\N{MINUS SIGN}1 lb of clean wax"), ("wax", 0, "0 oz of clean wax"),
])  # fmt: skip
def test_how_much_of_what(good: str, units: int | None, amount: str) -> None:
    assert _part(Reader({"good": good, "units": units}), GOODS) == RecallPart(amount, "", "", "")


def test_where_it_is_from_and_where_it_went() -> None:
    part = Reader({"good": "bar", "units": 1, "lot": "W26-1", "number": "A-1", "on": "2026-07-20"})
    assert _part(part, GOODS) == RecallPart("1 wax bar", "W26-1", "A-1", "Mon Jul 20, 2026")


def test_whom_to_ring() -> None:
    parcels = [{"good": "bar", "units": 1}]
    entry = Reader({"name": "Ruth", "phone": "+17155550123", "address": ["1 Comb Lane", "", "Hayward"], "parcels": parcels})
    assert _person(entry, GOODS) == RecallPerson("Ruth", "715-555-0123", ["1 Comb Lane", "Hayward"], (RecallPart("1 wax bar", "", "", ""),))


AGAIN = "Complete only once the main computer is in reach: print it again then."


@pytest.mark.parametrize(("since", "from_device", "said"), [
    (None, False, "From the main computer's own book: every order there ever was."),
    (None, True, f"From one device, without signal: what it was told, and orders may be missing. {AGAIN}"),
    (date(2024, 7, 28), True, f"From one device, without signal: orders since Sunday, July 28, 2024. {AGAIN}"),
    (date(2024, 7, 28), False, f"From one device, without signal: orders since Sunday, July 28, 2024. {AGAIN}"),
])  # fmt: skip
def test_how_complete_the_list_is(since: date | None, from_device: bool, said: str) -> None:
    assert _complete(since, from_device) == said
