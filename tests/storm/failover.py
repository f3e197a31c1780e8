"""The server with the records is lost under load and its standby takes over: what was answered, what came back, what was promised twice.

The devices are those of the fault simulator, and exchange with one house from a thread each. The line between the two servers stalls for
a seeded while (its sending process is stopped) before the primary with all its processes is gone in one moment, so that an asynchronous
standby lacks what was answered meanwhile.
"""

from __future__ import annotations

import random
import threading
import time
from collections.abc import Iterable
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from uuid import uuid4

from honeyhold.house.house import House
from honeyhold.records.errors import RecordsSilent, RecordsTrouble
from postgresql_pair import Pair, lost_at_once, pair, stalled
from replication.houses import movement
from storm.checkers import AFTER_EACH_STEP, AT_REST, Violation
from storm.checkers.honesty import check_honesty
from storm.checkers.no_oversell import POOL_FROM_LEDGERS, check_no_oversell
from storm.checkers.plain_agrees import check_plain_agrees
from storm.phone import Phone
from storm.world import Told

DEVICES = 4
BARS = 400
ANSWERS_BEFORE = (20, 60)
"""The line stalls after so many answers, at a seeded number of them."""
ANSWERS_STALLED_MOST = 30
STALL_S_MOST = 0.4
"""A synchronous primary answers nothing while the line stalls, so time ends the stall, too."""
ROUNDS_TO_REST = 6
PATIENCE_S = 30

Json = dict[str, Any]


class Road:
    """The devices' way to the house: what it answered is written down, and a server that is away is a line that broke."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.answered: dict[str, int | None] = {}
        """Entries that were answered, with the position at which they landed."""
        self.rounds = 0
        self.first_again_at: float | None = None

    def mirror(self, token: str) -> Json:
        """Where a device starts from."""
        try:
            return self.house.mirror(token)
        except (RecordsSilent, RecordsTrouble) as trouble:
            raise OSError("no answer") from trouble

    def exchange(self, token: str, ask: Json) -> Json:
        """One round trip; what it says has happened counts once it is said."""
        try:
            answer = self.house.exchange(token, ask)
        except (RecordsSilent, RecordsTrouble) as trouble:
            raise OSError("no answer") from trouble
        self.rounds += 1
        self.answered.update({one["id"]: one["position"] for one in answer["landed"]})
        self.answered.update({one["id"]: None for one in answer["refused"]})
        if answer["landed"] and self.first_again_at is None:
            self.first_again_at = time.monotonic()
        return answer


def fail_over(folder: Path, seed: int, synchronous: bool) -> Json:
    """One loss, and the figures of it. Raises `Violation` or AssertionError when something is not as it must be."""
    chance = random.Random(f"failover {seed}")
    with pair(synchronous) as servers:
        servers.primary.run("CREATE DATABASE house")
        road = Road(furnished(folder, servers.address("house")))
        try:
            found = _lost_and_taken_over(servers, road, chance, synchronous)
        finally:
            road.house.close()
    return {"seed": seed, "synchronous": synchronous, **found}


def _lost_and_taken_over(servers: Pair, road: Road, chance: random.Random, synchronous: bool) -> Json:
    phones = [enrolled(road, f"Device {one}") for one in range(DEVICES)]
    lost_at = _lost_under_load(servers, road, phones, chance, synchronous)
    answered, epoch = dict(road.answered), road.house.epoch
    _standby_is_no_place_for_a_house(servers, road.house.folder.with_name("early"))
    servers.promote()
    promoted_at = time.monotonic()
    _writes_nothing_more(road.house)
    road.house.close()
    road.house = House.open(road.house.folder)  # its note names both servers
    lost = answered.keys() - known_to(road.house)
    road.first_again_at = None
    _all_is_said(phones)
    as_it_should_be(road.house, phones)
    assert road.house.epoch != epoch and not road.house.recovering() and road.first_again_at
    return {
        **figures(road.house, phones, answered, lost), "seconds_to_promote": round(promoted_at - lost_at, 2),
        "seconds_to_first_entry": round(road.first_again_at - lost_at, 2),
    }  # fmt: skip


def furnished(folder: Path, address: str) -> House:
    """A house with bars in a database."""
    house = House.open(folder / "data", database=address)
    put_bars(house, BARS)
    return house


def put_bars(house: House, units: int) -> None:
    """So many bars on the shelf of a house that sells nothing yet."""
    house.write("set_good", [{"table": "good", "id": "bar", "name": "bar", "kind": "wax", "price_cents": 300}])
    house.write("buy", [movement("bar", units)])


def enrolled(road: Road, name: str) -> Phone:
    """A device of the fault simulator."""
    house = road.house
    return Phone(house.enrol(house.new_code()["code"], name), road, lambda: str(uuid4()), house.clock.now)


def known_to(house: House) -> set[str]:
    """Every entry that the records know, landed or refused."""
    with house.records.read():
        return {one for (one,) in house.records.sql("SELECT id FROM operation").fetchall()}


def _lost_under_load(servers: Pair, road: Road, phones: list[Phone], chance: random.Random, synchronous: bool) -> float:
    """The devices work, the line stalls, the primary is gone; when that was."""
    before, while_stalled = chance.randint(*ANSWERS_BEFORE), chance.randint(0, ANSWERS_STALLED_MOST)
    longest_s = chance.uniform(0, STALL_S_MOST)
    sender, gone = servers.sender(), threading.Event()
    threads = [threading.Thread(target=_busy, args=(phone, gone, random.Random(chance.random()))) for phone in phones]
    for thread in threads:
        thread.start()
    try:
        _until(road, before, PATIENCE_S)
        stalled(sender)
        _until(road, road.rounds + while_stalled, longest_s if synchronous else PATIENCE_S, must_come=not synchronous)
        lost_at_once(servers.primary)
        return time.monotonic()
    finally:
        gone.set()
        for thread in threads:
            thread.join(PATIENCE_S)
            assert not thread.is_alive(), "a device still waits for an answer of a server that is gone"


def _until(road: Road, rounds: int, longest_s: float, must_come: bool = True) -> None:
    until = time.monotonic() + longest_s
    while road.rounds < rounds and time.monotonic() < until:
        threading.Event().wait(0.002)
    assert road.rounds >= rounds or not must_come, "the house answers nothing"


def _busy(phone: Phone, gone: threading.Event, chance: random.Random) -> None:
    """Promises, changes its mind, buys, and exchanges until the server is gone; then promises a little more by itself."""
    person = phone.note_person(name="Somebody")
    after = 3
    while after:
        act(phone, person, chance)
        if gone.is_set():
            after -= 1
            continue
        try:
            phone.exchange(callers={"bar": 6})
        except OSError:
            gone.wait(0.01)


def act(phone: Phone, person: str, chance: random.Random) -> None:
    """What a device writes down between two exchanges: an order, perhaps that it is off again, perhaps bars that were bought."""
    taken = phone.promise([("bar", chance.randint(1, 3))], person=person)
    if chance.random() < 0.3:
        phone.let_go(taken.order)
    if chance.random() < 0.2:
        phone.buy([("bar", None, 2, "bought")])


def _standby_is_no_place_for_a_house(servers: Pair, folder: Path) -> None:
    """A house that is started too early, at the standby itself, is told in words."""
    try:
        House.open(folder, database=servers.standby.address("house")).close()
    except RecordsTrouble as trouble:
        assert "takes no writes" in str(trouble), trouble
        return
    raise Violation("failover", "a house began on a server that takes no writes")


def _writes_nothing_more(house: House) -> None:
    """The house that ran takes nothing into records that are not those it answered from."""
    try:
        house.write("buy", [movement("bar", 1)])
    except (RecordsTrouble, RecordsSilent):
        return
    raise Violation("failover", "the house went on in records that another server had taken over, without a new epoch")


def as_it_should_be(house: House, phones: list[Phone]) -> None:
    """Whatever the fault simulator looks at; and every bar that a caller was told to be sure of is."""
    told = [Told(entry["device"], entry["id"], entry["spent"]) for phone in phones for entry in phone.log if entry["spent"]]
    world = SimpleNamespace(
        house=house, phones=phones, lost=[], emptied=[], copied=set(), told=told, excused=set(), memory={}, restored=True,
    )  # fmt: skip
    for check in (*AFTER_EACH_STEP, *AT_REST):
        if check is not check_plain_agrees:
            check(world)
    world.restored = False  # a restored house is excused of some of it, which nothing here needs
    world.memory.clear()
    for check in (check_honesty, check_no_oversell):
        check(world)


def _all_is_said(phones: Iterable[Phone]) -> None:
    for _ in range(ROUNDS_TO_REST):
        for phone in phones:
            phone.exchange()


def figures(house: House, phones: list[Phone], answered: dict[str, int | None], lost: set[str]) -> Json:
    known = known_to(house)
    with house.records.read():
        pools = house.records.sql(POOL_FROM_LEDGERS).fetchall()
    written = {entry["id"] for phone in phones for entry in phone.log}
    return {
        "entries": len(written), "answered": len(answered), "answered_and_lost": len(lost), "healed": len(lost & known),
        "still_missing": len((written | answered.keys()) - known), "promised_twice": sum(max(0, -units) for _, units in pools),
        "refused": sum(len(phone.needs_you) for phone in phones),
    }  # fmt: skip
