"""Goal: two orders to one address go in one parcel, nothing of either is lost; method: joined, parted, packed, mailed, by two devices."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.queries.slip import slip_request
from replication.houses import MONDAY, device, on_hand, small_house

Place = tuple[House, DeviceClient, DeviceClient, str, str]


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Place]:
    """A house, two devices, and two orders of Ruth's that both of them know."""
    house = small_house(tmp_path)
    keeper, other = device(house, bars=20), device(house, "Kitchen")
    ruth = keeper.note_person(name="Ruth", street="4 Heron Sill Rd", city="Duluth", zip="55811")
    first, second = (keeper.promise([("bar", units)], person=ruth, posting_cents=900).order for units in (5, 3))
    for one in (keeper, other):
        one.exchange()
    yield house, keeper, other, first, second
    house.close()


def test_both_are_packed_printed_and_mailed_as_one(place: Place) -> None:
    house, keeper, _, first, second = place
    keeper.amend(second, goes_with=first, posting_cents=0)
    keeper.pack(first, [{"carton": "box", "gross_g": 500}])
    keeper.exchange()
    assert keeper.needs_you == [] and keeper.order(second)["state"] == "packed"
    with house.records.read():
        slip = slip_request(house.records, first, "letter", MONDAY.date(), {})
    assert [line["units"] for line in slip["lines"]] == [5, 3] and slip["order"]["number"] == "A-1, A-2"
    assert slip["order"]["posting_cents"] == 900
    before = on_hand(house)
    keeper.hand_over(first)
    keeper.exchange()
    assert on_hand(house) == before - 8 and keeper.order(second)["state"] == "gone" and house.check() == []


def test_they_are_parted_again(place: Place) -> None:
    _, keeper, other, first, second = place
    keeper.amend(second, goes_with=first)
    keeper.exchange()
    other.exchange()
    other.amend(second, goes_with=None)
    other.exchange()
    other.pack(first, [{"carton": "box"}])
    other.exchange()
    assert other.needs_you == [] and other.order(second)["state"] == "promised"


def test_each_in_the_parcel_of_the_other_from_two_devices_is_one_of_both(place: Place) -> None:
    _, keeper, other, first, second = place
    keeper.amend(second, goes_with=first)
    other.amend(first, goes_with=second)
    keeper.exchange()
    other.exchange()
    (refused,) = other.needs_you
    assert "another parcel already" in refused["why"]
    assert (other.order(first).get("goes_with"), other.order(second)["goes_with"]) == (None, first)


@pytest.mark.parametrize("wrong", ["itself", "picked up", "packed"])
def test_only_two_parcels_still_to_be_packed_go_together(place: Place, wrong: str) -> None:
    _, keeper, _, first, second = place
    if wrong == "picked up":
        keeper.amend(first, way="pick_up")
    elif wrong == "packed":
        keeper.pack(first, [{"carton": "box"}])
    keeper.amend(second, goes_with=second if wrong == "itself" else first)
    keeper.exchange()
    assert len(keeper.needs_you) == 1 and keeper.order(second).get("goes_with") is None


def test_what_goes_alone_is_packed_in_a_parcel(place: Place) -> None:
    _, keeper, _, first, _ = place
    keeper.pack(first, [])
    keeper.exchange()
    (refused,) = keeper.needs_you
    assert "has a parcel" in refused["why"]


def test_a_canceled_host_leaves_the_other_to_itself(place: Place) -> None:
    house, keeper, _, first, second = place
    keeper.amend(second, goes_with=first)
    keeper.let_go(first)
    keeper.pack(second, [{"carton": "box"}])
    keeper.hand_over(second)
    keeper.exchange()
    assert keeper.needs_you == [] and keeper.order(second)["state"] == "gone" and house.check() == []
