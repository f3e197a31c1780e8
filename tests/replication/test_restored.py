"""A house put back from a backup: old answers stand, marks are not given twice, a device it does not know loses nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.house.quarantine import hand_in, late_entries, take_in_late
from honeyhold.operations import allocations
from honeyhold.operations.errors import DeviceLost, Refused, UnknownDevice
from replication.houses import DAY, Watch, device, entry, movement, on_hand, pool


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
    assert "Add this device again" in trouble.value.remedy
    again = DeviceClient.enrol(elsewhere, "B again")
    assert hand_in(elsewhere, again.identity["device"], hand.log) == 4
    keeper.transport._house = elsewhere  # type: ignore[attr-defined]
    keeper.exchange()  # nothing is taken in before every device that the house knows was heard
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



def lost(house: House, hand: DeviceClient) -> list[dict[str, object]]:
    """Heard after it was declared lost; what is to be settled."""
    with pytest.raises(DeviceLost):
        hand.exchange()
    return list(late_entries(house)["entries"])


def test_a_late_order_takes_no_bar_that_a_device_not_heard_yet_has_promised(house: House) -> None:
    """Three bars: one device promised them after the backup; a lost device's order of three is not taken in before it was heard."""
    house.write("count", [movement("bar", -37, "counted")])
    gone, hand = device(house, "Lost phone"), device(house, "Shed phone", bars=3)
    gone.promise([("bar", 3)], person=gone.note_person(name="Orla"))
    house.declare_lost(gone.identity["device"])
    backup = house.backup()
    hand.promise([("bar", 3)], person=hand.note_person(name="Nils"))
    hand.exchange()
    house.restore(backup)
    shown = lost(house, gone)
    assert late_entries(house)["silent"] == ["Shed phone"]
    for one in shown:
        with pytest.raises(Refused, match="Shed phone did not say yet"):
            take_in_late(house, str(one["device"]), int(str(one["seq"])), str(one["hash"]))
    hand.exchange()
    for one in shown:
        take_in_late(house, str(one["device"]), int(str(one["seq"])), str(one["hash"]))
    assert late_entries(house)["silent"] == [] and pool(house) == 0
    hand.exchange()
    assert sum(hand.view.sure.values()) == 3 and on_hand(house) == 3


def test_an_entry_kept_apart_is_offered_again_to_a_house_that_was_put_back(house: House) -> None:
    """A lost phone's confirmed order: what landed and what was kept apart are both gone from the records, and come again."""
    hand, other = device(house, "Lost phone", bars=5), device(house, "B")
    backup = house.backup()
    hand.promise([("bar", 2)], person=hand.note_person(name="Orla"))
    hand.exchange()
    hand.promise([("bar", 3)], person=hand.note_person(name="Nils"))
    house.declare_lost(hand.identity["device"])
    assert len(lost(house, hand)) == 2
    house.restore(backup)
    other.exchange()
    assert late_entries(house)["entries"] == []
    shown = lost(house, hand)
    assert [one["person"] for one in shown if one["kind"] == "promise"] == ["Orla", "Nils"]
    for one in shown:
        take_in_late(house, str(one["device"]), int(str(one["seq"])), str(one["hash"]))
    assert pool(house) == 35 and lost(house, hand) == [] and house.check() == []


def test_who_waited_first_waits_first_after_a_restore(house: House, watch: Watch) -> None:
    """Three callers waited in turn, one of them was rung; whoever returns first, the bars go in the order in which they were asked for."""
    house.write("count", [movement("bar", -40, "counted")])
    hands = {name: device(house, name) for name in ("A", "B", "C", "owner")}
    backup = house.backup()
    taken = {}
    for name in ("A", "B", "C"):
        hand = hands[name]
        taken[name] = hand.promise([("bar", 5)], person=hand.note_person(name=name))
        hand.exchange()
    hands["A"].amend(taken["A"].order, lines=[("bar", 7)])  # two more, behind everybody
    hands["A"].exchange()
    for number in range(2):
        watch.later(days=number)
        house.restore(backup if number == 0 else house.backup())
        if number == 0:
            hands["B"].promise([("bar", 9)], person=hands["B"].note_person(name="Since the restore"))
        for name in ("owner", "C", "B", "A"):
            hands[name].exchange()
    hands["owner"].make([{"id": "W1", "good": "bar", "made_on": DAY}], [("bar", "W1", 11, "poured")])
    hands["owner"].exchange()
    hands["owner"].exchange()
    sure = hands["owner"].view.sure
    assert [sure[taken[name].lines["bar"]] for name in ("A", "B", "C")] == [5, 5, 1]


def test_what_waits_for_its_cause_is_said_once_and_waits_through_a_start_anew(house: House) -> None:
    """Three hundred entries that hang on a person nobody has said again: page after page is kept, and none is said over and over."""
    owner, hand = device(house, "owner"), device(house, "A")
    backup = house.backup()
    person = owner.note_person(name="Orla")
    owner.exchange()
    hand.exchange()
    order = hand.promise([("jar", 1)], person=person).order
    for number in range(300):
        hand.amend(order, note=f"ring {number}")
    hand.exchange()
    assert hand.in_hand == []
    house.restore(backup)
    asks: list[int] = []
    whole = hand.transport.exchange
    hand.transport.exchange = lambda token, ask: asks.append(len(ask["operations"])) or whole(token, ask)  # type: ignore[func-returns-value,method-assign]
    hand.exchange()
    assert len(hand.in_hand) == 301 and len(asks) <= 4 and house.recovering() and house.check() == []
    house.declare_lost(owner.identity["device"])
    assert not house.recovering()
    hand.exchange()
    assert hand.in_hand == [] and len(hand.needs_you) == 301 and "person" in hand.needs_you[0]["why"]


def test_a_device_has_not_reported_before_all_it_wrote_was_read(house: House) -> None:
    """More entries than go over the line at once, and none of them takes from a share."""
    hand, other = device(house, "A"), device(house, "B")
    backup = house.backup()
    for _ in range(250):
        hand.buy([("jar", None, 1, "bought")])
    hand.exchange()
    house.restore(backup)
    other.exchange()
    hand._begin_again()
    said = hand._round({}, {})
    assert len(said["landed"]) == 200 and house.recovering()
    hand.exchange()
    assert not house.recovering() and on_hand(house, "jar") == 270


def test_whoever_says_what_it_was_granted_is_granted_nothing_more_for_it(house: House) -> None:
    """What it has used up of it is no loss of the house's memory: the backup holds the same number as the device."""
    hand = device(house, "A", bars=10)
    hand.promise([("bar", 4)], person=hand.note_person(name="Orla"))
    for _ in range(3):
        hand.exchange()  # until nothing of it goes to and fro
    name = hand.identity["device"]
    with house.records.read():
        before = allocations.counters(house.records, name)
    assert before["bar"][1] == 4
    house.restore(house.backup())
    for _ in range(3):
        hand.exchange()
    with house.records.read():
        assert allocations.counters(house.records, name) == before
