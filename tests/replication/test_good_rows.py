"""The form of a good and whether its measures are typical: new devices say so, old ones and old files say nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from records.test_store import old_house
from replication.houses import device


def test_they_reach_every_device_and_are_empty_where_nobody_said(house: House) -> None:
    hand = device(house)
    hand.set_good([{"id": "tub", "name": "tub", "kind": "honey", "form": "tub", "typical": True}])
    hand.set_good([{"id": "tub", "typical": False}])
    hand.exchange()
    other = device(house, "B").view.rows["good"]
    assert hand.needs_you == []
    assert (other["tub"]["form"], other["tub"]["typical"]) == ("tub", False)
    assert (other["bar"]["form"], other["bar"]["typical"]) == ("", False)


@pytest.mark.parametrize("wrong", [{"form": "barrel"}, {"form": None}, {"typical": 1}])
def test_nonsense_is_refused_with_a_remedy(house: House, wrong: dict[str, object]) -> None:
    hand = device(house)
    hand.set_good([{"id": "bar", **wrong}])
    hand.exchange()
    (refused,) = hand.needs_you
    assert refused["remedy"] and next(iter(wrong)) in refused["why"]


def test_a_helper_may_not_change_what_is_sold(house: House) -> None:
    hand = DeviceClient.enrol(house, "Tablet", role="helper")
    hand.set_good([{"id": "bar", "price_cents": 1}])
    hand.exchange()
    assert [refused["remedy"] != "" for refused in hand.needs_you] == [True]
    assert device(house, "B").view.rows["good"]["bar"]["price_cents"] == 300


def test_goods_of_the_first_schema_come_through(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    with house.records.read():
        found = house.records.database.execute_sql("SELECT form, typical FROM good").fetchall()
    assert found and set(found) == {("", 0)} and house.check() == []
    house.close()
