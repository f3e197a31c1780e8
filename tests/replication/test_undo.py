"""Undo is one entry: it names what it undoes, is its whole inverse, and lands at most once for each act, whoever sends it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient

from honeyhold.house.house import House
from honeyhold.records.models import LotBalance, Operation
from reference.inspection import owed_cents
from replication.houses import DAY, device, entry, on_hand, pool, said

Json = dict[str, Any]
Act = Callable[[DeviceClient], dict[str, Json] | None]


def books(house: House) -> Json:
    """Everything that an undo must bring back: every lot, every promise, every order's money, every pool."""
    with house.records.read():
        lots = {(row["good"], row["lot"]): row["units"] for row in house.records.dicts(LotBalance.select()) if row["units"]}
    return {"lots": lots, "pools": {good: pool(house, good) for good in ("bar", "jar", "box")}}


def sell(hand: DeviceClient) -> None:
    hand.sell([("bar", 3), ("jar", 1)], lots={"bar": [("W26-1", 2), (None, 1)]})


def promise(hand: DeviceClient) -> None:
    hand.promise([("bar", 4)], person=hand.note_person(name="Ruth"), payment=(500, "check"))


def pack(hand: DeviceClient) -> None:
    order = _order(hand)
    hand.pack(order, [{"carton": "box"}])


def let_go(hand: DeviceClient) -> None:
    hand.let_go(_order(hand))


def amend(hand: DeviceClient) -> dict[str, Json]:
    order = _order(hand)
    before = {order: dict(hand.order(order)), **{line["id"]: dict(line) for line in hand.view.lines_of(order)}}
    hand.amend(order, lines=[("bar", 6), ("jar", 2)], note="and two jars")
    return {key: {"note": "", **row} for key, row in before.items()}


def pay(hand: DeviceClient) -> None:
    hand.pay(_order(hand), 300, "cash")


def weigh(hand: DeviceClient) -> dict[str, Json]:
    order = _order(hand)
    (parcel,) = hand.pack(order, [{"carton": "box"}])
    hand.weigh(parcel, 900)
    return {parcel: {"scale_g": None}}


def arrive(hand: DeviceClient) -> dict[str, Json]:
    order = _order(hand)
    (parcel,) = hand.pack(order, [{"carton": "box"}])
    hand.hand_over(order)
    hand.arrive({parcel: "dented"})
    return {parcel: {"arrived": "", "arrived_on": None}}


def make(hand: DeviceClient) -> None:
    hand.make([{"id": "W26-9", "good": "bar", "made_on": DAY}], [("jar", None, -1, "used"), ("bar", "W26-9", 10, "poured")])


def count(hand: DeviceClient) -> None:
    hand.count([("bar", "W26-1", -2, "broken")])


def buy(hand: DeviceClient) -> None:
    hand.buy([("box", None, 5, "bought")])


def note_person(hand: DeviceClient) -> dict[str, Json]:
    person = hand.note_person(name="Orla", phone="+12185550114")
    hand.note_person(person, name="Orla T", phone="+12185550115")
    return {person: {"name": "Orla", "phone": "+12185550114"}}


def note_lot(hand: DeviceClient) -> dict[str, Json]:
    hand.note_lot("W26-1", note="grainy")
    return {"W26-1": {"note": ""}}


def set_good(hand: DeviceClient) -> dict[str, Json]:
    hand.set_good([{"id": "bar", "price_cents": 350}])
    return {"bar": {"price_cents": 300}}


def set_house(hand: DeviceClient) -> dict[str, Json]:
    hand.set_house({"closing_words": "Thanks"})
    return {}


ACTS = (sell, promise, pack, let_go, amend, pay, weigh, arrive, make, count, buy, note_person, note_lot, set_good, set_house)


def _order(hand: DeviceClient) -> str:
    return hand.promise([("bar", 4)], person=hand.note_person(name="Ruth")).order


def prepared(house: House) -> DeviceClient:
    """A device that may promise twenty bars and four jars, and a lot of bars."""
    hand = device(house, bars=20)
    hand.make([{"id": "W26-1", "good": "bar", "made_on": DAY}], [("jar", None, -1, "used"), ("bar", "W26-1", 5, "poured")])
    hand.exchange(callers={"bar": 20, "jar": 4})
    return hand


@pytest.mark.parametrize("act", ACTS, ids=lambda act: act.__name__)
def test_every_kind_is_undone_whole_and_once(house: House, act: Act) -> None:
    """From the device that did it; then once more from it, and from another device: both told quietly, nothing moves."""
    hand, other = prepared(house), device(house, "Wall tablet")
    before = act(hand)
    done = hand.log[-1]
    hand.exchange()
    hand.undo(done, before)
    hand.exchange()
    assert [told["why"] for told in hand.answered.values() if "why" in told] == []
    after = books(house)
    again = hand.undo(done, before)
    hand.exchange()
    assert hand.answered[again["id"]]["why"].startswith("Already undone") and hand.needs_you == []
    other.exchange()
    theirs = other.write("undo", again["rows"])
    other.exchange()
    assert other.answered[theirs["id"]]["why"].startswith("Already undone") and other.needs_you == []
    assert books(house) == after and house.check() == [] and hand.mirror.on_hand("bar") == on_hand(house)


@pytest.mark.parametrize("act", [sell, make, count, buy, pay, let_go], ids=lambda act: act.__name__)
def test_it_brings_back_the_same_units_to_the_same_lots_and_the_same_cents(house: House, act: Act) -> None:
    hand = prepared(house)
    taken = hand.promise([("bar", 4)], person=hand.note_person(name="Ruth"))
    hand.exchange()
    before = books(house)
    if act in (pay, let_go):
        hand.pay(taken.order, 300) if act is pay else hand.let_go(taken.order)
    else:
        act(hand)
    done = hand.log[-1]
    hand.exchange()
    hand.undo(done)
    hand.exchange()
    after = books(house)
    assert hand.needs_you == [] and after["lots"] == before["lots"]
    # what was spent from a share is not granted again: it is the pool's
    shares = {good: before["pools"][good] - after["pools"][good] for good in after["pools"]}
    assert all(moved <= 0 for moved in shares.values())
    assert owed_cents(house.records, taken.order) == 1200
    orders = {row["order"] for row in done["rows"] if row["table"] == "payment"}
    assert [owed_cents(house.records, order) for order in orders] == ([1200] if act is pay else [0] * len(orders))


def test_an_undone_promise_frees_its_bars_and_pays_back(house: House) -> None:
    hand = device(house, bars=10)
    taken = hand.promise([("bar", 6)], person=hand.note_person(name="Ruth"), payment=(500, "check"))
    done = hand.log[-1]
    hand.undo(done)
    assert hand.free("bar") == 40 and hand.share("bar") == 4, "before it is heard: free again, but the share is spent"
    hand.exchange()
    assert hand.needs_you == [] and pool(house) == 36 and hand.order(taken.order)["state"] == "let_go"
    assert owed_cents(house.records, taken.order) == 0 and house.check() == []


def test_an_order_let_go_stands_again_and_takes_what_the_share_has(house: House) -> None:
    """The bars went to somebody else meanwhile: what the share lacks waits; the number stays."""
    hand = device(house, bars=10)
    taken = hand.promise([("bar", 8)], person=hand.note_person(name="Ruth"))
    hand.let_go(taken.order)
    done = hand.log[-1]
    hand.exchange()
    hand.undo(done)
    hand.exchange()
    (line,) = hand.view.lines_of(taken.order)
    assert hand.order(taken.order)["state"] == "promised" and hand.order(taken.order)["number"] == taken.number
    assert hand.needs_you == [] and hand.sure(line["id"]) + hand.waiting(line["id"]) == 8 and hand.share("bar") == 0


@pytest.mark.parametrize("act", [promise, pack, sell, amend], ids=lambda act: act.__name__)
def test_what_has_gone_on_is_not_undone(house: House, act: Act) -> None:
    hand = prepared(house)
    before = act(hand)
    done = hand.log[-1]
    order = next(row["id"] for row in done["rows"] if row["table"] == "order")
    hand.exchange()
    if act is sell:
        hand.undo(done)
        hand.exchange()
    else:
        hand.hand_over(order)
    refused = hand.undo(done, before)
    hand.exchange()
    assert hand.answered[refused["id"]]["why"] and house.check() == []


def test_what_never_landed_or_cannot_be_undone_is_refused(house: House) -> None:
    hand = prepared(house)
    hand.promise([("bar", 1)], person="nobody-known")
    hand.undo(hand.log[-1])
    order = _order(hand)
    hand.give_back({"bar": 1})
    hand.undo(hand.log[-1])
    hand.pay(order, 100)
    hand.undo(hand.log[-1])
    undone = hand.log[-1]
    hand.write("undo", [{"table": "undoing", "id": undone["id"]}])
    hand.exchange()
    told = " ".join(answer["why"] for answer in hand.needs_you)
    assert "never came" in told and "kind give_back cannot" in told and "kind undo cannot" in told


WRONG: list[tuple[Act, Callable[[Json], Any]]] = [
    (sell, lambda row: row["table"] == "payment" and row.update(cents=row["cents"] - 1)),
    (sell, lambda row: row["table"] == "movement" and row.update(units=row["units"] + 1)),
    (sell, lambda row: row["table"] == "order" and row.update(state="promised")),
    (make, lambda row: row["table"] == "movement" and row.update(undoes="never-was")),
    (pay, lambda row: row["table"] == "payment" and row.update(how="check")),
    (pack, lambda row: row["table"] == "parcel" and row.update(packed_on=DAY)),
    (set_good, lambda row: row["table"] == "good" and row.update(name="other", was={"price_cents": 350})),
    (set_good, lambda row: row["table"] == "good" and row.pop("was")),
    (note_lot, lambda row: row["table"] == "lot" and row["was"].update(note="what nobody wrote")),
]


@pytest.mark.parametrize("number", range(len(WRONG)))
def test_what_is_not_the_inverse_is_refused_whole(house: House, number: int) -> None:
    act, spoil = WRONG[number]
    hand = prepared(house)
    before = act(hand)
    done = hand.log[-1]
    hand.exchange()
    kept = books(house)
    rows = [dict(row) for row in hand.undo(done, before)["rows"]]
    hand.log.pop()
    for row in rows:
        spoil(row)
    told = said(house, hand, entry(hand, "undo", rows))
    assert len(told["refused"]) == 1 and told["refused"][0]["remedy"] and books(house) == kept


def test_half_an_undo_is_refused(house: House) -> None:
    hand = prepared(house)
    hand.sell([("bar", 3), ("jar", 1)])
    done = hand.log[-1]
    hand.exchange()
    kept = books(house)
    rows = hand.undo(done)["rows"]
    hand.log.pop()
    for left_out in [row for row in rows if row["table"] in ("movement", "payment")]:
        told = said(house, hand, entry(hand, "undo", [row for row in rows if row is not left_out]))
        assert len(told["refused"]) == 1
        hand = DeviceClient.enrol(house, "Once more")
        hand.exchange()
    assert books(house) == kept


def test_a_helper_does_not_undo_what_only_a_keeper_may_do(house: House) -> None:
    hand, helper = prepared(house), device(house, "Wall tablet", role="helper")
    before = set_good(hand)
    done = hand.log[-1]
    hand.exchange()
    helper.exchange()
    helper.undo(done, before)
    helper.exchange()
    assert "Only an owner" in helper.needs_you[0]["why"]


def test_both_ends_at_once_bring_it_back_once(house: House) -> None:
    """The sale is undone by the device that made it and by the other one before either has heard of it."""
    hand, other = prepared(house), device(house, "Wall tablet")
    hand.sell([("bar", 4)])
    done = hand.log[-1]
    hand.exchange()
    other.exchange()
    before = on_hand(house)
    hand.undo(done)
    other.undo(done)
    other.exchange()
    hand.exchange()
    assert on_hand(house) == before + 4 and hand.needs_you == other.needs_you == []
    with house.records.read():
        landed = house.records.dicts(Operation.select().where(Operation.kind == "undo", Operation.position.is_null(False)))
    assert len(landed) == 1 and hand.mirror.on_hand("bar") == on_hand(house)
