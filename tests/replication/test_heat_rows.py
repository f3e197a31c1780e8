"""What heat adds to the one message: forecasts by the house, what was told, and how parcels came."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.operations.errors import Refused
from records.test_store import old_house
from replication.houses import DAY, Watch, device

DAYS = [{"day": "2026-07-21", "max_tenths": 331, "min_tenths": 204, "sky_percent": None}]


def forecast(place: str = "850", days: list[dict[str, Any]] | None = None) -> dict[str, Any]:
    moments = {"issued": "2026-07-20T11:00:00Z", "fetched_at": "2026-07-20T14:00:00Z"}
    return {"table": "forecast", "id": place, "service": "National Weather Service", "days": DAYS if days is None else days, **moments}


def sent(house: House, told: int | None = 120) -> tuple[DeviceClient, str, str]:
    """A parcel that has gone: the hand, the order, the parcel."""
    hand = device(house, bars=10)
    told_then = {"on": DAY, "leave_on": DAY, "dressing": "plain", "chance_permille": told or 0, "harmless": False}
    taken = hand.promise([("bar", 10)], person=hand.note_person(name="Ruth"), told=told_then, hold_at_counter=True)
    (parcel,) = hand.pack(taken.order, [{"carton": "box", "told_permille": told}])
    hand.hand_over(taken.order)
    hand.exchange()
    return hand, taken.order, parcel


def test_a_forecast_reaches_every_device_and_the_newest_stands(house: House) -> None:
    old, new = device(house, "A"), [{**DAYS[0], "max_tenths": 360}]
    house.write("foretell", [forecast()])
    house.write("foretell", [forecast(days=new), forecast("558")])
    old.exchange()
    for hand in (old, device(house, "B")):
        assert hand.view.rows["forecast"]["850"]["days"] == new and "558" in hand.view.rows["forecast"]


def test_only_the_house_foretells_and_never_nonsense(house: House) -> None:
    hand = device(house)
    hand.write("foretell", [forecast()])
    hand.exchange()
    assert "Only the main computer" in hand.needs_you[0]["why"]
    for days in ([{**DAYS[0], "max_tenths": 100}], [{**DAYS[0], "max_tenths": 900}], [{**DAYS[0], "max_tenths": 33.1}], [{}]):
        with pytest.raises(Refused) as said:
            house.write("foretell", [forecast(days=days)])
        assert said.value.remedy


def test_what_was_told_and_how_it_came_stay_with_the_order_and_its_parcel(house: House) -> None:
    hand, order, parcel = sent(house)
    hand.arrive({parcel: "dented"}, on="2026-07-24")
    hand.arrive({parcel: "fine"}, on="2026-07-25")
    hand.exchange()
    other = device(house, "B")
    assert hand.needs_you == [] and other.order(order)["told"]["chance_permille"] == 120 and other.order(order)["hold_at_counter"] is True
    row = other.view.rows["parcel"][parcel]
    assert (row["arrived"], row["arrived_on"], row["told_permille"]) == ("fine", "2026-07-25", 120)


def test_an_arrival_repeated_lands_once(house: House) -> None:
    hand, _, parcel = sent(house)
    hand.arrive({parcel: "fine"})
    before = house.position()
    hand.exchange()
    hand.exchange()
    assert house.position() == before + 1


@pytest.mark.parametrize("wrong", [{"id": "nobody-knows"}, {"arrived": "melted"}, {"scale_g": 3}, {"arrived_on": "soon"}])
def test_a_wrong_arrival_is_refused_whole_with_a_remedy(house: House, wrong: dict[str, Any]) -> None:
    hand, _, parcel = sent(house)
    row = {"table": "parcel", "id": parcel, "arrived": "fine", "arrived_on": DAY}
    hand.write("arrive", [{**row, **wrong}])
    hand.exchange()
    assert hand.needs_you[0]["why"] and hand.needs_you[0]["remedy"]
    assert device(house, "B").view.rows["parcel"][parcel]["arrived"] == ""


def test_what_has_not_gone_cannot_have_come(house: House) -> None:
    hand = device(house, bars=10)
    taken = hand.promise([("bar", 10)], person=hand.note_person(name="Ruth"))
    (parcel,) = hand.pack(taken.order, [{"carton": "box"}])
    hand.arrive({parcel: "fine"})
    hand.exchange()
    assert "has not left yet" in hand.needs_you[0]["why"]


def test_arrivals_of_long_ago_reach_a_new_device_without_their_plans(house: House, watch: Watch) -> None:
    hand, order, parcel = sent(house)
    hand.arrive({parcel: "run"})
    hand.pay(order, hand.view.owed(order))  # what still owes is not forgotten
    hand.exchange()
    watch.later(days=200)
    new = device(house, "New")
    assert order not in new.view.rows["order"]
    assert new.view.rows["parcel"][parcel]["arrived"] == "run" and "plan" not in new.view.rows["parcel"][parcel]


def test_an_old_file_gains_what_heat_keeps(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    orders = list(device(house).view.rows["order"].values())
    assert all(order["told"] == {} and order["hold_at_counter"] is False for order in orders)
    assert house.check() == []
    house.close()
