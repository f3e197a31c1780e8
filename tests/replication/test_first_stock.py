"""The first stock of a new house: what its only device wrote down is all its own to promise, once the house has heard of it."""

from __future__ import annotations

from pathlib import Path

from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from replication.houses import Watch, device, movement, pool


def _empty(folder: Path) -> House:
    return House.open(folder / "data", now=Watch())


def _opening(hand: DeviceClient, units: int) -> None:
    hand.write("set_good", [{"table": "good", "id": "jar", "name": "jar", "kind": "honey", "price_cents": 900}])
    hand.write("buy", [movement("jar", units)])


def test_the_only_device_holds_all_of_its_first_stock_in_the_same_exchange(tmp_path: Path) -> None:
    """Six jars: fewer than two usual orders, and sure all the same, for nobody else could promise them."""
    house = _empty(tmp_path)
    hand = DeviceClient.enrol(house, "phone", "keeper")
    hand.exchange()
    _opening(hand, 6)
    assert hand.share("jar") == 0
    hand.exchange(wants={"jar": 20})
    assert (hand.share("jar"), pool(house, "jar")) == (6, 0)
    assert house.check() == []
    house.close()


def test_a_second_device_is_not_left_with_nothing(tmp_path: Path) -> None:
    """Of plenty the first took no more than it may need."""
    house = _empty(tmp_path)
    first = DeviceClient.enrol(house, "phone", "keeper")
    first.exchange()
    _opening(first, 40)
    first.exchange(wants={"jar": 40})
    assert first.share("jar") >= 10
    second = device(house, "tablet")
    second.exchange(wants={"jar": 20})
    assert second.share("jar") >= 5
    assert house.check() == []
    house.close()
