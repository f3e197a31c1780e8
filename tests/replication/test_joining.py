"""Goal: people are joined and parted without loss; method: two devices do it at once, and generated histories end alike on both."""

from __future__ import annotations

import io
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient
from hypothesis import given, settings
from hypothesis import strategies as st

from honeyhold.house.export import bring_in, of_person, whole
from honeyhold.house.house import House
from honeyhold.queries.past_orders import past_orders
from honeyhold.records.models import Order, Person
from honeyhold.records.people import all_same
from quick_disk import QUICK_DISK
from replication.houses import device, small_house

Place = tuple[House, DeviceClient, DeviceClient, str, str]


@pytest.fixture
def place(tmp_path: Path) -> Iterator[Place]:
    """Two devices, and Ruth who stands in the book twice, with an order each."""
    house = small_house(tmp_path)
    keeper, other = device(house, bars=20), device(house, "Kitchen")
    ruth = keeper.note_person(name="Ruth Amsel", street="4 Heron Sill Rd", city="Duluth", zip="55811")
    twin = keeper.note_person(name="R. Amsel", street="9 Larch Rd", city="Duluth", zip="55811", note="rings at seven")
    for who in (ruth, twin):
        keeper.promise([("bar", 2)], person=who, goes_to="")
    for one in (keeper, other):
        one.exchange()
    yield house, keeper, other, ruth, twin
    house.close()


def _person(house: House, person: str) -> dict[str, object]:
    with house.records.read():
        row = house.records.row(Person, person)
    assert row is not None
    return row


def test_joined_and_parted_again_nothing_of_either_is_another(place: Place) -> None:
    house, keeper, other, ruth, twin = place
    before = {one: _person(house, one) for one in (ruth, twin)}
    keeper.join_people(twin, ruth)
    keeper.exchange()
    assert _person(house, twin)["same_as"] == ruth
    other.exchange()
    other.join_people(twin, None)
    other.exchange()
    keeper.exchange()
    assert {one: _person(house, one) for one in (ruth, twin)} == before
    assert keeper.needs_you == other.needs_you == [] and house.check() == []


def test_an_open_order_of_the_joined_one_goes_where_it_was_promised(place: Place) -> None:
    house, keeper, _, ruth, twin = place
    keeper.join_people(twin, ruth)
    keeper.exchange()
    with house.records.read():
        (order,) = house.records.rows_of(Order, "person", twin)
    assert (order["goes_to"], order["to_street"]) == ("own", "9 Larch Rd")


def test_each_joined_to_the_other_at_once_is_one_joining(place: Place) -> None:
    house, keeper, other, ruth, twin = place
    keeper.join_people(twin, ruth)
    other.join_people(ruth, twin)
    keeper.exchange()
    other.exchange()
    (refused,) = other.needs_you
    assert "the other way round" in refused["why"]
    assert (_person(house, twin)["same_as"], _person(house, ruth)["same_as"]) == (ruth, None)


def test_no_other_entry_joins_people(place: Place) -> None:
    house, keeper, _, ruth, twin = place
    keeper.note_person(twin, same_as=ruth)
    keeper.exchange()
    assert len(keeper.needs_you) == 1 and _person(house, twin)["same_as"] is None


def test_the_joined_one_is_forgotten_and_saved_too(place: Place) -> None:
    house, keeper, _, ruth, twin = place
    keeper.join_people(twin, ruth)
    keeper.exchange()
    assert b"R. Amsel" in _unzipped(of_person(house, ruth)) and b"Ruth Amsel" in _unzipped(of_person(house, twin))
    assert len(past_orders(house.records, ruth)["orders"]) == 0
    for order in [row["id"] for row in keeper.view.rows["order"].values()]:
        keeper.let_go(order)
    keeper.exchange()
    assert len(past_orders(house.records, ruth)["orders"]) == 2
    house.forget_person(ruth)
    assert _person(house, twin)["name"] == "(forgotten)" and _person(house, twin)["note"] == ""
    with house.records.read():
        kept = " ".join(str(row) for row in house.records.database.execute_sql("SELECT body, rows FROM operation").fetchall())
        orders = house.records.rows_of(Order, "person", twin)
    assert "R. Amsel" not in kept and "9 Larch" not in kept and [row["to_street"] for row in orders] == [""]


def test_joined_people_come_back_from_an_export(place: Place, tmp_path: Path) -> None:
    house, keeper, _, ruth, twin = place
    keeper.join_people(ruth, twin)  # the one that was noted later is whom the earlier one is
    keeper.exchange()
    new = House.open(tmp_path / "new")
    bring_in(new, whole(house))
    assert _person(new, ruth)["same_as"] == twin and new.check() == []
    new.close()


def _unzipped(content: bytes) -> bytes:
    return zipfile.ZipFile(io.BytesIO(content)).read("all.json")


def test_who_stands_in_the_middle_is_not_joined_round_the_back(place: Place) -> None:
    """Twin is Ruth, a third is the twin; the twin is not also the third: nobody would ever come to an end."""
    house, keeper, _, ruth, twin = place
    third = keeper.note_person(name="Ruthie")
    keeper.join_people(twin, ruth)
    keeper.join_people(third, twin)
    keeper.join_people(twin, third)
    keeper.exchange()
    assert [told["why"] for told in keeper.needs_you] == ["They are joined already, the other way round."]
    with house.records.read():
        assert sorted(all_same(house.records, third)) == sorted([ruth, twin, third])


def test_the_undo_of_something_else_joins_nobody(place: Place) -> None:
    house, keeper, _, ruth, twin = place
    order = keeper.promise([("bar", 1)], person=ruth).order
    keeper.amend(order, note="soon")
    keeper.exchange()
    amended = keeper.log[-1]
    keeper.write("undo", [{"table": "undoing", "id": amended["id"]}, {"table": "person", "id": twin, "same_as": ruth}])
    keeper.exchange()
    assert len(keeper.needs_you) == 1 and _person(house, twin)["same_as"] is None


def test_the_undo_of_a_joining_parts_those_two_and_sets_nothing_else(place: Place) -> None:
    house, keeper, _, ruth, twin = place
    keeper.join_people(twin, ruth)
    keeper.exchange()
    before, joined = {one: _person(house, one) for one in (ruth, twin)}, keeper.log[-1]["id"]
    right = {"table": "person", "id": twin, "same_as": None, "was": {"same_as": ruth}}
    renamed = {**right, "name": "Somebody else", "was": {"same_as": ruth, "name": "R. Amsel"}}
    for wrong in (renamed, {**right, "was": {}}, {**right, "id": ruth}):
        keeper.write("undo", [{"table": "undoing", "id": joined}, wrong])
    keeper.exchange()
    assert len(keeper.needs_you) == 3 and {one: _person(house, one) for one in (ruth, twin)} == before
    keeper.write("undo", [{"table": "undoing", "id": joined}, right])
    keeper.exchange()
    assert len(keeper.needs_you) == 3 and _person(house, twin)["same_as"] is None


WHO = st.integers(0, 3)
WHAT = st.one_of(st.tuples(WHO, WHO), st.tuples(WHO, st.none()), st.just("undo"), st.just("speak"))
ACTS = st.lists(st.tuples(st.integers(0, 1), WHAT), max_size=16)


@given(ACTS)
@settings(max_examples=60, deadline=None)
def test_whatever_two_devices_join_and_part_both_end_alike_and_nobody_goes_round_in_a_circle(acts: list[tuple[int, object]]) -> None:
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        house = small_house(Path(folder))
        devices = (device(house), device(house, "Kitchen"))
        people = [devices[0].note_person(name=f"Person {at}") for at in range(4)]
        for one in devices:
            one.exchange()
        for at, what in acts:
            _do(devices[at], people, what)
        for one in (*devices, *devices):
            one.exchange()
        told = [{person: one.view.rows["person"][person].get("same_as") for person in people} for one in devices]
        assert told[0] == told[1] == {person: _person(house, person)["same_as"] for person in people}
        for person in people:
            seen: list[str | None] = [person]
            while seen[-1] is not None:
                seen.append(told[0][seen[-1]])
            assert len(set(seen)) == len(seen)
        assert [_person(house, person)["name"] for person in people] == [f"Person {at}" for at in range(4)] and house.check() == []
        house.close()


def _do(one: DeviceClient, people: list[str], what: object) -> None:
    if what == "speak":
        one.exchange()
    elif what == "undo":
        joined = [entry for entry in one.log if entry["kind"] == "join_people"]
        if joined:
            one.undo(joined[-1])
    elif isinstance(what, tuple):
        who, other = people[what[0]], None if what[1] is None else people[what[1]]
        if other != who and one.view.rows["person"][who].get("same_as") != other:
            one.join_people(who, other)
