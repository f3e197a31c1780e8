"""What a house does at its bounds: what it refuses whole, what it keeps for later, what it says where records are gone."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house import device_registry
from honeyhold.house import house as house_module
from honeyhold.house.demo import WrongRecords
from honeyhold.house.house import House
from honeyhold.operations import keeping_apart
from honeyhold.operations.errors import DeviceLost, NoRoomApart, NoSuchThing, Refused
from honeyhold.records.errors import RecordsTrouble
from honeyhold.records.models import LateEntry, Operation, Person
from replication.houses import Watch, device, movement, on_hand, small_house

NAMED = {"table": "setting", "id": "name", "value": "Willow"}


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = small_house(tmp_path)
    yield made
    made.close()


def lose(house: House, hand: DeviceClient) -> None:
    house.declare_lost(hand.identity["device"])


def freeze(house: House, hand: DeviceClient) -> None:
    with house.records.write():
        house.records.sql("UPDATE device_state SET frozen = ? WHERE id = ?", True, hand.identity["device"])


def nothing(house: House, hand: DeviceClient) -> None:
    """It goes on as it was."""


@pytest.mark.parametrize(("happens", "full"), [(lose, NoRoomApart), (freeze, NoRoomApart), (nothing, None)])
def test_only_what_would_be_kept_apart_needs_room_there(
    house: House, monkeypatch: pytest.MonkeyPatch, happens: Any, full: type[Exception] | None
) -> None:
    """Whoever has nothing to say hears what he hears, and one in good standing never asks for that room."""
    hand = device(house, "Phone")
    happens(house, hand)
    monkeypatch.setattr(keeping_apart, "LATE_ENTRIES_MAX", 0)
    if happens is lose:
        with pytest.raises(DeviceLost):
            hand.exchange()
    else:
        hand.exchange()
    hand.note_person(name="Orla")
    if full is None:
        hand.exchange()
    else:
        with pytest.raises(full):
            hand.exchange()
    with house.records.read():
        assert not house.records.dicts(LateEntry.select()) and (len(house.records.dicts(Person.select())) == 1) is (full is None)


def test_several_operations_land_all_or_none(house: House) -> None:
    before = house.position()
    with pytest.raises(Refused):
        house.write_many("buy", [[movement("bar", 5)], [movement("no such good", 5)]])
    assert (house.position(), on_hand(house)) == (before, 40) and house.news.position == before
    house.write_many("buy", [[movement("bar", 5)], [movement("bar", 2)]])
    assert (house.position(), on_hand(house)) == (before + 2, 47) and house.news.position == before + 2


def test_what_is_refused_rings_nobody(house: House) -> None:
    before = house.position()
    with pytest.raises(Refused) as trouble:
        house.write("buy", [movement("no such good", 5)])
    assert str(trouble.value) and trouble.value.remedy and house.news.position == before == house.position()
    assert house.write("set_house", [NAMED]) == before + 1 == house.news.position


@pytest.mark.parametrize("at_once", [1, 3, 4, 200])
def test_a_person_with_many_orders_is_forgotten_piece_by_piece(house: House, monkeypatch: pytest.MonkeyPatch, at_once: int) -> None:
    """The last piece too, however many rows an operation takes."""
    monkeypatch.setattr(house_module, "FORGET_AT_ONCE", at_once)
    hand = device(house, bars=10)
    who = hand.note_person(name="Orla", note="by the lake")
    for _ in range(3):
        hand.promise([("bar", 1)], person=who)
    hand.exchange()
    before = house.position()
    pieces = -(-4 // at_once)
    assert house.forget_person(who) == before + pieces == house.news.position
    with house.records.read():
        rows = house.records.row(Person, who)
        entries = [one["rows"] for one in house.records.dicts(Operation.select().where(Operation.kind == "forget_person"))]
    assert rows is not None and (rows["name"], rows["note"]) == ("(forgotten)", "") and house.check() == []
    assert sum(map(len, entries)) == 4 and len(entries) == pieces
    with pytest.raises(NoSuchThing, match=r"^There is no person nobody\.$"):
        house.forget_person("nobody")


def test_only_an_empty_house_becomes_a_demo(house: House, tmp_path: Path) -> None:
    with pytest.raises(WrongRecords, match="they do not become a demo"):
        house.make_demo()
    empty = House.open(tmp_path / "empty", now=Watch())
    assert not empty.is_demo() and empty.position() == 0
    empty.make_demo()
    assert empty.is_demo()
    with pytest.raises(WrongRecords):
        empty.make_demo()
    empty.close()


def test_declaring_a_device_lost_again_writes_nothing(house: House) -> None:
    hand = device(house, bars=5)
    own = hand.identity["device"]
    assert house.has_keeper()
    house.declare_lost(own)
    after = house.position()
    house.declare_lost(own)
    assert house.position() == after == house.news.position and not house.has_keeper()
    assert device_registry.known(house.folder)[own]["lost"] is True
    with pytest.raises(NoSuchThing):
        house.declare_lost("nobody")


def test_a_helper_is_no_keeper(house: House) -> None:
    device(house, role="helper")
    assert not house.has_keeper()


def test_what_the_disk_did_not_take_of_the_devices_is_noted_next_time_in_its_order(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    noted: list[str] = []
    fails = {"second"}

    def note(folder: Path, row: dict[str, Any]) -> None:
        if row["id"] in fails:
            raise OSError("the disk is full")
        noted.append(row["id"])

    monkeypatch.setattr(device_registry, "note", note)
    house._note({"id": "first"}, {"id": "second"}, {"id": "third"})
    assert noted == ["first"]
    house._note({"id": "fourth"})
    assert noted == ["first"]
    fails.clear()
    house._note()
    house._note()
    assert noted == ["first", "second", "third", "fourth"]


def test_what_devices_may_forget_never_becomes_less(tmp_path: Path) -> None:
    """Of a folder its oldest backup counts: it may be the one that is put back. What was said once stays said."""
    watch = Watch()
    house = small_house(tmp_path, watch)
    first = house.position()
    covered = []
    for folder in (None, None, tmp_path / "elsewhere", None):
        house.backup(folder)
        covered.append((house.covered_to() - first, house.saved_to() - first))
        house.write("set_house", [NAMED])
        watch.later(seconds=1)
    assert covered == [(0, 0), (0, 1), (2, 2), (2, 3)]
    house.close()


@pytest.mark.parametrize("hosted", [False, True])
def test_records_that_are_gone_beside_a_list_of_devices_are_no_new_house(house: House, hosted: bool) -> None:
    device(house)
    house._must_not_be_emptied(1)
    if hosted:
        house._hosted = lambda: house.records
    with pytest.raises(RecordsTrouble) as trouble:
        house._must_not_be_emptied(0)
    what = "the database" if hosted else "honeyhold.db"
    assert str(trouble.value) == f"Devices were added here, but the records are not in {house.folder}: {what} is missing or empty."
    remedy = "To put back a backup, freeze it (honeyhold houses freeze data)" if hosted else "Put back a backup: honeyhold restore FILE."
    assert trouble.value.remedy.startswith(remedy)
    (house.folder / device_registry.FILE_NAME).unlink()
    house._must_not_be_emptied(0)


def test_a_code_is_good_for_ten_minutes_and_once(tmp_path: Path) -> None:
    watch = Watch()
    house = small_house(tmp_path, watch)
    code = house.new_code("helper")
    assert code["expires_at"] == "2026-07-20T14:20:00Z"
    watch.now += timedelta(minutes=9, seconds=59)
    made = house.enrol(code["code"], "Phone")
    assert (made["role"], made["name"], made["mark"], made["epoch"]) == ("helper", "Phone", "A", house.epoch)
    assert house.device_for(made["token"])["id"] == made["device"] and house.news.position == house.position()
    house.close()
