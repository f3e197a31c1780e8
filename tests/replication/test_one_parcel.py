"""Goal: two orders to one address go in one parcel, nothing of either is lost; method: joined, parted, packed, mailed, by two devices."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.export import bring_in, whole
from honeyhold.house.house import House
from honeyhold.queries.slip import slip_request
from honeyhold.records.models import Order
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


def test_two_people_at_one_door_get_a_parcel_each(place: Place) -> None:
    """Whose name is on the label opens it."""
    _, keeper, _, first, _ = place
    karl = keeper.note_person(name="Karl", street="4 Heron Sill Rd", city="Duluth", zip="55811")
    his = keeper.promise([("bar", 2)], person=karl, posting_cents=900).order
    keeper.amend(his, goes_with=first)
    keeper.exchange()
    (refused,) = keeper.needs_you
    assert refused["why"] == "They go to two addresses." and keeper.order(his).get("goes_with") is None


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


@pytest.mark.parametrize("whose", ["rider", "host"])
@pytest.mark.parametrize("change", [{"way": "pick_up"}, {"goes_to": "other", "to_street": "9 Larch Rd", "to_city": "Bar Harbor"}])
def test_who_goes_elsewhere_goes_alone(place: Place, whose: str, change: dict[str, str]) -> None:
    """The parcel of one never takes the goods of the other along to an address nobody said."""
    house, keeper, other, first, second = place
    keeper.amend(second, goes_with=first, posting_cents=0)
    for one in (keeper, other):
        one.exchange()
    other.amend(second if whose == "rider" else first, **change)
    for one in (other, keeper):
        one.exchange()
    assert other.needs_you == [] and keeper.order(second)["goes_with"] is None
    keeper.pack(first, [{"carton": "box"}])
    keeper.exchange()
    assert keeper.order(second)["state"] == "promised" and house.check() == []


def test_packed_together_neither_goes_elsewhere(place: Place) -> None:
    _, keeper, _, first, second = place
    keeper.amend(second, goes_with=first, posting_cents=0)
    keeper.pack(first, [{"carton": "box"}])
    keeper.exchange()
    keeper.amend(second, goes_to="other", to_street="9 Larch Rd")
    keeper.exchange()
    assert [told["why"] for told in keeper.needs_you] == ["They are packed together by now."]


def test_one_door_written_in_two_ways_is_one(place: Place) -> None:
    """Nine figures of a ZIP, a capital, a dot; and somebody who stands in the book twice and was joined."""
    _, keeper, _, first, second = place
    twin = keeper.note_person(name="R. Amsel", street="4 heron sill rd.", city="Duluth", zip="55811-1204")
    keeper.join_people(twin, keeper.order(first)["person"])
    third = keeper.promise([("bar", 1)], person=twin).order
    for rider in (second, third):
        keeper.amend(rider, goes_with=first)
    keeper.exchange()
    assert keeper.needs_you == [] and keeper.order(third)["goes_with"] == keeper.order(second)["goes_with"] == first


def test_two_addresses_are_two_parcels(place: Place) -> None:
    _, keeper, _, first, second = place
    keeper.amend(second, goes_to="other", to_street="9 Larch Rd")
    keeper.amend(second, goes_with=first)
    keeper.exchange()
    assert [told["why"] for told in keeper.needs_you] == ["They go to two addresses."] and keeper.order(second).get("goes_with") is None


@pytest.mark.parametrize("field", ["goes_with", "standing", "standing_on"])
def test_no_other_entry_says_so_in_passing(place: Place, field: str) -> None:
    _, keeper, _, first, second = place
    said = {"goes_with": first, "standing": "s1", "standing_on": "2026-08-01"}[field]
    parcel = {"table": "parcel", "id": keeper.new_id(), "order": second, "part": 1, "packed_on": "2026-07-20"}
    keeper.write("pack", [{"table": "order", "id": second, "state": "packed", field: said}, parcel])
    keeper.exchange()
    assert len(keeper.needs_you) == 1 and keeper.order(second)["state"] == "promised"


def test_a_handed_over_parcel_that_came_back_has_a_slip(place: Place) -> None:
    """Handed over, undone, handed over again: the lots on the slip are what left in the end."""
    house, keeper, _, first, _ = place
    for again in (True, False):
        keeper.hand_over(first)
        keeper.exchange()
        if again:
            keeper.undo(keeper.log[-1])
            keeper.exchange()
    with house.records.read():
        (line,) = slip_request(house.records, first, "letter", MONDAY.date(), {})["lines"]
    assert sum(lot["units"] for lot in line["lots"]) == 5 and all(lot["units"] > 0 for lot in line["lots"])


def test_what_was_packed_when_it_left_is_packed_again(place: Place) -> None:
    house, keeper, _, first, _ = place
    keeper.pack(first, [{"carton": "box"}])
    keeper.hand_over(first)
    keeper.exchange()
    left = keeper.log[-1]
    keeper.undo(left)
    (order,) = [row for row in keeper.log[-1]["rows"] if row["table"] == "order"]
    assert order["state"] == "packed"
    order["state"] = "promised"
    keeper.exchange()
    assert len(keeper.needs_you) == 1 and keeper.order(first)["state"] == "gone" and house.check() == []


def test_two_sent_again_in_one_parcel_come_out_and_in_again(place: Place, tmp_path: Path) -> None:
    """Each stands for an order, and one goes with the other: an export names what it names before it."""
    house, keeper, _, first, second = place
    again = [keeper.send_again(one, "heat").order for one in (first, second)]
    keeper.amend(again[0], goes_with=again[1])
    keeper.exchange()
    assert keeper.needs_you == []
    fresh = House.open(tmp_path / "fresh", now=house.clock.now)
    bring_in(fresh, whole(house))
    with fresh.records.read():
        row = fresh.records.row(Order, again[0])
    assert row is not None and (row["replaces"], row["goes_with"]) == (first, again[1]) and fresh.check() == []
    fresh.close()


def test_the_number_by_which_a_parcel_is_followed_is_forgotten_with_the_person(place: Place) -> None:
    house, keeper, _, first, _ = place
    (parcel,) = keeper.pack(first, [{"carton": "box"}])
    keeper.track(parcel, "SECRET-9400")
    keeper.exchange()
    house.forget_person(keeper.order(first)["person"])
    with house.records.read():
        dump = str([house.records.sql(f'SELECT * FROM "{table}"').fetchall() for table in house.records.database.get_tables()])
    assert "SECRET-9400" not in dump and house.check() == []
