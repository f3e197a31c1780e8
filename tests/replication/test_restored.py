"""A house put back from a backup: old answers stand, marks are not given twice, a device it does not know loses nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.house.quarantine import hand_in, late_entries, take_in_late
from honeyhold.operations.errors import UnknownDevice
from replication.houses import device, entry, on_hand, pool


def test_what_was_refused_before_is_refused_again_with_the_same_words(house: House) -> None:
    """A bar too many was promised; after the restore it would land as a fact, had the device not kept the answer."""
    hand = device(house, "A", bars=10)
    backup = house.backup()
    person = hand.note_person(name="Orla")
    order = {"table": "order", "id": "o1", "number": "A-9", "person": person, "way": "post", "state": "promised", "taken_on": "2026-07-20"}
    line = {"table": "line", "id": "l1", "order": "o1", "good": "bar", "units": 90, "price_cents": 300}
    reserved = {"table": "reservation", "id": "r1", "order": "o1", "line": "l1", "good": "bar", "units": 90}
    hand.log.append(entry(hand, "promise", [order, line, reserved], spent={"bar": 90}))
    hand.exchange()
    (before,) = hand.needs_you
    house.restore(backup)
    hand.exchange()
    assert hand.needs_you == [before] and hand.in_hand == [] and house.check() == []
    hand.refused_before, hand.answered = {}, {}  # had nobody kept the answer, it would be judged anew, and the promise be a fact
    house.restore(backup)
    hand.exchange()
    assert hand.needs_you == [] and pool(house) < 0


def test_only_a_house_that_recovers_listens_to_old_answers(house: House) -> None:
    hand = device(house)
    hand.buy([("bar", None, 1, "bought")])
    one = hand.in_hand[0]
    hand.refused_before[one["id"]] = {"id": one["id"], "why": "because", "remedy": ""}
    hand.exchange()
    assert hand.needs_you == [] and on_hand(house) == 41


def test_a_house_on_another_machine_gets_what_devices_it_does_not_know_still_have(house: House, tmp_path: Path) -> None:
    """Only the backup was left: the device is told to enrol again, hands in what it had, and the keeper takes it in."""
    keeper = device(house, "A")
    backup = house.backup()
    hand = device(house, "B", bars=5)
    taken = hand.promise([("bar", 3)], person=hand.note_person(name="Orla"))
    hand.exchange()
    hand.promise([("bar", 2)], person=hand.note_person(name="Nils"))
    elsewhere = House.open(tmp_path / "elsewhere")
    elsewhere.restore(backup)
    hand.transport._house = elsewhere  # type: ignore[attr-defined]
    with pytest.raises(UnknownDevice) as trouble:
        hand.exchange()
    assert "Enrol this device again" in trouble.value.remedy
    again = DeviceClient.enrol(elsewhere, "B again")
    assert hand_in(elsewhere, again.identity["device"], hand.log) == 4
    for one in late_entries(elsewhere)["entries"]:
        take_in_late(elsewhere, one["device"], one["seq"], one["hash"])
    again.exchange()
    assert again.sure(taken.lines["bar"]) == 3 and len(again.view.rows["order"]) == 2 and elsewhere.check() == []
    assert keeper.identity["device"] in again.view.rows["device"]
    elsewhere.close()


def test_a_mark_is_never_given_twice(house: House) -> None:
    marks = [device(house, f"Device {number}").identity["mark"] for number in range(28)]
    assert marks[:3] == ["A", "B", "C"] and marks[-3:] == ["Z", "AA", "AB"]
    row = {"table": "device", "id": "11111111-1111-4111-8111-111111111111", "name": "X", "mark": "AF", "role": "helper", "lost": False}
    house.write("enrol", [row])
    assert house.enrol(house.new_code()["code"], "The next")["mark"] == "AG"

