"""What lost, copied and renamed devices send is read and settled by a keeper; none of it is dropped, nobody else's bar is taken."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient
from hypothesis import HealthCheck, given, settings, strategies

from honeyhold.errors import BadRequest, HoneyholdError
from honeyhold.house.house import House
from honeyhold.house.quarantine import hand_in, late_entries, put_aside_late, take_in_late
from honeyhold.operations import keeping_apart
from honeyhold.operations.errors import DeviceLost, NoRoomApart, NoSuchThing, Refused
from honeyhold.records.models import Line, Operation
from replication.houses import device, entry, late, movement, on_hand, pool, said, small_house


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = small_house(tmp_path)
    yield made
    made.close()


def lost_with(house: House, hand: DeviceClient) -> list[dict[str, Any]]:
    """Declared lost, then heard once more; what the keeper reads."""
    house.declare_lost(hand.identity["device"])
    with pytest.raises(DeviceLost):
        hand.exchange()
    return list(late_entries(house)["entries"])


def place(shown: dict[str, Any]) -> tuple[str, int, str]:
    return shown["device"], shown["seq"], shown["hash"]


def test_a_lost_devices_promise_is_read_in_words_and_taken_in(house: House) -> None:
    hand = device(house, "Old phone", bars=10)
    taken = hand.promise([("bar", 4)], person=hand.note_person(name="Orla Tennick", phone="+12185550114"))
    shown = lost_with(house, hand)
    assert [(one["kind"], one["name"], one["person"]) for one in shown] == [
        ("note_person", "Old phone", "Orla Tennick"), ("promise", "Old phone", "Orla Tennick"),
    ]  # fmt: skip
    assert shown[1]["number"] == taken.number and shown[1]["goods"] == [{"good": "bar", "units": 4}]
    assert shown[1]["phone"] == "+12185550114" and "lost" in shown[1]["why"]
    positions = [take_in_late(house, *place(one)) for one in shown]
    assert positions == sorted(positions) and pool(house) == 36 and late_entries(house) == {"entries": [], "waiting": 0, "silent": []}
    with pytest.raises(NoSuchThing):
        take_in_late(house, *place(shown[1]))
    assert house.check() == []


def test_money_for_an_order_that_the_house_knows_is_read_with_its_number_and_whose_it_is(house: House) -> None:
    hand = device(house, "Old phone", bars=10)
    taken = hand.promise([("bar", 4)], person=hand.note_person(name="Orla Tennick", phone="+12185550114"))
    hand.exchange()
    hand.pay(taken.order, 1200)
    (shown,) = lost_with(house, hand)
    assert (shown["kind"], shown["number"], shown["person"], shown["phone"], shown["cents"]) == (
        "pay", taken.number, "Orla Tennick", "+12185550114", 1200,
    )  # fmt: skip
    assert shown["goods"] == [] and shown["nothing_to_do"] is False and shown["made_at"] and shown["received_at"]


def test_what_the_shelf_can_no_longer_pay_for_waits(house: House) -> None:
    """Meanwhile all bars were promised to others: the lost device's caller waits, nobody sure becomes short."""
    hand, other = device(house, "Old phone", bars=10), device(house, "Shed phone")
    taken = hand.promise([("bar", 6)], person=hand.note_person(name="Orla"))
    shown = lost_with(house, hand)
    other.exchange(callers={"bar": 38})
    sure = other.promise([("bar", 38)], person=other.note_person(name="Nils"))
    other.exchange()
    for one in shown:
        take_in_late(house, *place(one))
    other.exchange()
    assert other.sure(sure.lines["bar"]) == 38 and other.sure(taken.lines["bar"]) == 2 and other.waiting(taken.lines["bar"]) == 4
    assert pool(house) == 0 and house.check() == []


def test_more_than_a_page_of_entries_is_kept(house: House) -> None:
    hand = device(house, "Old phone")
    for _ in range(450):
        hand.buy([("bar", None, 1, "bought")])
    shown = lost_with(house, hand)
    assert sorted(row["seq"] for row in late(house)) == list(range(1, 451)) and len(shown) == 450


def test_what_landed_before_the_device_was_lost_is_not_kept_twice(house: House) -> None:
    hand = device(house, "Old phone")
    hand.buy([("bar", None, 1, "bought")])
    said(house, hand, *hand.in_hand)  # it landed; the answer never came
    assert lost_with(house, hand) == [] and on_hand(house) == 41


def test_both_tails_of_a_copied_device_can_be_taken_in_and_no_number_is_given_twice(house: House) -> None:
    hand = device(house, "Shed phone", bars=10)
    who = hand.note_person(name="Orla")
    hand.exchange()
    copy = DeviceClient(hand.identity, hand.transport)
    copy.log, copy.answered, copy.orders_counted = [*hand.log], dict(hand.answered), hand.orders_counted
    copy.exchange()
    here, there = hand.promise([("bar", 2)], person=who), copy.promise([("bar", 3)], person=who)
    assert here.number == there.number
    hand.exchange()
    copy.exchange()
    (shown,) = late_entries(house)["entries"]
    assert "copies" in shown["why"]
    take_in_late(house, *place(shown))
    hand.exchange()
    numbers = {one.order: hand.order(one.order)["number"] for one in (here, there)}
    assert numbers[here.order] == here.number and numbers[there.order] == f"{here.number}b"


def test_what_is_the_houses_own_to_write_does_not_come_in_late(house: House) -> None:
    hand = device(house, "Old phone", role="helper")
    row = {"table": "device", "id": "11111111-1111-4111-8111-111111111111", "name": "X", "mark": "Z", "role": "keeper", "lost": False}
    hand.log.append(entry(hand, "enrol", [row]))
    (shown,) = lost_with(house, hand)
    with pytest.raises(Refused, match="none that a person writes"):
        take_in_late(house, *place(shown))
    assert late_entries(house)["waiting"] == 1
    put_aside_late(house, *place(shown), "somebody played with it")
    assert late(house)[0]["note"] == "somebody played with it" and late(house)[0]["position"] is None


def test_what_the_rules_refuse_stays_to_be_settled(house: House) -> None:
    hand = device(house, "Old phone", bars=5)
    hand.log.append(entry(hand, "let_go", [{"table": "order", "id": "no-such-order", "state": "let_go"}]))
    (shown,) = lost_with(house, hand)
    with pytest.raises(Refused, match="no-such-order"):
        take_in_late(house, *place(shown))
    assert late_entries(house)["waiting"] == 1 and house.check() == []


def test_an_unreadable_late_entry_is_shown_and_put_aside(house: House) -> None:
    hand = device(house, "Old phone")
    house.declare_lost(hand.identity["device"])
    with pytest.raises(DeviceLost):
        said(house, hand, None, {"rows": "half\ud800", "kind": 7}, ["what?"])
    shown = late_entries(house)["entries"]
    assert len(shown) == 3 and all(one["name"] == "Old phone" for one in shown)
    for one in shown:
        with pytest.raises(Refused, match="cannot be read"):
            take_in_late(house, *place(one))
        put_aside_late(house, *place(one), "")
    assert late_entries(house)["waiting"] == 0


def test_entries_of_an_earlier_name_are_kept_once_and_what_the_house_has_is_not(house: House) -> None:
    before, now = device(house, "Shed phone"), device(house, "Shed phone again")
    before.buy([("bar", None, 1, "bought")])
    before.exchange()
    before.buy([("bar", None, 2, "bought")])
    author = now.identity["device"]
    assert [hand_in(house, author, before.log) for _ in range(2)] == [1, 0]
    (shown,) = late_entries(house)["entries"]
    assert shown["goods"] == [{"good": "bar", "units": 2}] and "another name" in shown["why"]
    take_in_late(house, *place(shown))
    assert on_hand(house) == 43
    with pytest.raises(BadRequest, match="earlier name"):
        hand_in(house, author, [entry(now, "buy", [movement("bar", 1, "bought")])])


def test_a_sale_of_a_lost_device_is_a_fact(house: House) -> None:
    hand = device(house, "Old phone", bars=5)
    hand.sell([("bar", 5)])
    (shown,) = lost_with(house, hand)
    take_in_late(house, *place(shown))
    with house.records.read():
        landed = house.records.dicts(Operation.select(Operation.device).where(Operation.kind == "sell"))
        lines = house.records.dicts(Line.select(Line.handed))
    assert [row["device"] for row in landed] == ["house"] and [row["handed"] for row in lines] == [5] and on_hand(house) == 35


def lost_and_told(house: House, hand: DeviceClient) -> bool:
    """One more exchange of a lost device; whether it is told to forget everything."""
    with pytest.raises(DeviceLost) as told:
        hand.exchange()
    return told.value.forget


def test_a_lost_device_keeps_its_log_until_a_backup_holds_all_it_sent(house: House) -> None:
    """What it sent as landed, and what was kept apart since: a disk that dies before the backup takes neither away."""
    hand = device(house, "Old phone", bars=10)
    hand.note_person(name="Orla")
    hand.exchange()
    house.backup()
    hand.note_person(name="Nils")
    lost_with(house, hand)
    hand.log = []
    assert not lost_and_told(house, hand) and house.wants_backup.is_set()
    house.backup()
    assert lost_and_told(house, hand)


@pytest.mark.parametrize("has_written", [True, False])
def test_a_lost_device_of_which_all_landed_forgets_as_soon_as_a_backup_has_it(house: House, has_written: bool) -> None:
    """Nothing of it was ever kept apart, by no device; one that wrote nothing has nothing to wait for."""
    hand = device(house, "Old phone")
    if has_written:
        hand.note_person(name="Orla")
        hand.exchange()
    house.declare_lost(hand.identity["device"])
    hand.log = []
    assert lost_and_told(house, hand) is not has_written
    house.backup()
    assert lost_and_told(house, hand)


def test_what_was_refused_on_a_lost_device_is_shown_to_the_keeper(house: House) -> None:
    """Nobody looks at a lost device: its refusal would be seen by nobody."""
    hand, other = device(house, "Old phone", bars=10), device(house, "Shed phone")
    taken = hand.promise([("bar", 4)], person=hand.note_person(name="Orla"))
    hand.exchange()
    other.exchange()
    other.let_go(taken.order)
    other.exchange()
    hand.amend(taken.order, note="ring twice")
    hand.exchange()
    refused = hand.needs_you
    assert len(refused) == 1
    house.declare_lost(hand.identity["device"])
    hand.answered.clear()  # it says once more all that it still keeps
    with pytest.raises(DeviceLost):
        hand.exchange()
    assert [one["kind"] for one in late_entries(house)["entries"]] == ["amend"]


SETTING = {"table": "setting", "id": "name", "value": "Bought by a stranger"}


def test_a_helpers_late_entry_has_a_helpers_rights(house: House) -> None:
    hand = device(house, "Tablet", role="helper")
    hand.log.append(entry(hand, "set_house", [SETTING]))
    (shown,) = lost_with(house, hand)
    with pytest.raises(Refused, match="Only an owner"):
        take_in_late(house, *place(shown))
    assert "name" not in house.settings() and late_entries(house)["waiting"] == 1


def test_an_owners_late_entry_has_an_owners(house: House) -> None:
    hand = device(house, "Old phone")
    hand.log.append(entry(hand, "set_house", [SETTING]))
    (shown,) = lost_with(house, hand)
    take_in_late(house, *place(shown))
    assert house.settings()["name"] == SETTING["value"]


def test_who_hands_in_under_an_owners_name_gains_nothing_and_is_named(house: House) -> None:
    owner, helper = device(house, "Shed phone"), device(house, "Tablet", role="helper")
    hand_in(house, helper.identity["device"], [entry(owner, "set_house", [SETTING])])
    (shown,) = late_entries(house)["entries"]
    assert shown["name"] == "Shed phone, handed in by Tablet"
    with pytest.raises(Refused, match="Only an owner"):
        take_in_late(house, *place(shown))
    assert "name" not in house.settings()


def test_what_an_owner_wrote_under_a_name_that_the_house_does_not_know_is_an_owners(house: House) -> None:
    before, now = device(house, "Shed phone"), device(house, "Shed phone again")
    before.identity["device"] = "00000000-0000-4000-8000-000000000009"
    hand_in(house, now.identity["device"], [entry(before, "set_house", [SETTING])])
    (shown,) = late_entries(house)["entries"]
    take_in_late(house, *place(shown))
    assert house.settings()["name"] == SETTING["value"]


def test_a_helper_cannot_undo_an_owners_act_by_being_late(house: House) -> None:
    owner, helper = device(house, "Shed phone"), device(house, "Tablet", role="helper")
    made = entry(owner, "set_house", [SETTING])
    said(house, owner, made)
    undoing = [{"table": "undoing", "id": made["id"]}, {"table": "setting", "id": "name", "value": None}]
    helper.log.append(entry(helper, "undo", undoing))
    (shown,) = lost_with(house, helper)
    with pytest.raises(Refused, match="Only an owner"):
        take_in_late(house, *place(shown))
    assert house.settings()["name"] == SETTING["value"]


def test_what_one_device_may_leave_to_be_settled_is_bounded(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keeping_apart, "LATE_ENTRIES_MAX", 3)
    hand, other = device(house, "Old phone"), device(house, "Other phone", role="helper")
    for _ in range(5):
        hand.buy([("bar", None, 1, "bought")])
    house.declare_lost(hand.identity["device"])
    for page in (hand.log[:2], hand.log[2:4]):
        with pytest.raises(DeviceLost):
            said(house, hand, *page)
    with pytest.raises(NoRoomApart, match="4 late entries"):
        said(house, hand, hand.log[4])
    for one in late_entries(house)["entries"]:
        put_aside_late(house, *place(one), "")
    with pytest.raises(DeviceLost):
        said(house, hand, hand.log[4])
    strangers = [{**hand.log[0], "device": f"stranger-{number}"} for number in range(4)]
    hand_in(house, other.identity["device"], strangers)
    with pytest.raises(NoRoomApart):
        hand_in(house, other.identity["device"], strangers)


ANYTHING = strategies.recursive(
    strategies.none() | strategies.booleans() | strategies.integers() | strategies.floats(allow_nan=False) | strategies.text(max_size=6),
    lambda inner: strategies.lists(inner, max_size=4) | strategies.dictionaries(strategies.text(max_size=6), inner, max_size=4),
    max_leaves=8,
)
ODD_ROWS = strategies.lists(
    strategies.fixed_dictionaries(
        {"table": strategies.sampled_from(["order", "line", "person", "movement", "payment", "reservation"]) | ANYTHING},
        optional=dict.fromkeys(("id", "order", "person", "good", "units", "cents", "number", "line", "lot", "was"), ANYTHING),
    )
    | ANYTHING,
    max_size=4,
)


@given(
    kind=strategies.sampled_from(["promise", "sell", "count", "note_person", "undo"]) | ANYTHING,
    version=strategies.just(1) | ANYTHING, rows=ODD_ROWS | ANYTHING,
    more=strategies.dictionaries(strategies.text(max_size=6), ANYTHING, max_size=3),
)  # fmt: skip
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_comes_late_can_be_looked_at_and_put_aside(house: House, kind: Any, version: Any, rows: Any, more: Any) -> None:
    hand = device(house, "Tablet", role="helper")
    odd = {"kind": kind, "version": version, "rows": rows, **more, "device": "earlier"}
    hand_in(house, hand.identity["device"], [odd])
    for one in late_entries(house)["entries"]:
        json.dumps(one)
        with contextlib.suppress(HoneyholdError):
            take_in_late(house, *place(one))
            continue
        put_aside_late(house, *place(one), "")
    assert late_entries(house)["waiting"] == 0
