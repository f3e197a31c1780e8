"""Numbers, shapes and names are bounded where they come in: nothing that lands can break what is read later."""

from __future__ import annotations

from typing import Any

import pytest

from honeyhold.house.house import House
from honeyhold.operations.schemas import BadShape
from replication.houses import DAY, Json, ask, device, entry, movement, on_hand, said
from replication.test_malformed import HELD, LINE, ORDER, PERSON

WISHES: list[Any] = [
    {"bar": 10**12}, {"bar": -4}, {"bar": "many"}, {"\ud800": 5}, {"bar": 1.5}, {f"g{number}": 1 for number in range(5000)},
]  # fmt: skip


def refusal(house: House, kind: str, rows: list[Json], **more: Any) -> str:
    """Why one entry is refused; the mirror must be there afterwards."""
    hand = device(house, bars=10)
    answer = said(house, hand, entry(hand, kind, rows, **more))
    house.mirror(hand.identity["token"])
    assert house.check() == []
    return str(answer["refused"][0]["why"]) if answer["refused"] else ""


def test_a_sale_beyond_all_sums_is_refused_and_the_mirror_stays(house: House) -> None:
    sold = {**ORDER, "way": "walk_in", "state": "gone"}
    lines = [{**LINE, "id": f"l{one}", "units": 10**9, "price_cents": 10**9} for one in range(12)]
    left = [movement("bar", -(10**9), "sold", order="o1", line=line["id"]) for line in lines]
    assert "units" in refusal(house, "sell", [PERSON, sold, *lines, *left])


def test_the_largest_sale_that_may_be_told_is_added_up(house: House) -> None:
    sold = {**ORDER, "way": "walk_in", "state": "gone"}
    lines = [{**LINE, "id": f"l{one}", "units": 10**6, "price_cents": 10**8} for one in range(40)]
    left = [movement("bar", -(10**6), "sold", order="o1", line=line["id"]) for line in lines]
    hand = device(house)
    assert not said(house, hand, entry(hand, "sell", [PERSON, sold, *lines, *left]))["refused"]
    assert house.mirror(hand.identity["token"])["rows"] and house.check() == []


@pytest.mark.parametrize(
    "row",
    [
        {"table": "person", "id": "p1\n", "name": "Orla"},
        {"table": "person", "id": "p1", "name": "Orla", "phone": "+17155550123\n"},
    ],
)
def test_a_line_break_after_the_end_does_not_pass(house: House, row: Json) -> None:
    assert "cannot be read" in refusal(house, "note_person", [row])


def test_a_day_or_a_moment_with_a_line_break_does_not_pass(house: House) -> None:
    assert "on:" in refusal(house, "buy", [{**movement("bar", 1, "bought"), "on": f"{DAY}\n"}])
    hand = device(house, "Tablet")
    answer = said(house, hand, entry(hand, "buy", [movement("bar", 1, "bought")], made_at="2026-07-20T14:10:03Z\n"))
    assert "made_at" in answer["refused"][0]["why"]


@pytest.mark.parametrize("name", ["wants", "callers"])
@pytest.mark.parametrize("wish", WISHES)
def test_a_wish_that_cannot_be_read_holds_up_no_entry(house: House, name: str, wish: Any) -> None:
    hand = device(house)
    answer = said(house, hand, entry(hand, "buy", [movement("bar", 1, "bought")]), **{name: wish})
    assert answer["landed"] and on_hand(house) == 41


def test_a_counter_that_cannot_be_read_is_still_a_broken_app(house: House) -> None:
    hand = device(house)
    with pytest.raises(BadShape):
        house.exchange(hand.identity["token"], ask(hand, spent={"bar": -1}))


@pytest.mark.parametrize(
    ("kind", "reason", "units"), [("count", "counted", 3), ("count", "broken", -3), ("make", "poured", 3), ("buy", "bought", 3)]
)
def test_what_is_made_counted_or_bought_names_no_order(house: House, kind: str, reason: str, units: int) -> None:
    """It would change what was handed over to somebody else."""
    hand = device(house, bars=10)
    assert said(house, hand, entry(hand, "promise", [PERSON, ORDER, LINE, HELD], spent={"bar": 5}))["landed"]
    other = device(house, "Tablet", role="helper")
    for names in ({"line": "l1"}, {"order": "o1"}, {"order": "o1", "line": "l1"}):
        rows = [{"table": "lot", "id": "L1", "good": "bar", "made_on": DAY}] if kind == "make" else []
        answer = said(house, other, entry(other, kind, [*rows, movement("bar", units, reason, **names)]))
        assert "names an order" in answer["refused"][0]["why"]
        other.log.append({"seq": len(other.log) + 1, "hash": _last_hash(house, other)})
    assert house.check() == []


def _last_hash(house: House, hand: Any) -> str:
    with house.records.read():
        (found,) = house.records.sql("SELECT last_hash FROM device_state WHERE id = ?", hand.identity["device"]).fetchone()
    return str(found)


@pytest.mark.parametrize(
    ("name", "value"),
    [("name", ["Nine Lindens"]), ("phone", 7), ("closing_words", {"a": 1}), ("posting_days", "Mon"), ("posting_days", ["Monday", 3]),
     ("leave_hour", "15"), ("leave_hour", 24), ("leave_hour", True), ("slip_prices", 1), ("posting_prices", [1]),
     ("paper", "poster"), ("label_size", "large"), ("label_picture", "https://example.org/a.png"), ("label_picture", 7),
     ("label_sheet", {"columns": 0}), ("label_sheet", {"left": 5}), ("label_words", {"bar": "best"}),
     ("label_words", {"bar": {"sub": "x"}})],
)  # fmt: skip
def test_a_setting_of_a_wrong_sort_is_refused_before_a_paper_meets_it(house: House, name: str, value: Any) -> None:
    assert f"setting {name} is" in refusal(house, "set_house", [{"table": "setting", "id": name, "value": value}])


@pytest.mark.parametrize("name", ["name", "posting_days", "leave_hour", "something_new"])
def test_a_setting_may_be_emptied_and_a_new_one_be_anything(house: House, name: str) -> None:
    assert refusal(house, "set_house", [{"table": "setting", "id": name, "value": None}]) == ""
    assert refusal(house, "set_house", [{"table": "setting", "id": "something_new", "value": {"a": [1]}}]) == ""
