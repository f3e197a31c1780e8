"""`honeyhold host --workers 4` under load: workers are killed, then the primary beneath them in the midst of it, then workers again.

The devices are those of the fault simulator; each goes by HTTP to one worker after the other, as behind a proxy, and never stops: not while
nobody answers, nor while the standby is promoted. Nobody starts Honeyhold again. What is killed, and when, a seed decides.
"""

from __future__ import annotations

import http.client
import random
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

from honeyhold.house.clock import machine_time
from honeyhold.house.house import House
from honeyhold.house.many_houses import Houses
from honeyhold.records.shared_database import SharedDatabase
from hosting.processes import PATIENCE_S, asked
from hosting.several import Several, several
from postgresql_pair import Pair, lost_at_once, pair, stalled
from storm.checkers import Violation
from storm.failover import ANSWERS_STALLED_MOST, DEVICES, ROUNDS_TO_REST, STALL_S_MOST, act, as_it_should_be, figures, put_bars
from storm.phone import Phone

HOUSE = "willow"
KEEPER = "keeper"
BARS = 2000
CONNECTIONS = 8
"""Of each worker: all together stay below what PostgreSQL takes as it comes, when one more begins."""
FIRST_ENTRY_S = PATIENCE_S
"""The longest from the promotion until an entry is taken again."""
ANSWERS_WITHOUT_ENTRY_MOST = 200
"""From the promotion: devices that are told of a new epoch say what is missing at once, so that many without an entry are none of luck."""
PROMOTED_AFTER_S_MOST = 1.0
"""Nobody promotes a standby in the same moment; meanwhile workers are killed and started in vain."""
REST_S = 0.02
LOOKS_AT_A_TORN_RECORD = 40

Json = dict[str, Any]


@dataclass(frozen=True)
class Measure:
    """How much happens in one run: from and to, of which the seed takes one."""

    workers: int = 4
    kills_before: tuple[int, int] = (1, 3)
    kills_after: tuple[int, int] = (1, 2)
    answers_between: tuple[int, int] = (15, 40)
    """From one kill to the next."""
    answers_stalled: tuple[int, int] = (0, ANSWERS_STALLED_MOST)
    """While an asynchronous standby hears nothing."""


SAMPLE = Measure(2, (1, 1), (0, 0), (5, 10), (DEVICES + 1, ANSWERS_STALLED_MOST))
"""For the suite; two more are killed about the loss of the primary. One answer more than were under way when the line stalled is lost."""


class Proxy:
    """The devices' way to whichever worker answers. Raises OSError where none does, or one says to come again."""

    def __init__(self, ports: list[int], chance: random.Random) -> None:
        self._ports, self._chance = ports, chance
        self.answered: dict[str, int | None] = {}
        """Entries that were answered, with the position at which they landed."""
        self.epochs: set[str] = set()
        self.rounds = self.troubles = 0
        self.rounds_again = 0
        """Those that were begun after the primary was lost."""
        self.lost_at: float | None = None
        self.first_again_at: float | None = None

    def mirror(self, token: str) -> Json:
        """Where a device starts from."""
        return self._asked("/api/mirror", token, None)

    def exchange(self, token: str, ask: Json) -> Json:
        """One round trip; what it says has happened counts once it is said."""
        began = time.monotonic()
        answer = self._asked("/api/exchange", token, ask)
        self.rounds += 1
        self.epochs.add(answer["epoch"])
        self.answered.update({one["id"]: one["position"] for one in answer["landed"]})
        self.answered.update({one["id"]: None for one in answer["refused"]})
        if self.lost_at is not None and began > self.lost_at:
            self.rounds_again += 1
            if answer["landed"] and self.first_again_at is None:
                self.first_again_at = time.monotonic()
        return answer

    def _asked(self, path: str, token: str, body: Json | None) -> Json:
        try:
            status, answer = asked(self._chance.choice(self._ports), HOUSE, path, token, body)
        except (OSError, http.client.HTTPException, ValueError) as trouble:  # ValueError: it was killed in the midst of an answer
            self.troubles += 1
            raise OSError("no answer") from trouble
        if status in (429, 503):
            self.troubles += 1
            raise OSError("come again")
        if status != 200:
            raise Violation("worker_losses", f"{path} was answered {status}: {answer}")
        found: Json = answer
        return found


class Busy(threading.Thread):
    """One device that promises, changes its mind, buys and exchanges until the end; a `Violation` that it met stays for whoever waits."""

    def __init__(self, phone: Phone, ending: threading.Event, chance: random.Random) -> None:
        super().__init__(daemon=True)
        self._phone, self._ending, self._chance = phone, ending, chance
        self.met: Exception | None = None

    def run(self) -> None:
        """Until `ending`."""
        try:
            while self._phone.cursor is None:  # a device does nothing before it has a mirror
                self._exchange()
            person = self._phone.note_person(name="Somebody")
            while not self._ending.is_set():
                act(self._phone, person, self._chance)
                self._exchange()
        except Exception as trouble:
            self.met = trouble

    def _exchange(self) -> None:
        try:
            self._phone.exchange(callers={"bar": 6})
        except OSError:
            self._ending.wait(REST_S * (1 + self._chance.random()))


def lose_workers_and_primary(
    folder: Path, seed: int, synchronous: bool, measure: Measure = Measure(), planted: Path | None = None
) -> Json:
    """One run, and the figures of it. Raises `Violation` or AssertionError when something is not as it must be.

    `planted`: a folder of modules that the workers find first, for what must be caught.
    """
    chance = random.Random(f"worker losses {seed}")
    with ExitStack() as stack:
        servers = stack.enter_context(pair(synchronous))
        servers.primary.run(f"CREATE ROLE {KEEPER} LOGIN CREATEROLE")
        servers.primary.run(f"CREATE DATABASE houses OWNER {KEEPER}")
        address, data = servers.address("houses").replace("honeyhold@", f"{KEEPER}@"), folder / "data"
        identities = _furnished(address, data)
        workers = stack.enter_context(several(address, data, measure.workers, "--connections", str(CONNECTIONS), first_on_path=planted))
        proxy = Proxy(workers.ports, random.Random(chance.random()))
        phones = [Phone(one, proxy, lambda: str(uuid4()), lambda: datetime.now(UTC)) for one in identities]
        found = _Run(servers, workers, proxy, phones, chance, synchronous, measure).played()
        workers.stop()
        with _opened(address, data) as house:
            found.update(_looked_at(house, phones, found.pop("known_before"), found.pop("answered_before"), proxy))
    return {"seed": seed, "synchronous": synchronous, "workers": measure.workers, **found}


class _Run:
    """The storm of one seed."""

    def __init__(
        self, servers: Pair, workers: Several, proxy: Proxy, phones: list[Phone], chance: random.Random, synchronous: bool, measure: Measure
    ) -> None:
        self._servers, self._workers, self._proxy, self._chance = servers, workers, proxy, chance
        self._synchronous, self._measure = synchronous, measure
        self._phones = phones
        self._kills = 0
        self._ending = threading.Event()
        self._busy = [Busy(phone, self._ending, random.Random(chance.random())) for phone in phones]

    def played(self) -> Json:
        """All of it; at the end every device has said all and heard all."""
        for one in self._busy:
            one.start()
        try:
            for _ in range(self._chance.randint(*self._measure.kills_before)):
                self._more()
                self._kill()
            self._more()
            found = self._primary_lost()
            for _ in range(self._chance.randint(*self._measure.kills_after)):
                self._more()
                self._kill()
            self._more()
        finally:
            self._ending.set()
            for one in self._busy:
                one.join(2 * PATIENCE_S)
        self._met_nothing()
        self._all_is_said()
        return {**found, "workers_killed": self._kills, "troubles": self._proxy.troubles}

    def _primary_lost(self) -> Json:
        servers, chance, proxy = self._servers, self._chance, self._proxy
        stalled(servers.sender())
        if self._synchronous:
            self._ending.wait(chance.uniform(0, STALL_S_MOST))  # nothing is answered meanwhile
        else:
            self._until(proxy.rounds + chance.randint(*self._measure.answers_stalled))
        self._kill()
        lost_at_once(servers.primary)
        lost_at = time.monotonic()
        self._ending.wait(chance.uniform(0, PROMOTED_AFTER_S_MOST))
        self._kill()
        known_before = _known_to_the_standby(servers)
        answered_before, epochs = dict(proxy.answered), set(proxy.epochs)
        assert len(epochs) == 1, "an epoch began while no server was lost"
        proxy.lost_at = lost_at
        servers.promote()
        promoted_at = time.monotonic()
        self._wait(self._goes_on, "no entry was taken after the standby was promoted", FIRST_ENTRY_S)
        assert proxy.first_again_at is not None
        return {
            "known_before": known_before, "answered_before": answered_before,
            "seconds_to_promote": round(promoted_at - lost_at, 2),
            "seconds_to_first_entry": round(proxy.first_again_at - lost_at, 2),
            "seconds_from_promoted_to_first_entry": round(max(0.0, proxy.first_again_at - promoted_at), 2),
        }  # fmt: skip

    def _goes_on(self) -> bool:
        proxy = self._proxy
        if proxy.first_again_at is None and proxy.rounds_again > ANSWERS_WITHOUT_ENTRY_MOST:
            raise Violation("worker_losses", f"no entry was taken in {proxy.rounds_again} answers of the server that took over")
        return proxy.first_again_at is not None

    def _kill(self) -> None:
        there = sorted(self._workers.workers())
        if there:
            self._workers.kill(self._chance.choice(there))
            self._kills += 1

    def _more(self) -> None:
        self._until(self._proxy.rounds + self._chance.randint(*self._measure.answers_between))

    def _until(self, rounds: int) -> None:
        self._wait(lambda: self._proxy.rounds >= rounds, "the workers answer nothing")

    def _wait(self, is_so: Callable[[], bool], otherwise: str, most_s: float = PATIENCE_S) -> None:
        ends = time.monotonic() + most_s
        while not is_so():
            self._met_nothing()
            assert time.monotonic() < ends, f"{otherwise}:\n{self._workers.log.read_text('utf-8')[-2000:]}"
            time.sleep(0.002)

    def _met_nothing(self) -> None:
        for one in self._busy:
            if one.met is not None:
                raise one.met

    def _all_is_said(self) -> None:
        for _ in range(ROUNDS_TO_REST):
            for phone in self._phones:
                _said(phone)


def _said(phone: Phone) -> None:
    """One exchange that comes through: a worker may still be starting."""
    ends = time.monotonic() + PATIENCE_S
    while True:
        try:
            phone.exchange()
            return
        except OSError:
            assert time.monotonic() < ends, "a device is not heard any more"
            time.sleep(REST_S)


def _known_to_the_standby(servers: Pair) -> set[str]:
    """Every entry that it has when it is about to take over: nothing more comes from a primary that is gone, and all that came is in.

    A record of the log of which only the beginning came is never taken; then the place where it stands stays the same for long.
    """
    asked = "SELECT pg_last_wal_replay_lsn(), pg_last_wal_receive_lsn(), (SELECT count(*) FROM pg_stat_wal_receiver)"
    before, the_same = None, 0
    ends = time.monotonic() + PATIENCE_S
    while time.monotonic() < ends:
        (found,) = servers.standby.run(asked)
        the_same = the_same + 1 if found == before else 0
        replayed, received, hears = found
        if not hears and (replayed == received or the_same >= LOOKS_AT_A_TORN_RECORD):
            return {one for (one,) in servers.standby.run("SELECT id FROM house_1.operation", "houses")}
        before = found
        time.sleep(0.05)
    raise AssertionError("the standby still hears of a primary that is gone")


@contextmanager
def _opened(address: str, data: Path) -> Iterator[House]:
    shared = SharedDatabase(address)
    with closing(Houses(shared, data)) as many:
        try:
            with many.lent(HOUSE) as house:
                yield house
        finally:
            shared.close()


def _furnished(address: str, data: Path) -> list[Json]:
    """A house with bars, and the identities of its devices."""
    data.mkdir(parents=True)
    shared = SharedDatabase(address)
    with closing(Houses(shared, data)) as many:
        many.register.add(HOUSE, machine_time())
        many.read_register()
        with many.lent(HOUSE) as house:
            put_bars(house, BARS)
            made = [house.enrol(house.new_code()["code"], f"Device {number}") for number in range(DEVICES)]
            house.backup()  # the oldest: with a first one of later than the standby's last entry the house would not begin there
    shared.close()
    return made


def _looked_at(house: House, phones: list[Phone], known: set[str], answered: dict[str, int | None], proxy: Proxy) -> Json:
    """Every checker of the fault simulator, every sum; and one epoch more than before, whichever of the workers found the new server."""
    as_it_should_be(house, phones)
    assert house.check() == [], house.check()
    assert not house.recovering() and len(proxy.epochs) == 2 and house.epoch in proxy.epochs, proxy.epochs
    return figures(house, phones, proxy.answered, answered.keys() - known)
