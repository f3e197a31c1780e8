"""The first stock of a new house: what its only device wrote down is all its own to promise, once the house has heard of it."""

from __future__ import annotations

from pathlib import Path

from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.replication.allocation import PLENTY_UNITS
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


def test_of_plenty_each_gets_what_is_lacking_and_at_most_an_even_part(house: House) -> None:
    """A wish said again is no second helping: what the device holds already counts."""
    house.write("buy", [movement("bar", PLENTY_UNITS * 3, "bought")])
    first, second = device(house), device(house, "Kitchen")
    for wished, held in ((20, 20), (20, 20), (50, 50), (30, 50)):
        first.exchange(wants={"bar": wished})
        assert first.share("bar") == held
    before = pool(house)
    second.exchange(wants={"bar": before})
    assert second.share("bar") == before // 3
