"""Goal: the slip of an order has what left, down to the last piece; method: single pieces from the shelf, by lot, undone and done again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from honeyhold.house.house import House
from replication.houses import device, movement, small_house


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = small_house(tmp_path)
    yield made
    made.close()


def lots_of(house: House, order: str) -> list[list[dict[str, Any]]]:
    """By line, which lots and how many of each."""
    return [line["lots"] for line in house.slip_request(order)["lines"]]


def test_a_single_piece_has_its_lot_before_and_after_it_left(house: House) -> None:
    """One bar and one jar: each stands with the one lot that it is of, of its own good."""
    hand = device(house, bars=5)
    order = hand.promise([("bar", 1)], person=hand.note_person(name="Ruth")).order
    hand.exchange()
    assert lots_of(house, order) == [[{"lot": None, "units": 1}]]
    hand.hand_over(order)
    hand.exchange()
    assert hand.needs_you == [] and lots_of(house, order) == [[{"lot": None, "units": 1}]]


def test_a_lot_used_up_is_not_picked_and_another_goods_never(house: House) -> None:
    """Of what lies here: the lot of this good that still has a piece."""
    made = {"table": "lot", "id": "W26-201-1", "good": "bar", "made_on": "2026-07-20"}
    house.write("make", [made, movement("bar", 1, "poured", "W26-201-1")])
    house.write("count", [movement("bar", -40, "lost")])
    hand = device(house, bars=1)
    order = hand.promise([("bar", 1)], person=hand.note_person(name="Ruth")).order
    hand.exchange()
    assert [[lot["lot"] for lot in lots] for lots in lots_of(house, order)] == [["W26-201-1"]]


def test_the_lot_that_was_made_first_is_picked_first_whatever_its_code(house: House) -> None:
    """By the day of its own making: three lots, of which the code that comes first was poured last."""
    for code, made_on in (("W26-100-1", "2026-07-22"), ("W26-200-1", "2026-07-18"), ("W26-300-1", "2026-07-20")):
        house.write("make", [{"table": "lot", "id": code, "good": "bar", "made_on": made_on}, movement("bar", 4, "poured", code)])
    house.write("count", [movement("bar", -40, "lost")])
    hand = device(house, bars=10)
    order = hand.promise([("bar", 10)], person=hand.note_person(name="Ruth")).order
    hand.exchange()
    assert lots_of(house, order) == [[
        {"lot": "W26-200-1", "units": 4}, {"lot": "W26-300-1", "units": 4}, {"lot": "W26-100-1", "units": 2},
    ]]  # fmt: skip


def test_what_was_taken_off_an_order_stands_on_no_slip(house: House) -> None:
    """A line of no units any more is a line that nobody packs."""
    hand = device(house, bars=5)
    order = hand.promise([("bar", 2), ("jar", 1)], person=hand.note_person(name="Ruth")).order
    hand.amend(order, lines=[("jar", 0)])
    hand.exchange()
    assert hand.needs_you == [] and [line["good"]["id"] for line in house.slip_request(order)["lines"]] == ["bar"]
