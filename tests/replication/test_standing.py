"""Goal: what is wanted again and again is promised once a day of it; method: two devices confirm and cancel it in any order."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient
from hypothesis import given, settings
from hypothesis import strategies as st

from honeyhold.house.house import House
from honeyhold.operations.standing_names import line_id, order_id
from honeyhold.records.models import Order
from quick_disk import QUICK_DISK
from replication.houses import device as added
from replication.houses import small_house

DAY = "2026-08-01"
ACTS = st.lists(st.tuples(st.sampled_from([0, 1]), st.sampled_from(["confirm", "cancel", "speak"])), max_size=14)


@pytest.fixture
def place(tmp_path: Any) -> Any:
    """A house with two devices, each with bars of its own, and Ruth who wants ten each month."""
    house = small_house(tmp_path)
    keeper, other = added(house), added(house, "Kitchen")
    ruth = keeper.note_person(name="Ruth")
    standing = keeper.note_standing(person=ruth, wanted=[("bar", 2)], way="pick_up", every="month", interval=1, first_on="2026-07-01")
    keeper.exchange()
    for device in (keeper, other):
        device.exchange(callers={"bar": 10})
    yield house, (keeper, other), standing
    house.close()


def _refused(device: DeviceClient) -> list[str]:
    """Why its entries were refused."""
    return [answer["why"] for answer in device.answered.values() if "why" in answer]


def _of_the_day(house: House, standing: str) -> list[dict[str, Any]]:
    with house.records.read():
        return [row for row in house.records.rows_of(Order, "standing", standing) if row["standing_on"] == DAY]


def test_a_day_confirmed_on_two_devices_is_one_order_and_nobody_is_asked(place: Any) -> None:
    house, (keeper, other), standing = place
    for device in (keeper, other):
        device.promise_standing(standing, DAY)
    keeper.exchange()
    other.exchange()
    (order,) = _of_the_day(house, standing)
    assert order["id"] == order_id(standing, DAY)
    (refused,) = _refused(other)
    assert refused.startswith("Already promised") and order["number"] in refused and other.needs_you == []
    assert other.share("bar") + keeper.share("bar") == 16, "what the second one had promised is the pool's again, not lost: two are spent"
    with house.records.read():
        on_hand, promised = house.records.sql("SELECT on_hand, promised FROM balance WHERE good = 'bar'").fetchone()
    assert promised == 2 and on_hand >= 20
    keeper.exchange()
    other.exchange()
    assert other.view.rows["line"].keys() == keeper.view.rows["line"].keys() == {line_id(order["id"], "bar")}


def test_what_the_second_device_said_of_it_since_finds_the_one_that_stands(place: Any) -> None:
    house, (keeper, other), standing = place
    for device in (keeper, other):
        device.promise_standing(standing, DAY)
    other.amend(order_id(standing, DAY), note="in the evening")
    for device in (keeper, other):
        device.exchange()
    assert _of_the_day(house, standing)[0]["note"] == "in the evening"


@pytest.mark.parametrize("wrong", [{"id": "another"}, {"standing_on": None}, {"standing": None}], ids=str)
def test_an_order_of_a_standing_order_is_called_as_its_day_says(place: Any, wrong: dict[str, Any]) -> None:
    house, (keeper, _), standing = place
    person = keeper.view.rows["standing"][standing]["person"]
    named = {"id": order_id(standing, DAY), "standing": standing, "standing_on": DAY, **wrong}
    keeper.promise([("bar", 1)], person=person, way="pick_up", **named)
    keeper.exchange()
    assert len(_refused(keeper)) == 1 and _of_the_day(house, standing) == []


def test_a_change_does_not_move_an_order_to_another_standing_order(place: Any) -> None:
    house, (keeper, _), standing = place
    order = keeper.promise_standing(standing, DAY).order
    keeper.amend(order, standing_on="2026-09-01")
    keeper.exchange()
    assert len(_refused(keeper)) == 1 and _of_the_day(house, standing)[0]["id"] == order


def test_a_good_that_is_not_sold_here_is_not_wanted(place: Any) -> None:
    _, (keeper, _), standing = place
    keeper.note_standing(standing, wanted=[("moon", 1)])
    keeper.exchange()
    (refused,) = keeper.needs_you
    assert "moon" in refused["why"] and refused["remedy"]


@given(ACTS)
@settings(max_examples=60, deadline=None)
def test_whatever_two_devices_do_at_most_one_order_of_a_day_stands(acts: list[tuple[int, str]]) -> None:
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        house = small_house(Path(folder))
        devices = (added(house), added(house, "Kitchen"))
        keeper, _ = devices
        person = keeper.note_person(name="Ruth")
        standing = keeper.note_standing(person=person, wanted=[("bar", 2)], way="pick_up", every="month", interval=1, first_on="2026-07-01")
        for device in devices:
            device.exchange(callers={"bar": 10})
        for at, what in acts:
            _do(devices[at], standing, what)
            assert sum(row["state"] != "let_go" for row in _of_the_day(house, standing)) <= 1
        for device in (*devices, *devices):
            device.exchange()
        stands = [row["id"] for row in _of_the_day(house, standing) if row["state"] != "let_go"]
        for device in devices:
            mine = [one["id"] for one in device.view.rows["order"].values() if one["state"] != "let_go"]
            assert mine == stands
            assert all("canceled meanwhile" in said["why"] for said in device.needs_you), "else nobody has anything to do"
        assert house.check() == []
        house.close()


def _do(device: DeviceClient, standing: str, what: str) -> None:
    if what == "speak":
        device.exchange()
        return
    known = [one for one in device.view.rows["order"].values() if one.get("standing") == standing and one["state"] != "let_go"]
    if what == "confirm" and not known:
        device.promise_standing(standing, DAY)
    elif what == "cancel" and known:
        device.let_go(known[0]["id"])
