"""Whose price an order's posting is: said by new devices, nothing by old ones, and nonsense is refused with a remedy."""

from __future__ import annotations

from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from records.test_store import old_house
from replication.houses import device


def promised(hand: DeviceClient, **posting: object) -> str:
    """An order by post of one bar."""
    return hand.promise([("bar", 1)], person=hand.note_person(name="Ruth"), way="post", **posting).order


def test_it_reaches_every_device_and_is_empty_where_nobody_said(house: House) -> None:
    hand = device(house, bars=10)
    said, unsaid = promised(hand, posting_cents=700, posting_by="table"), promised(hand, posting_cents=900)
    hand.amend(said, posting_cents=650, posting_by="hand")
    hand.exchange()
    other = device(house, "B")
    assert hand.needs_you == []
    assert (other.order(said)["posting_by"], other.order(said)["posting_cents"]) == ("hand", 650)
    assert other.order(unsaid)["posting_by"] == ""


@pytest.mark.parametrize("wrong", ["guess", None, 1])
def test_nonsense_is_refused_with_a_remedy(house: House, wrong: object) -> None:
    hand = device(house, bars=10)
    promised(hand, posting_by=wrong)
    hand.exchange()
    (refused,) = hand.needs_you
    assert refused["remedy"]


def test_orders_of_the_first_schema_come_through_with_nobody_said(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    with house.records.read():
        found = house.records.database.execute_sql('SELECT posting_by FROM "order"').fetchall()
    assert found and {by for (by,) in found} == {""} and house.check() == []
    house.close()
