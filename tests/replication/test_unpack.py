"""A packing undone: the order is promised again and its cartons lie on the shelf; and what is owed after letting go and undoing."""

from __future__ import annotations

from typing import Any

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.records.models import Movement
from reference.inspection import owed_cents
from replication.houses import device, entry, on_hand, said


def packed(house: House) -> tuple[DeviceClient, str, dict[str, Any]]:
    """A device, its packed order, and the entry that packed it."""
    hand = device(house, bars=10)
    taken = hand.promise([("bar", 6)], person=hand.note_person(name="Orla"))
    hand.pack(taken.order, [{"carton": "box"}, {"carton": "box"}])
    hand.exchange()
    return hand, taken.order, hand.log[-1]


def test_the_cartons_come_back_and_it_can_be_packed_again(house: House) -> None:
    hand, order, packing = packed(house)
    assert on_hand(house, "box") == 8 and hand.order(order)["state"] == "packed"
    hand.unpack(packing)
    hand.exchange()
    assert hand.needs_you == [] and on_hand(house, "box") == 10 and hand.order(order)["state"] == "promised"
    assert house.slip_request(order)["parcels"] == []
    hand.pack(order, [{"carton": "box"}])
    hand.exchange()
    assert hand.needs_you == [] and len(house.slip_request(order)["parcels"]) == 1 and on_hand(house, "box") == 9
    assert house.check() == []


def test_let_go_after_it_was_unpacked_no_carton_moves_any_more(house: House) -> None:
    """Nor does one come back that is there: no line of nothing in the books, and none when the order stands again."""
    hand, order, packing = packed(house)
    hand.unpack(packing)
    hand.exchange()
    hand.let_go(order)
    hand.exchange()
    hand.undo(hand.log[-1])
    hand.exchange()
    with house.records.read():
        moved = [row["units"] for row in house.records.dicts(Movement.select().where(Movement.good == "box", Movement.order == order))]
    assert hand.needs_you == [] and moved == [-2, 2] and on_hand(house, "box") == 10 and house.check() == []


def test_twice_or_after_it_left_it_is_refused_whole(house: House) -> None:
    hand, order, packing = packed(house)
    hand.unpack(packing)
    hand.exchange()
    hand.unpack(packing)
    hand.exchange()
    (told,) = hand.needs_you
    assert "is promised" in told["why"] and on_hand(house, "box") == 10
    hand.pack(order, [{"carton": "box"}])
    again = hand.log[-1]
    hand.hand_over(order)
    hand.unpack(again)
    hand.exchange()
    assert "has left" in hand.needs_you[-1]["why"] and on_hand(house, "box") == 9 and house.check() == []


def test_a_cancel_is_not_undone_into_cartons_that_are_in_use_again(house: House) -> None:
    """The refusal speaks of cartons, by their name: no caller waits for one."""
    hand, order, _ = packed(house)
    hand.let_go(order)
    canceled = hand.log[-1]
    hand.exchange()
    other = hand.promise([("bar", 4)], person=hand.note_person(name="Enid"))
    hand.pack(other.order, [{"carton": "box"}] * on_hand(house, "box"))
    hand.exchange()
    assert hand.needs_you == [] and on_hand(house, "box") == 0
    hand.undo(canceled)
    hand.exchange()
    (told,) = hand.needs_you
    assert "It takes 2 " in told["why"] and "on the shelf" in told["why"] and "promise" not in told["why"]
    assert "carton" in told["remedy"] and "customer" not in told["remedy"]
    assert hand.order(order)["state"] == "let_go" and house.check() == []


@pytest.mark.parametrize(
    "wrong",
    [{"units": 1}, {"units": 3}, {"undoes": "never-was"}, {"undoes": None}, {"good": "bar"}],
)
def test_only_the_cartons_of_that_packing_come_back(house: House, wrong: dict[str, Any]) -> None:
    hand, order, packing = packed(house)
    moved = next(row for row in packing["rows"] if row["table"] == "movement")
    row = {**moved, "id": "back-1", "units": -moved["units"], "undoes": moved["id"], **wrong}
    told = said(house, hand, entry(hand, "unpack", [{"table": "order", "id": order, "state": "promised"}, row]))
    assert len(told["refused"]) == 1 and told["refused"][0]["remedy"] and on_hand(house, "box") == 8


def test_what_is_owed_agrees_on_both_sides_after_letting_go_and_undoing(house: House) -> None:
    """By the house and by a device: nothing for what was let go or came back, but what was paid is owed back."""
    hand = device(house, bars=20)
    kept, gone, let_go = (
        hand.promise([("bar", 2)], person=hand.note_person(name=name), payment=(100, "cash")) for name in ("A", "B", "C")
    )
    hand.hand_over(gone.order)
    hand.let_go(let_go.order)
    undone = hand.sell([("bar", 2)])
    hand.undo(hand.log[-1])
    hand.exchange()
    assert hand.needs_you == []
    owed = [owed_cents(house.records, one.order) for one in (kept, gone, let_go, undone)]
    assert owed == [500, 500, -100, 0] and house.check() == []
    assert [hand.mirror.owed(one.order) for one in (gone, let_go, undone)] == owed[1:]


def test_letting_a_packed_order_go_gives_its_cartons_back_once(house: House) -> None:
    """Two devices let it go: the cartons lie on the shelf once. Taken again they are in use, and unpacked they are back."""
    hand, order, packing = packed(house)
    other = device(house, "Tablet")
    for one in (hand, other):
        one.let_go(order)
    hand.exchange()
    other.exchange()
    assert on_hand(house, "box") == 10 and other.needs_you == []
    hand.exchange()
    assert hand.on_hand("box") == 10
    hand.undo(next(one for one in hand.log if one["kind"] == "let_go"))
    hand.exchange()
    assert hand.needs_you == [] and hand.order(order)["state"] == "packed" and on_hand(house, "box") == 8
    hand.unpack(packing)
    hand.exchange()
    assert hand.needs_you == [] and on_hand(house, "box") == 10 and house.check() == []


def test_a_packed_order_let_go_and_handed_over_all_the_same_left_in_its_cartons(house: House) -> None:
    hand, order, _ = packed(house)
    other = device(house, "Tablet")
    other.let_go(order)
    other.exchange()
    assert on_hand(house, "box") == 10
    hand.hand_over(order)
    hand.exchange()
    assert hand.needs_you == [] and on_hand(house, "box") == 8 and on_hand(house) == 34
