"""Goal: on a bad line nothing is promised twice, and what a device does to its own orders is never taken back.

Method: seeded interleavings of three devices that each touch only their own orders, so every refusal would be a broken promise.
The sums here are the test's own: they use neither the house's balances nor the storm's checkers.
"""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from demo_seed.client.device import DeviceClient, Taken

from honeyhold.house.house import House
from honeyhold.records.check import disagreements
from replication.houses import Watch, device

SEEDS = 12
STEPS = 60


class BadLine:
    """Loses asks, loses answers, says things twice, and keeps some for later."""

    def __init__(self, house: House, rng: Random) -> None:
        self.house, self.rng = house, rng
        self.calm = False
        self.kept: list[tuple[str, Any]] = []
        self.fired: set[str] = set()

    def mirror(self, token: str) -> Any:
        """The mirror always comes."""
        return self.house.mirror(token)

    def exchange(self, token: str, ask: Any) -> Any:
        """One round trip, if the line lets it."""
        what = "nothing" if self.calm else self.rng.choice(("nothing", "ask lost", "answer lost", "twice", "late"))
        self.fired.add(what)
        if what in ("ask lost", "late"):
            self.kept += [(token, ask)] if what == "late" else []
            raise OSError(what)
        answer = self.house.exchange(token, ask)
        if what == "twice":
            again = self.house.exchange(token, ask)
            assert again["landed"] == answer["landed"] and again["refused"] == answer["refused"]
            return again
        if what == "answer lost":
            raise OSError(what)
        return answer

    def deliver(self) -> None:
        """Something said long ago arrives."""
        if self.kept:
            self.house.exchange(*self.kept.pop(self.rng.randrange(len(self.kept))))


def act(hand: DeviceClient, own: list[Taken], rng: Random) -> None:
    """One thing a device can do by itself, within its share."""
    what = rng.choice(("promise", "promise", "amend", "let_go", "hand_over", "sell", "make", "count up", "give back"))
    if what == "promise":
        own.append(hand.promise([(rng.choice(("bar", "jar")), rng.choice((1, 5, 10)))], person=hand.note_person(name="Orla")))
    elif what == "sell" and hand.share("bar"):
        hand.sell([("bar", rng.randint(1, hand.share("bar")))])
    elif what == "make":
        lot = f"W26-{len(hand.log)}-{hand.identity['mark']}"
        hand.make([{"id": lot, "good": "bar", "made_on": "2026-07-20"}], [("bar", lot, 5, "poured")])
    elif what == "count up":
        hand.count([("jar", None, 2, "counted")])
    elif what == "give back" and hand.share("bar") > 1:
        hand.give_back({"bar": hand.share("bar") // 2})
    elif own and what in ("amend", "let_go", "hand_over"):
        change(hand, own, what, rng)


def change(hand: DeviceClient, own: list[Taken], what: str, rng: Random) -> None:
    """Something with one of the device's own open orders."""
    taken = rng.choice(own)
    if what == "amend":
        hand.amend(taken.order, lines=[(good, rng.choice((1, 3, 8))) for good in taken.lines])
        return
    waits = any(hand.waiting(line["id"]) > 0 for line in hand.view.lines_of(taken.order))
    if what == "hand_over" and not waits and any(hand.sure(line) > 0 for line in taken.lines.values()):
        hand.hand_over(taken.order)
    elif what == "let_go":
        hand.let_go(taken.order)
    else:
        return
    own.remove(taken)


def look(house: House, hands: list[DeviceClient]) -> None:
    """Promised and shared out never exceed what is there; no device believes in more than the house gave."""
    with house.records.read():
        run = house.records.database.execute_sql
        there = dict(run("SELECT good, SUM(units) FROM movement GROUP BY good").fetchall())
        promised = dict(run("SELECT good, SUM(units) FROM reservation GROUP BY good").fetchall())
        shared: dict[str, int] = {}
        granted: dict[tuple[str, str], int] = {}
        for one, good, given, spent in run("SELECT device, good, granted, spent FROM share").fetchall():
            assert 0 <= spent <= given
            shared[good] = shared.get(good, 0) + given - spent
            granted[one, good] = given
    for good, units in there.items():
        assert promised.get(good, 0) + shared.get(good, 0) <= units, f"{good} promised twice"
    for hand in hands:
        for good, units in hand.share_held.granted.items():
            assert hand.share(good) >= 0 and units <= granted.get((hand.identity["device"], good), 0)


@pytest.mark.parametrize("seed", range(SEEDS))
def test_nothing_is_promised_twice_and_nothing_said_is_taken_back(house: House, watch: Watch, seed: int) -> None:
    rng = Random(seed)
    line = BadLine(house, rng)
    hands = [device(house, name) for name in ("Shed", "Kitchen", "Van")]
    own: dict[int, list[Taken]] = {number: [] for number in range(3)}
    for hand in hands:
        hand.transport = line
    for _ in range(STEPS):
        watch.later(seconds=rng.randrange(1, 4000))
        number = rng.randrange(3)
        if rng.random() < 0.5:
            act(hands[number], own[number], rng)
        else:
            try:
                hands[number].exchange(wants={"bar": rng.randrange(20), "jar": 5}, callers={"bar": rng.choice((0, 5))})
            except OSError:
                line.fired.add("unknown")
        if rng.random() < 0.1:
            line.deliver()
        look(house, hands)
    settle(line, house, hands)
    assert {"ask lost", "answer lost"} <= line.fired


def settle(line: BadLine, house: House, hands: list[DeviceClient]) -> None:
    """The line heals: all is heard, nothing was refused, all devices know the same."""
    line.calm = True
    while line.kept:
        line.deliver()
    for hand in [*hands, *hands]:
        hand.exchange()
    look(house, hands)
    for hand in hands:
        assert hand.in_hand == [] and hand.expects is None
        assert [told["why"] for told in hand.needs_you] == []
        for name in ("lots", "sure", "handed", "promised", "paid"):
            ours, theirs = ({key: units for key, units in getattr(one.mirror, name).items() if units} for one in (hand, hands[0]))
            assert ours == theirs, name
    assert disagreements(house.records) == []  # a lot that two devices emptied at once is told by check(), and is no wrong sum
    with house.records.read():
        landed = house.records.database.execute_sql("SELECT COUNT(*) FROM operation WHERE device <> 'house'").fetchone()[0]
    assert landed == sum(len(hand.log) for hand in hands), "each entry once, none besides"
