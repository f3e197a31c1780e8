"""Goal: what left by mistake is here again, whole, and nothing else is; method: hand-overs undone in every state, on a real house."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from replication.houses import device, on_hand, pool, small_house

Place = tuple[House, DeviceClient, DeviceClient, str, str]


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Place]:
    """A house, two devices, and Ruth's packed order of five bars with its parcel."""
    house = small_house(tmp_path)
    keeper, other = device(house, bars=20), device(house, "Kitchen")
    order = keeper.promise([("bar", 5)], person=keeper.note_person(name="Ruth")).order
    (parcel,) = keeper.pack(order, [{"carton": "box", "gross_g": 500}])
    for one in (keeper, other):
        one.exchange()
    yield house, keeper, other, order, parcel
    house.close()


def _sums(house: House) -> tuple[int, int, int]:
    with house.records.read():
        promised = house.records.sql("SELECT promised FROM balance WHERE good = 'bar'").fetchone()[0]
    return on_hand(house), promised, pool(house)


def test_mailed_by_mistake_is_packed_again_to_the_last_bar_and_cent(place: Place) -> None:
    house, keeper, _, order, _ = place
    before = _sums(house)
    keeper.hand_over(order, payment=(1500, "cash"))
    keeper.exchange()
    assert _sums(house) == (before[0] - 5, before[1] - 5, before[2])
    keeper.undo(keeper.log[-1])
    keeper.exchange()
    assert _sums(house) == before and keeper.needs_you == [] and house.check() == []
    row = keeper.order(order)
    assert (row["state"], row["gone_on"], row["closed_on"], keeper.view.paid[order]) == ("packed", None, None, 0)
    keeper.hand_over(order)
    keeper.exchange()
    assert keeper.order(order)["state"] == "gone" and on_hand(house) == before[0] - 5


def test_what_leaves_frees_what_was_set_aside_of_its_own_good_alone(place: Place) -> None:
    house, keeper, _, order, _ = place
    before = _sums(house)
    (line,) = keeper.view.lines_of(order)
    freed = {**keeper.reserve(line, -5), "good": "jar"}
    gone = {"table": "order", "id": order, "state": "gone", "gone_on": "2026-07-20"}
    keeper.write("hand_over", [gone, keeper._leaves(line, None, 5, "gone"), freed])
    keeper.exchange()
    (refused,) = keeper.needs_you
    assert refused["why"] == "A reservation of another good." and refused["remedy"]
    assert _sums(house) == before and keeper.order(order)["state"] == "packed" and house.check() == []


def test_both_said_without_signal_lands_as_if_nothing_had_left(place: Place) -> None:
    house, keeper, other, order, _ = place
    before = _sums(house)
    keeper.hand_over(order)
    keeper.undo(keeper.log[-1])
    keeper.exchange()
    other.exchange()
    assert _sums(house) == before and other.order(order)["state"] == "packed"


def test_once_it_arrived_it_is_not_undone(place: Place) -> None:
    house, keeper, _, order, parcel = place
    keeper.hand_over(order)
    left = keeper.log[-1]
    keeper.arrive({parcel: "fine"})
    keeper.undo(left)
    keeper.exchange()
    (refused,) = keeper.needs_you
    assert "arrived" in refused["why"] and keeper.order(order)["state"] == "gone" and house.check() == []


def test_what_had_been_canceled_meanwhile_is_not_held_again(place: Place) -> None:
    house, keeper, other, order, _ = place
    keeper.hand_over(order)
    left = keeper.log[-1]
    other.let_go(order)
    other.exchange()
    keeper.exchange()
    keeper.undo(left)
    keeper.exchange()
    assert len(keeper.needs_you) == 1 and keeper.order(order)["state"] == "gone" and house.check() == []


@pytest.mark.parametrize("units", [4, 6])
def test_the_undoing_holds_what_was_held_and_brings_all_back(place: Place, units: int) -> None:
    house, keeper, _, order, _ = place
    keeper.hand_over(order)
    left = keeper.log[-1]
    keeper.exchange()
    wrong = {**left, "rows": [{**row, "units": -units} if row["table"] == "reservation" else row for row in left["rows"]]}
    before = _sums(house)
    keeper.undo(wrong)
    keeper.exchange()
    if units == 4:  # held by one less: that one waits, and is filled
        assert keeper.needs_you == [] and keeper.order(order)["state"] == "packed"
    else:
        assert len(keeper.needs_you) == 1 and _sums(house) == before
    assert house.check() == []


def test_tracking_sets_the_number_and_nothing_else(place: Place) -> None:
    house, keeper, _, _, parcel = place
    keeper.track(parcel, "AB123456789")
    keeper.write("track", [{"table": "parcel", "id": parcel, "tracking": "X", "gross_g": 1}])
    keeper.write("track", [{"table": "parcel", "id": "nobodys", "tracking": "X"}])
    keeper.exchange()
    assert len(keeper.needs_you) == 2 and keeper.view.rows["parcel"][parcel]["tracking"] == "AB123456789"


NO_PATTERNS = ["http://example.org/{number}", "https://example.org/", "https://example.org/{number}/{number}", "javascript:{number}"]


@pytest.mark.parametrize("link", NO_PATTERNS)
def test_a_pattern_that_is_no_address_with_a_number_is_refused(place: Place, link: str) -> None:
    _, keeper, _, _, _ = place
    keeper.set_house({"tracking_link": "https://example.org/follow?of={number}"})
    keeper.set_house({"tracking_link": link})
    keeper.exchange()
    assert len(keeper.needs_you) == 1
