"""The real server, killed again and again under load, and what must be on the disk after each time.

Kill -9 shows that a transaction is whole and was written before it was answered; it cannot show that the disk itself has it
(the machine stays up). That hangs on `synchronous = FULL`, which `test_store.py` asserts.
"""

from __future__ import annotations

import http.client
import json
import random
import re
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from demo_seed.client.device import DeviceClient

from begun import Begun
from honeyhold.app.backup_ages import own_backups
from honeyhold.house.house import House
from replication.houses import device, small_house
from storm.checkers import check_once
from storm.checkers.in_order import check_in_order
from storm.checkers.no_oversell import check_no_oversell

SERVER = Path(__file__).resolve().parents[2] / "server"
ANSWERS_MOST = 6
"""Killed after up to so many answers, and up to LATER_S later: at another moment each time."""
LATER_S = 0.05


class OverTheWire:
    """A device's way to the served house; `told` holds what the house said to have landed."""

    def __init__(self) -> None:
        self.address = ""
        self.told: dict[str, int] = {}
        self.heard = 0
        self.unheard = 0

    def mirror(self, token: str) -> Any:
        """Where a device starts from."""
        return self._call("api/mirror", token, None)

    def exchange(self, token: str, ask: Any) -> Any:
        """One round trip; OSError when the house died meanwhile."""
        try:
            answer = self._call("api/exchange", token, ask)
        except OSError:
            self.unheard += 1
            raise
        self.heard += 1
        self.told.update({landed["id"]: landed["position"] for landed in answer["landed"]})
        return answer

    def _call(self, path: str, token: str, body: Any) -> Any:
        headers = {"Content-Type": "application/json", "Authorization": f"Bearer {token}"}
        data = None if body is None else json.dumps(body).encode()
        try:
            with urllib.request.urlopen(urllib.request.Request(self.address + path, data, headers), timeout=10) as answer:
                return json.load(answer)
        except (http.client.HTTPException, ValueError) as trouble:
            raise OSError("half an answer") from trouble


@contextmanager
def served(data: Path) -> Iterator[tuple[Begun, str]]:
    """A house that serves, and its address."""
    process = Begun(["serve", "--data", str(data), "--port", "0", "--no-browser"])
    try:
        found = None
        while not found:
            line = process.stdout.readline()
            assert line, "the house did not start"
            found = re.search(r"http://localhost:\d+/", line)
        yield process, found.group(0)
    finally:
        process.kill()
        process.wait(10)
        process.stdout.close()


def busy(hand: DeviceClient, until_dead: threading.Event) -> None:
    """Promises, amends, lets go, buys and exchanges until the line is dead."""
    number = 0
    while not until_dead.is_set():
        number += 1
        taken = hand.promise([("bar", 2)], person=hand.note_person(name="Somebody"))
        hand.amend(taken.order, lines=[("bar", 1)])
        if number % 3:
            hand.let_go(taken.order)
        else:
            hand.buy([("bar", None, 3, "bought")])
        try:
            hand.exchange(callers={"bar": 4})
        except OSError:
            return


def kill_many(folder: Path, kills: int, seed: int) -> dict[str, Any]:
    """So many kills at seeded moments. Raises `Violation` or AssertionError when something is not as it should be; figures otherwise."""
    chance = random.Random(seed)
    data = folder / "data"
    house = small_house(folder)
    line = OverTheWire()
    hands = [device(house, name) for name in ("A", "B")]
    for hand in hands:
        hand.transport = line
    house.close()
    began, lost_answers, position = time.monotonic(), 0, 0
    for _ in range(kills):
        with served(data) as (process, line.address):
            _killed_in_the_middle(process, line, hands, chance.randint(0, ANSWERS_MOST), chance.uniform(0, LATER_S))
        now, unheard = _as_it_should_be(data, line, hands)
        assert now >= position, "something that had landed is gone"
        position, lost_answers = now, lost_answers + unheard
    backups = len(own_backups(data / "backups"))
    entries = sum(len(hand.log) for hand in hands)
    _all_is_heard(data, hands)
    return {
        "kills": kills, "seed": seed, "entries": entries, "answers_heard": line.heard, "answers_cut_off": line.unheard,
        "landed_before_anybody_heard": lost_answers, "backups_made_meanwhile": backups, "violations": 0,
        "seconds": round(time.monotonic() - began, 1),
    }  # fmt: skip


def _killed_in_the_middle(
    process: Begun, line: OverTheWire, hands: list[DeviceClient], answers: int, later_s: float
) -> None:
    dead = threading.Event()
    threads = [threading.Thread(target=busy, args=(hand, dead)) for hand in hands]
    wanted, until = line.heard + answers, time.monotonic() + 30
    for thread in threads:
        thread.start()
    while line.heard < wanted:
        assert time.monotonic() < until, "the house answers nothing"
        time.sleep(0.001)
    time.sleep(later_s)
    process.kill()
    dead.set()
    for thread in threads:
        thread.join(15)


def _as_it_should_be(data: Path, line: OverTheWire, hands: list[DeviceClient]) -> tuple[int, int]:
    """(last position, entries that landed without anybody hearing of it yet): no oversell, each once, in order, all that was answered."""
    house = House.open(data)
    world = SimpleNamespace(house=house, memory={}, restored=False)
    for check in (check_no_oversell, check_once, check_in_order):
        check(world)
    with house.records.read():
        kept = dict(house.records.database.execute_sql("SELECT id, position FROM operation WHERE position IS NOT NULL"))
    assert {one: at for one, at in line.told.items() if kept.get(one) != at} == {}
    written = {operation["id"] for hand in hands for operation in hand.log}
    position = house.position()
    house.close()
    return position, len((written & kept.keys()) - line.told.keys() - {one for hand in hands for one in hand.answered})


def _all_is_heard(data: Path, hands: list[DeviceClient]) -> None:
    """The last house hears what was still in hand: everything landed, and all agree."""
    house = House.open(data)
    for hand in [*hands, *hands]:
        hand.transport = SimpleNamespace(exchange=house.exchange, mirror=house.mirror)  # type: ignore[assignment]
        hand.exchange()
    for hand in hands:
        assert hand.in_hand == [] and hand.expects is None
        assert [told["why"] for told in hand.needs_you] == []
    with house.records.read():
        kept = {one for (one,) in house.records.database.execute_sql("SELECT id FROM operation WHERE position IS NOT NULL")}
    assert {operation["id"] for hand in hands for operation in hand.log} <= kept
    assert dict(hands[0].mirror.sure) == dict(hands[1].mirror.sure) and house.check() == []
    house.close()
