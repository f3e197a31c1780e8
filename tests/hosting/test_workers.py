"""Several processes on the same database: what one answered the others know, and none is missed when it goes."""

from __future__ import annotations

import json
import signal
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from datetime import timedelta
from functools import partial
from pathlib import Path
from typing import Any, ClassVar

import psycopg
import pytest

from honeyhold.app import several_workers
from honeyhold.app.listeners import PortTaken
from honeyhold.app.several_workers import ports_from
from honeyhold.house.between_processes import AGAIN_AFTER, BYTES_MOST, BetweenProcesses, Letter, _is_news
from honeyhold.house.clock import machine_time
from honeyhold.house.house import House
from honeyhold.records.house_register import FROZEN, HouseFrozen
from honeyhold.records.shared_database import SharedDatabase
from honeyhold.replication.sessions import Session
from hosting.many import houses
from hosting.processes import AWAY, PATIENCE_S, Listener, Process, Sender, asked, kept_ids, running, until
from hosting.several import several, state_of
from replication.houses import MONDAY, device, movement


@pytest.fixture
def identities(address: str, tmp_path: Path) -> list[dict[str, Any]]:
    """Three devices of one house."""
    with houses(address, tmp_path, "willow", now=machine_time) as many, many.lent("willow") as willow:
        return [willow.enrol(willow.new_code()["code"], f"Phone {number}") for number in range(3)]


def all_kept(address: str, tmp_path: Path, senders: list[Sender]) -> None:
    """Every entry that was answered is in the records, and every sum agrees."""
    with houses(address, tmp_path) as many, many.lent("willow") as willow:
        kept = kept_ids(willow)
        lost = [len(sender.answered - kept) for sender in senders]
        assert lost == [0] * len(senders) and willow.check() == []
        assert len(kept) >= sum(len(sender.answered) for sender in senders)


def test_an_entry_by_one_process_wakes_the_streams_of_the_other(address: str, tmp_path: Path, identities: list[dict[str, Any]]) -> None:
    with running(address, tmp_path) as one, running(address, tmp_path) as other, ExitStack() as stack:
        listener = stack.enter_context(Listener("willow", identities[0]["token"], lambda: [other.port]))
        listener.heard(1)
        sender = Sender("willow", identities[1], lambda: [one.port], 1)
        sender.writer.write("note_person", [sender.writer.person()])
        sender.ending.set()
        sender.run()
        with houses(address, tmp_path) as many, many.lent("willow") as willow:
            position = willow.position()
        listener.heard(position)
        assert len(sender.answered) == 1 and listener.opened == 1  # the bell, not another stream, told it


def test_a_process_that_is_killed_under_load_loses_nothing_that_was_answered(
    address: str, tmp_path: Path, identities: list[dict[str, Any]]
) -> None:
    with ExitStack() as stack:
        servers = [stack.enter_context(running(address, tmp_path)) for _ in range(2)]
        made = [Sender("willow", one, lambda: [server.port for server in servers], seed) for seed, one in enumerate(identities)]
        senders = [stack.enter_context(sender) for sender in made]
        for _ in range(2):
            _wait_for_more(senders, 20)
            servers[0].process.kill()
            servers[0].process.wait(PATIENCE_S)
            servers[0] = stack.enter_context(running(address, tmp_path))
        _wait_for_more(senders, 20)
        assert sum(sender.landed() for sender in senders) >= 60 and sum(sender.troubles for sender in senders) > 0
    all_kept(address, tmp_path, senders)


def test_replaced_one_after_the_other_at_its_port_it_loses_no_entry_and_lets_every_stream_in_at_once(
    address: str, tmp_path: Path, identities: list[dict[str, Any]]
) -> None:
    """Nobody meets a closed door: the new process is at the port before the old one goes. A line that the kernel gave to the old one in the
    very moment it went, or whose request was long in coming, is cut, and its device asks again: once at each going, at most."""
    with ExitStack() as stack:
        old = stack.enter_context(running(address, tmp_path))
        port = old.port
        listener = stack.enter_context(Listener("willow", identities[0]["token"], lambda: [port]))
        listener.heard(1)
        senders = [stack.enter_context(Sender("willow", one, lambda: [port], seed)) for seed, one in enumerate(identities[1:])]
        for _ in range(2):
            _wait_for_more(senders, 20)
            new = Process(address, tmp_path, "--beside", port=port)
            stack.callback(new.end)
            old.process.send_signal(signal.SIGTERM)
            assert old.process.wait(PATIENCE_S) == 0
            old = new
        _wait_for_more(senders, 20)
        answered = sum(sender.landed() for sender in senders)
        with houses(address, tmp_path) as many, many.lent("willow") as willow:
            listener.heard(willow.position())
        assert answered >= 60 and listener.opened >= 3 and listener.refused == 0
        assert [sender.refused for sender in senders] == [0] * len(senders) and all(sender.troubles <= 2 for sender in senders)
    all_kept(address, tmp_path, senders)


def _wait_for_more(senders: list[Sender], units: int) -> None:
    """Until each was answered so many more."""
    goals = [len(sender.answered) + units for sender in senders]
    for sender, goal in zip(senders, goals, strict=True):
        until(partial(_has_or_went_wrong, sender, goal), "more is answered")
        assert sender.is_alive() and not sender.wrong, sender.wrong


def _has_or_went_wrong(sender: Sender, goal: int) -> bool:
    return len(sender.answered) >= goal or not sender.is_alive() or bool(sender.wrong)


def test_one_that_looks_after_several_starts_them_again_replaces_them_and_stops_them(
    address: str, tmp_path: Path, identities: list[dict[str, Any]]
) -> None:
    with several(address, tmp_path, 2) as keeper:
        ports, before = set(keeper.ports), keeper.workers()
        assert len(before) == len(ports) == 2 and all(asked(port, "willow", "/api/health")[0] == 200 for port in ports)
        keeper.kill(min(before))
        assert keeper.next_port() in ports and len(keeper.workers() - before) == 1
        again = keeper.workers()
        keeper.process.send_signal(signal.SIGHUP)
        assert {keeper.next_port(), keeper.next_port()} == ports
        until(lambda: not keeper.workers() & again, "those that were replaced are gone")
        assert all(asked(port, "willow", "/api/health")[0] == 200 for port in ports)
        last = keeper.workers()
        keeper.process.kill()  # without a word: its children end by themselves
        keeper.process.wait(PATIENCE_S)
        until(lambda: all(state_of(one) == "Z" for one in last), "the children of one that was killed end by themselves")
        for port in ports:
            with pytest.raises(AWAY):
                asked(port, "willow", "/api/health")


class Two:
    """Two servers' houses in this process, that tell each other."""

    def __init__(self, address: str, data: Path, stack: ExitStack) -> None:
        self.many = [stack.enter_context(houses(address, data, *(["willow"] if first else []))) for first in (True, False)]
        self.between = [BetweenProcesses(one.shared, one) for one in self.many]
        for many, between in zip(self.many, self.between, strict=True):
            many._idle_s = -1.0
            many.tidy()
            many.when_opened = between.join
            between.start()
            stack.callback(between.stop)
            assert between.listening.wait(PATIENCE_S)
        self.houses: list[House] = [stack.enter_context(many.lent("willow")) for many in self.many]


@pytest.fixture
def two(address: str, tmp_path: Path) -> Iterator[Two]:
    with ExitStack() as stack:
        yield Two(address, tmp_path, stack)


def test_a_call_at_one_process_asks_back_what_a_device_of_the_other_holds(two: Two) -> None:
    """As within one process: who has a caller gets what others hold and do not need (`Sessions`)."""
    one, other = two.houses
    rich = device(one, "Rich phone", 40)
    assert rich.share("bar") == 40
    rich.exchange()  # its own caller has gone
    poor = device(other, "Poor phone")
    _heard_by(other, rich.identity["device"], {})
    rang = threading.Event()
    stop = one.news.listen(rang.set)
    poor.exchange(callers={"bar": 3})
    assert rang.wait(PATIENCE_S)
    stop()
    _heard_by(one, poor.identity["device"], {"bar": 3})
    assert rich.exchange()["ask_back"].get("bar", 0) >= 3


def test_what_a_device_gave_back_at_one_process_rests_at_the_other_too(two: Two) -> None:
    """Else it would be given the same again at the next exchange there."""
    one, other = two.houses
    hand = device(one, "Rich phone", 40)
    hand.exchange()
    hand.give_back({"bar": 7})
    hand.exchange()
    assert hand.identity["device"] in one.sessions.resting("bar", MONDAY + timedelta(seconds=1))

    def resting(good: str) -> set[str]:
        other.sessions.heard_in_reach(MONDAY + timedelta(seconds=1))  # as whoever divides does first: what others told is taken in
        return other.sessions.resting(good, MONDAY + timedelta(seconds=1))

    until(lambda: resting("bar") == {hand.identity["device"]}, "the other hears of it")
    assert resting("jar") == set()


def _heard_by(house: House, name: str, callers: dict[str, int]) -> None:
    """Until a process has heard this of a device."""

    def has_heard() -> bool:
        found = house.sessions.heard_in_reach(MONDAY + timedelta(seconds=1)).get(name)
        return found is not None and found.callers == callers

    until(has_heard, f"{callers} of {name}")


def test_a_notice_too_long_for_the_database_goes_without_what_devices_said() -> None:
    short = Letter(7, {"d": Session(MONDAY, {"bar": 1}, {})})
    assert '"sessions":[["d"' in short.written("s", "willow")
    long = Letter(7, {f"device {number}": Session(MONDAY, {f"good {good}": 1 for good in range(50)}, {}) for number in range(20)})
    told = long.written("s", "willow")
    assert len(told) < BYTES_MOST and '"position": 7' in told and "sessions" not in told


def test_what_is_told_again_goes_over_after_a_third_of_the_time_that_it_is_believed() -> None:
    """To the second; at once where it is the first, or something else is said."""
    said = Session(MONDAY, {"bar": 1}, {})
    later = [AGAIN_AFTER - timedelta(seconds=1), AGAIN_AFTER, timedelta(0)]
    assert [_is_news(said, Session(MONDAY + after, {"bar": 1}, {})) for after in later] == [False, True, False]
    others = [Session(MONDAY, {"bar": 2}, {}), Session(MONDAY, {"bar": 1}, {"bar": 1})]
    assert _is_news(None, said) and all(_is_news(said, other) for other in others)


def test_a_notice_as_long_as_the_database_takes_goes_whole_and_one_letter_more_does_not() -> None:
    def told(letters: int) -> str:
        return Letter(7, {"d" * letters: Session(MONDAY, {"bar": 1}, {})}).written("s", "willow")

    fits = BYTES_MOST - len(told(0))
    assert len(told(fits)) == BYTES_MOST and "sessions" in told(fits) and "sessions" not in told(fits + 1)


class Failing:
    """A database whose connections take so many notices, then break; it counts the tries."""

    def __init__(self, takes: int) -> None:
        self.takes, self.tries = takes, 0
        self.told: list[dict[str, Any]] = []
        self.tried = threading.Condition()

    @contextmanager
    def alone(self, autocommit: bool = False) -> Iterator[Any]:
        """Itself, as the connection."""
        assert autocommit
        yield self

    def anchor_number(self) -> int:
        """Always at the same server."""
        return 1

    def execute(self, _text: str, values: tuple[str, list[str]]) -> None:
        """A notice."""
        with self.tried:
            self.tries += 1
            self.tried.notify_all()
            if self.takes <= 0:
                raise psycopg.OperationalError("the connection is lost")
            self.told += map(json.loads, values[1])
            self.tried.notify_all()


def test_what_could_not_be_told_is_told_when_the_database_is_back() -> None:
    shared = Failing(takes=0)
    between = BetweenProcesses(shared, None)  # type: ignore[arg-type]
    with between._changed:
        between._letter("willow").position = 3
    sending = threading.Thread(target=between._send)
    sending.start()
    with shared.tried:
        assert shared.tried.wait_for(lambda: shared.tries, PATIENCE_S)
        shared.takes = 9
        assert shared.tried.wait_for(lambda: shared.told, PATIENCE_S)
    between.stop()
    sending.join(PATIENCE_S)
    assert [one["position"] for one in shared.told] == [3] and not sending.is_alive()


def test_a_letter_that_is_put_back_gives_way_to_what_was_said_since() -> None:
    before = Letter(3, {"a": Session(MONDAY, {"bar": 1}), "b": Session(MONDAY, {"bar": 1})}, [("a", {"bar": 1}, MONDAY)])
    both = before.followed_by(Letter(2, {"a": Session(MONDAY, {"bar": 2})}, [("b", {"bar": 1}, MONDAY)]))
    assert both.position == 3 and [both.sessions[name].wants["bar"] for name in ("a", "b")] == [2, 1]
    assert [device for device, _, _ in both.returned] == ["a", "b"] and before.followed_by(None) is before
    assert Letter().followed_by(Letter()).position is None


def test_who_ends_while_the_database_is_away_tries_it_once() -> None:
    shared = Failing(takes=0)
    between = BetweenProcesses(shared, None)  # type: ignore[arg-type]
    with between._changed:
        between._letter("willow").position = 3
    between._ending.set()
    between._send()
    assert shared.tries == 1


def test_no_worker_begins_at_a_port_where_somebody_listens() -> None:
    taken = socket.create_server(("127.0.0.1", 0), reuse_port=True)
    with closing(taken), pytest.raises(PortTaken):
        ports_from(taken.getsockname()[1], 2)
    assert len(set(ports_from(0, 3))) == 3


def test_what_is_told_again_and_again_is_passed_on_now_and_then(two: Two, monkeypatch: pytest.MonkeyPatch) -> None:
    one, _ = two.houses
    told: list[str] = []
    monkeypatch.setattr(two.between[0], "_letter", lambda name: told.append(name) or Letter())
    for second in range(100):
        one.sessions.hear("device", {"bar": 1}, {}, MONDAY + timedelta(seconds=second))
    assert len(told) == 4
    one.sessions.hear("device", {"bar": 2}, {}, MONDAY + timedelta(seconds=100))
    assert len(told) == 5


def test_a_house_that_is_frozen_is_closed_to_all_processes_at_once(two: Two) -> None:
    changed = threading.Event()
    read = two.many[1].read_register
    two.many[1].read_register = lambda: (read(), changed.set())  # type: ignore[method-assign,assignment,func-returns-value]
    two.many[0].register.set_state("willow", FROZEN)
    assert changed.wait(PATIENCE_S)
    with pytest.raises(HouseFrozen):
        two.many[1].take("willow")


def test_news_that_came_while_a_process_could_not_hear_are_caught_up(two: Two, address: str) -> None:
    one, other = two.houses
    other_shared: SharedDatabase = two.many[1].shared
    rang = threading.Event()
    two.between[0].stop()  # tells nothing any more, as one that was killed between a commit and its notice
    one.write("buy", [movement("bar", 1)])
    stop = other.news.listen(lambda: rang.set() if other.news.position == one.position() else None)
    other_shared.rows("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE query LIKE 'LISTEN%%' AND pid <> pg_backend_pid()")
    assert rang.wait(PATIENCE_S)
    stop()


def test_many_processes_keep_one_writer_a_house(two: Two) -> None:
    """Positions are given one after the other, whichever process a write comes to."""
    wrong: list[Exception] = []

    def write(house: House, who: int) -> None:
        try:
            for turn in range(25):
                house.write("set_house", [{"table": "setting", "id": "note", "value": f"{who} {turn}"}])
        except Exception as trouble:
            wrong.append(trouble)

    threads = [threading.Thread(target=write, args=(house, who)) for who, house in enumerate(two.houses * 2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(PATIENCE_S)
    assert wrong == [] and two.houses[0].position() == 3 + 100 and two.houses[1].check() == []




class Ended:
    """A worker that is gone as soon as it begins; it was ready before, or not."""

    begun: ClassVar[list[tuple[int, float]]] = []
    was_ready = False

    def __init__(self, _command: Any, port: int) -> None:
        self.port, self.ready = port, threading.Event()
        if self.was_ready:
            self.ready.set()
        self.begun.append((port, time.monotonic()))

    def has_ended(self) -> bool:
        """It has."""
        return True

    def tell_to_stop(self) -> None:
        """Nobody is there."""

    def end(self, _wait_s: float) -> None:
        """It has."""


@pytest.mark.parametrize(("was_ready", "rests_s"), [(False, [0.02, 0.04, 0.08, 0.1, 0.1]), (True, [0.02, 0.02, 0.02, 0.02, 0.02])])
def test_a_worker_that_cannot_begin_is_started_again_after_ever_longer_rests_and_keeps_nobody_waiting(
    was_ready: bool, rests_s: list[float], monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """As the log tells it, and no sooner."""
    monkeypatch.setattr(several_workers, "Child", Ended)
    monkeypatch.setattr(several_workers, "LOOK_S", 0.001)
    monkeypatch.setattr(several_workers, "REST_S_MOST", 0.1)
    monkeypatch.setattr(Ended, "begun", [])
    monkeypatch.setattr(Ended, "was_ready", was_ready)
    workers = several_workers.Workers([], [1, 2], rest_s=0.02)
    running = threading.Thread(target=workers.run)
    running.start()
    until(lambda: len(Ended.begun) >= 2 * (1 + len(rests_s)), "they are started again")
    workers.stop()
    running.join(PATIENCE_S)
    for port in (1, 2):
        at_s = [moment for which, moment in Ended.begun if which == port]
        assert len(at_s) >= len(rests_s), "one waited for the other"
        assert all(later - before >= rest for before, later, rest in zip(at_s, at_s[1:], rests_s, strict=False))
        told = [one.args[1] for one in caplog.records if isinstance(one.args, tuple) and one.args[0] == port]
        assert told[: len(rests_s)] == rests_s


class Renewed(Ended):
    """One that is there until it is told to stop; the first of a port ended by itself."""

    all: ClassVar[list[Renewed]] = []

    def __init__(self, command: Any, port: int, beside: bool = False) -> None:
        super().__init__(command, port)
        self.ready.set()
        self.gone = not self.all
        self.all.append(self)

    def has_ended(self) -> bool:
        """Whether it is gone."""
        return self.gone


def test_one_that_was_replaced_while_it_rested_is_told_of_when_its_heir_ends(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """The heir's rest is its own."""
    monkeypatch.setattr(several_workers, "Child", Renewed)
    monkeypatch.setattr(several_workers, "LOOK_S", 0.001)
    monkeypatch.setattr(Renewed, "all", [])
    monkeypatch.setattr(Renewed, "begun", [])
    workers = several_workers.Workers([], [1], rest_s=PATIENCE_S)
    running = threading.Thread(target=workers.run)
    running.start()
    until(lambda: len(caplog.records) == 1, "the first is said to have ended")
    workers.renew()
    until(lambda: len(Renewed.all) == 2, "it is replaced")
    Renewed.all[1].gone = True
    until(lambda: len(caplog.records) == 2, "the second is said to have ended")
    workers.stop()
    running.join(PATIENCE_S)
