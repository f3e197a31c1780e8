"""Whatever a broken app or a stranger sends: a clear refusal with a remedy, nothing half landed, the queue moves on."""

from __future__ import annotations

from typing import Any

import pytest

from honeyhold.house.house import House
from replication.houses import DAY, Json, device, entry, movement, on_hand, said

ORDER: Json = {
    "table": "order", "id": "o1", "number": "A-1", "person": "p1", "way": "post", "state": "promised", "taken_on": DAY,
}  # fmt: skip
PERSON: Json = {"table": "person", "id": "p1", "name": "Orla"}
LINE: Json = {"table": "line", "id": "l1", "order": "o1", "good": "bar", "units": 5, "price_cents": 300}
HELD: Json = {"table": "reservation", "id": "r1", "order": "o1", "line": "l1", "good": "bar", "units": 5}
DEEP: Any = 1
for _ in range(40):
    DEEP = [DEEP]

PROMISE = [PERSON, ORDER, LINE]

REFUSED: dict[str, tuple[str, list[Any], Json, str]] = {
    # name: kind, rows, the rest of the entry, a word the refusal must hold
    "a kind that is none": ("bargain", [], {}, "bargain"),
    "a version from the future": ("buy", [movement("bar", 1, "bought")], {"version": 9}, "version 9"),
    "a version that is text": ("buy", [movement("bar", 1, "bought")], {"version": "1"}, "version"),
    "a day as the moment": ("buy", [movement("bar", 1, "bought")], {"made_at": DAY}, "made_at"),
    "a hash that does not fit": ("buy", [movement("bar", 1, "bought")], {"hash": "0" * 64}, "hash"),
    "a field of the envelope too many": ("buy", [movement("bar", 1, "bought")], {"mood": "good"}, "mood"),
    "no rows": ("buy", [], {}, "1 to 40"),
    "too many rows": ("buy", [movement("bar", 1, "bought") for _ in range(41)], {}, "41"),
    "rows that are no list": ("buy", "rows", {}, "rows"),  # type: ignore[dict-item]
    "a row that is no dictionary": ("buy", [7], {}, "rows"),
    "a table that is none": ("buy", [{"table": "till", "id": "x"}], {}, "till"),
    "a table of another kind": ("buy", [movement("bar", 1, "bought"), PERSON], {}, "person"),
    "a row without an id": ("note_person", [{"table": "person", "name": "Orla"}], {}, "id"),
    "an id with spaces": ("note_person", [{"table": "person", "id": "a b"}], {}, "id"),
    "an unknown field": ("note_person", [{**PERSON, "shoe": 44}], {}, "shoe"),
    "one of the house's own columns": ("promise", [PERSON, {**ORDER, "paid_cents": 900}, LINE], {}, "paid_cents"),
    "a fraction": ("buy", [movement("bar", 1.5, "bought")], {}, "fractions"),  # type: ignore[arg-type]
    "a whole number written as a fraction": ("buy", [movement("bar", 2.0, "bought")], {}, "fractions"),  # type: ignore[arg-type]
    "true as a number": ("buy", [movement("bar", True, "bought")], {}, "units"),
    "text as a number": ("buy", [movement("bar", "5", "bought")], {}, "units"),  # type: ignore[arg-type]
    "a number beyond all bounds": ("buy", [movement("bar", 10**12, "bought")], {}, "units"),
    "a number too large to be exact": ("buy", [movement("bar", 2**60, "bought")], {}, "too large"),
    "one as a yes": ("note_person", [{**PERSON, "hidden": 1}], {}, "hidden"),
    "a lone surrogate": ("note_person", [{**PERSON, "name": "\ud83d"}], {}, "half a character"),
    "a day that is none": ("buy", [{**movement("bar", 1, "bought"), "on": "2026-02-30"}], {}, "2026-02-30"),
    "a telephone number that is none": ("note_person", [{**PERSON, "phone": "call me"}], {}, "call me"),
    "a text too long": ("note_person", [{**PERSON, "note": "x" * 3000}], {}, "note"),
    "a reason that is none": ("buy", [movement("bar", 1, "stolen")], {}, "stolen"),
    "nesting without end": ("set_house", [{"table": "setting", "id": "deep", "value": DEEP}], {}, "nested"),
    "the same row twice": ("note_person", [PERSON, PERSON], {}, "person"),
    "two rows of one id": ("buy", [{**movement("bar", 1, "bought"), "id": "m"}, {**movement("bar", 2, "bought"), "id": "m"}],
                           {}, "same id"),
    "a good that is not there": ("buy", [movement("silver", 1, "bought")], {}, "silver"),
    "a lot that is not there": ("buy", [movement("bar", 1, "bought", "W99-1-1")], {}, "W99-1-1"),
    "buying what goes out": ("buy", [movement("bar", -1, "bought")], {}, "bought"),
    "counting what is poured": ("count", [movement("bar", 1, "poured")], {}, "poured"),
    "spoiling upwards": ("count", [movement("bar", 1, "spoiled")], {}, "spoiled"),
    "pouring downwards": ("make", [{"table": "lot", "id": "W", "good": "bar", "made_on": DAY}, movement("bar", -1, "poured")],
                          {}, "poured"),
    "a lot of no good": ("note_lot", [{"table": "lot", "id": "W", "good": "silver", "made_on": DAY}], {}, "silver"),
    "a new lot without its day": ("note_lot", [{"table": "lot", "id": "W", "good": "bar"}], {}, "made_on"),
    "spending where nothing is spent": ("buy", [movement("bar", 1, "bought")], {"spent": {"bar": 1}}, "set aside"),
    "spending nothing": ("give_back", [], {}, "Nothing"),
    "spending less than one": ("give_back", [], {"spent": {"bar": 0}}, "spent"),
    "spending of no good": ("give_back", [], {"spent": {"silver": 1}}, "silver"),
    "a promise to nobody": ("promise", [{**ORDER, "person": None}, LINE], {}, "person"),
    "a promise that has gone": ("promise", [PERSON, {**ORDER, "state": "gone"}, LINE], {}, "promised"),
    "a promise without lines": ("promise", [PERSON, ORDER], {}, "line"),
    "a promise of nothing": ("promise", [PERSON, ORDER, {**LINE, "units": 0}], {}, "0 units"),
    "a line of another order": ("promise", [PERSON, ORDER, {**LINE, "order": "o2"}], {}, "another order"),
    "reserving without spending": ("promise", [*PROMISE, HELD], {}, "share"),
    "spending without reserving": ("promise", PROMISE, {"spent": {"bar": 5}}, "share"),
    "reserving more than is wanted": ("promise", [*PROMISE, {**HELD, "units": 6}], {"spent": {"bar": 6}}, "6"),
    "reserving another good": ("promise", [*PROMISE, {**HELD, "good": "jar"}], {"spent": {"jar": 5}}, "jar"),
    "reserving less than nothing": ("promise", [*PROMISE, {**HELD, "units": -5}], {}, "-5"),
    "promising more than there are": ("promise", [PERSON, ORDER, {**LINE, "units": 90}, {**HELD, "units": 90}],
                                      {"spent": {"bar": 90}}, "50"),
    "amending what is not there": ("amend", [{"table": "order", "id": "nowhere", "note": "x"}], {}, "nowhere"),
    "amending two orders": ("amend", [{"table": "order", "id": "o1"}, {**LINE, "order": "o2"}], {}, "one order"),
    "letting go what is not there": ("let_go", [{"table": "order", "id": "nowhere", "state": "let_go"}], {}, "nowhere"),
    "handing over what is not there": ("hand_over", [{"table": "order", "id": "nowhere", "state": "gone"},
                                                     movement("bar", -1, "gone")], {}, "nowhere"),
    "paying for what is not there": ("pay", [{"table": "payment", "id": "p", "order": "nowhere", "cents": 5, "how": "cash",
                                              "on": DAY}], {}, "nowhere"),
    "weighing what is not packed": ("weigh", [{"table": "parcel", "id": "nowhere", "scale_g": 5}], {}, "nowhere"),
    "a carton that is a bar": ("set_good", [{"table": "good", "id": "bar", "rank": 1},
                                            {"table": "carton", "id": "bar", "inner": ["1", "1", "1"], "outer": ["1", "1", "1"]}],
                               {}, "not a carton"),
    "a carton of two lengths": ("set_good", [{"table": "good", "id": "box", "rank": 1},
                                             {"table": "carton", "id": "box", "inner": ["1", "1"]}], {}, "lengths"),
    "believing what was never so": ("note_person", [{**PERSON, "was": {"name": "Ruth"}}], {}, "changed meanwhile"),
    "a was that is no dictionary": ("note_person", [{**PERSON, "was": "Ruth"}], {}, "dictionary"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_broken_entry_is_refused_with_a_remedy_and_the_queue_moves_on(house: House, name: str) -> None:
    kind, rows, rest, word = REFUSED[name]
    hand = device(house)
    broken = entry(hand, kind, rows, **rest)
    before = house.position()
    hand.log.append(broken)
    good = entry(hand, "buy", [movement("jar", 1, "bought")])
    answer = said(house, hand, broken, good)
    (refusal,) = answer["refused"]
    assert word in refusal["why"] and refusal["remedy"], refusal
    assert refusal["id"] == broken["id"] and answer["last_seq"] == 2
    assert [told["id"] for told in answer["landed"]] == [good["id"]] and answer["landed"][0]["position"] == before + 1
    assert on_hand(house) == 40 and on_hand(house, "jar") == 21


UNPLACED: dict[str, Any] = {
    "no dictionary": 7,
    "nothing": None,
    "an id that is none": {"id": "x"},
    "no sequence number": {"seq": None},
    "a sequence number of nought": {"seq": 0},
    "a sequence number as text": {"seq": "1"},
    "another device's": {"device": "2d83a823-3fb6-4d2c-8186-2fc9634f806f"},
    "a hash that is none": {"hash": "abc"},
    "a before that is none": {"before": "abc"},
}


@pytest.mark.parametrize("name", UNPLACED)
def test_an_entry_that_cannot_be_placed_stops_the_reading(house: House, name: str) -> None:
    hand = device(house)
    change = UNPLACED[name]
    broken = {**entry(hand, "buy", [movement("bar", 1, "bought")]), **change} if isinstance(change, dict) else change
    answer = said(house, hand, broken)
    assert answer["expects"]["seq"] == 1 and answer["expects"]["why"] and answer["landed"] == answer["refused"] == []
    assert on_hand(house) == 40


def test_a_fact_of_an_unknown_lot_lands_without_it(house: House) -> None:
    hand = device(house)
    hand.sell([("bar", 2)], lots={"bar": [("W99-1-1", 2)]})
    hand.exchange()
    assert hand.needs_you == [] and on_hand(house) == 38 and hand.on_hand("bar", "W99-1-1") == 0
