"""Whoever waited and has all of it now is to be called, and every device says so until somebody called them."""

from __future__ import annotations

from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from records.test_store import old_house
from replication.houses import device


def said(hand: DeviceClient, order: str) -> str:
    """Why its person is to be called, as a device knows it; nobody said anything of an order of which nothing came."""
    return str(hand.order(order).get("call_for", ""))


def poured(hand: DeviceClient, bars: int) -> None:
    lot = f"W26-{len(hand.log)}-1"
    hand.make([{"id": lot, "good": "bar", "made_on": "2026-07-20"}], [("bar", lot, bars, "poured")])


def test_a_pour_that_fills_an_order_names_whom_to_call_and_a_part_of_it_does_not(house: House) -> None:
    hand, other = device(house, bars=40), device(house, "B")
    first = hand.promise([("bar", 45)], person=hand.note_person(name="Ann"), way="pick_up").order
    second = hand.promise([("bar", 10)], person=hand.note_person(name="Bob"), way="pick_up").order
    hand.exchange()
    assert said(hand, first) == ""
    poured(hand, 10)
    hand.exchange()
    hand.exchange()
    other.exchange()
    assert (said(other, first), said(other, second)) == ("here", "")
    other.amend(first, call_for="", called_on="2026-07-20")
    other.exchange()
    poured(hand, 10)
    hand.exchange()
    hand.exchange()
    assert (hand.order(first)["call_for"], hand.order(first)["called_on"]) == ("", "2026-07-20")
    assert said(hand, second) == "here" and hand.needs_you == [] and house.check() == []


def test_of_two_goods_both_must_be_here(house: House) -> None:
    hand = device(house, bars=40)
    order = hand.promise([("bar", 45), ("jar", 25)], person=hand.note_person(name="Ann"), way="pick_up").order
    poured(hand, 10)
    hand.exchange()
    hand.exchange()
    assert said(hand, order) == ""
    hand.buy([("jar", None, 10, "opening")])
    hand.exchange()
    hand.exchange()
    assert said(hand, order) == "here"


@pytest.mark.parametrize("wrong", [{"call_for": "soon"}, {"called_on": "yesterday"}])
def test_nonsense_is_refused_with_a_remedy(house: House, wrong: dict[str, str]) -> None:
    hand = device(house, bars=10)
    hand.amend(hand.promise([("bar", 1)], person=hand.note_person(name="Ann")).order, **wrong)
    hand.exchange()
    (refused,) = hand.needs_you
    assert refused["remedy"]


def test_orders_of_the_first_schema_call_for_nobody(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    with house.records.read():
        found = house.records.database.execute_sql('SELECT DISTINCT call_for, called_on FROM "order"').fetchall()
    assert found == [("", None)] and house.check() == []
    house.close()
