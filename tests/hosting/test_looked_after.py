"""The one that looks after several workers, by itself: whom it starts, replaces, waits for and stops, and what it says of that."""

from __future__ import annotations

import json
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.app import several_workers
from honeyhold.app.listeners import HERE, PortTaken
from honeyhold.app.several_workers import FAREWELL_S, LOOK_S, READY_S, REST_S, REST_S_MOST, Child, Workers, ports_from
from hosting.processes import PATIENCE_S, until

Act = tuple[Any, ...]


class Ready:
    """Whether a worker has spoken; how often and how long it was waited for."""

    def __init__(self, clock: Clock, after: int | None) -> None:
        """`after`: it speaks while it is waited for, the so manieth time; None: never."""
        self.waited_s: list[float] = []
        self._clock, self._after = clock, after

    def is_set(self) -> bool:
        """It has spoken."""
        return self._after is not None and len(self.waited_s) >= self._after

    def wait(self, seconds: float) -> bool:
        """The time goes on."""
        self.waited_s.append(seconds)
        self._clock.now_s += seconds
        return self.is_set()


class Clock:
    """The time as a test lets it go on."""

    now_s = 1000.0

    def monotonic(self) -> float:
        """Now."""
        return self.now_s


class Played:
    """A worker without a process: what is done with it is noted."""

    def __init__(self, acts: list[Act], clock: Clock, number: int, port: int, beside: bool, after: int | None, ended: bool) -> None:
        self.port, self.number, self.beside, self.ended = port, number, beside, ended
        self.ready = Ready(clock, after)
        self._acts = acts

    def has_ended(self) -> bool:
        """As the test has it."""
        return self.ended

    def tell_to_stop(self) -> None:
        """Noted."""
        self._acts.append(("told to stop", self.number))

    def end(self, wait_s: float) -> None:
        """Noted."""
        self._acts.append(("waited for", self.number, wait_s))


class Stage:
    """Workers that are played, numbered as they begin: from 0, those at the ports first."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.acts: list[Act] = []
        self.clock = Clock()
        self.all: list[Played] = []
        self.next_ready_after: int | None = 0
        self.next_ended = False
        monkeypatch.setattr(several_workers, "Child", self._begin)
        monkeypatch.setattr(several_workers, "time", self.clock)

    def _begin(self, command: list[str], port: int, beside: bool = False) -> Played:
        assert command == ["honey"]
        made = Played(self.acts, self.clock, len(self.all), port, beside, self.next_ready_after, self.next_ended)
        self.all.append(made)
        return made


@pytest.fixture
def stage(monkeypatch: pytest.MonkeyPatch) -> Stage:
    return Stage(monkeypatch)


def at_ports(workers: Workers) -> list[int]:
    """Which are looked after, by their numbers."""
    return [child.number for child in workers._children]  # type: ignore[attr-defined]


def test_each_is_replaced_once_its_heir_has_spoken_one_after_the_other(stage: Stage, caplog: pytest.LogCaptureFixture) -> None:
    workers = Workers(["honey"], [1, 2])
    stage.next_ready_after = 3
    workers._renew()
    assert at_ports(workers) == [2, 3] and [(one.port, one.beside) for one in stage.all] == [(1, False), (2, False), (1, True), (2, True)]
    assert stage.acts == [("told to stop", 0), ("waited for", 0, FAREWELL_S), ("told to stop", 1), ("waited for", 1, FAREWELL_S)]
    assert [one.ready.waited_s for one in stage.all[2:]] == [[LOOK_S] * 3] * 2 and caplog.records == []


@pytest.mark.parametrize("why", ["it ended", "it says nothing", "all are to stop"])
def test_one_that_does_not_start_is_told_to_stop_and_the_old_ones_go_on(
    stage: Stage, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture, why: str
) -> None:
    """A newer version that cannot begin closes no door."""
    monkeypatch.setattr(several_workers, "LOOK_S", 0.5)
    workers = Workers(["honey"], [1, 2])
    stage.next_ready_after, stage.next_ended = None, why == "it ended"
    if why == "all are to stop":
        workers.stop()
    workers._renew()
    assert at_ports(workers) == [0, 1] and len(stage.all) == 3
    assert stage.acts == [("told to stop", 2), ("waited for", 2, FAREWELL_S)]
    assert [one.getMessage() for one in caplog.records] == ["A new worker at port 1 did not start; the old ones go on."]
    assert sum(stage.all[2].ready.waited_s) == (READY_S if why == "it says nothing" else 0.5)


def test_one_that_speaks_and_ends_while_it_is_waited_for_has_started(stage: Stage) -> None:
    """It is started again then as any other: what it took the place of was told to stop."""
    workers = Workers(["honey"], [1])
    stage.next_ready_after, stage.next_ended = 1, True
    workers._renew()
    assert at_ports(workers) == [1]


@pytest.mark.parametrize(
    ("spoke", "rests_s"), [(True, [REST_S] * 7), (False, [1.0, 2.0, 4.0, 8.0, 16.0, REST_S_MOST, REST_S_MOST])], ids=["ready", "not ready"]
)
def test_one_that_ended_rests_to_the_very_moment(stage: Stage, caplog: pytest.LogCaptureFixture, spoke: bool, rests_s: list[float]) -> None:
    """Said once each time, and what is left of it is taken away."""
    workers = Workers(["honey"], [7])
    for turn, rest_s in enumerate(rests_s):
        child = workers._children[0]
        child.ready = Ready(stage.clock, 0 if spoke else None)  # type: ignore[assignment]
        assert not workers._has_rested(child)
        stage.clock.now_s += rest_s / 2
        assert not workers._has_rested(child)
        stage.clock.now_s += rest_s / 2
        assert workers._has_rested(child)
        told = [one.getMessage() for one in caplog.records]
        assert len(told) == turn + 1
        assert told[-1] == f"The worker at port 7 ended by itself; it is started again in {rest_s:g} s."
        assert stage.acts == [("waited for", 0, 0)] * (turn + 1)


def test_the_rest_of_one_that_was_replaced_is_not_its_heirs(stage: Stage, caplog: pytest.LogCaptureFixture) -> None:
    workers = Workers(["honey"], [7])
    assert not workers._has_rested(workers._children[0])
    stage.clock.now_s += REST_S / 2
    workers._renew()
    stage.clock.now_s += REST_S / 2
    assert at_ports(workers) == [1] and not workers._has_rested(workers._children[0]) and len(caplog.records) == 2


class Stopping:
    """What a keeper's signal sets: so many looks, then all are to stop."""

    def __init__(self, looks: int, at_look: Callable[[int], None] = lambda _: None) -> None:
        self.waited_s: list[float] = []
        self._looks, self._at_look = looks, at_look
        self._is_set = False

    def wait(self, seconds: float) -> bool:
        """The next look."""
        self.waited_s.append(seconds)
        self._at_look(len(self.waited_s))
        return self._is_set or len(self.waited_s) > self._looks

    def set(self) -> None:
        """From now on."""
        self._is_set = True

    def is_set(self) -> bool:
        """Whether all are to stop."""
        return self._is_set


def test_at_the_end_all_are_told_before_any_is_waited_for(stage: Stage) -> None:
    workers = Workers(["honey"], [1, 2])
    workers._stopping = Stopping(looks=2)  # type: ignore[assignment]
    workers.run()
    assert stage.acts == [("told to stop", 0), ("told to stop", 1), ("waited for", 0, FAREWELL_S), ("waited for", 1, FAREWELL_S)]
    assert workers._stopping.waited_s == [LOOK_S] * 3  # type: ignore[attr-defined]


def test_one_that_ended_is_started_again_at_its_place_and_another_is_let_be(stage: Stage) -> None:
    workers = Workers(["honey"], [1, 2], rest_s=0)
    workers._stopping = Stopping(looks=3)  # type: ignore[assignment]
    stage.all[1].ended = True
    workers.run()
    assert at_ports(workers) == [0, 2] and (stage.all[2].port, stage.all[2].beside) == (2, False)


def test_none_is_started_again_once_all_are_to_stop(stage: Stage) -> None:
    """A signal may come in the midst of a look."""
    workers = Workers(["honey"], [1], rest_s=0)
    workers._stopping = Stopping(looks=5)  # type: ignore[assignment]
    stage.all[0].has_ended = lambda: workers.stop() is None  # type: ignore[method-assign]
    workers.run()
    assert len(stage.all) == 1


def test_they_are_replaced_once_for_each_time_that_it_is_asked(stage: Stage) -> None:
    workers = Workers(["honey"], [1])

    def at_look(number: int) -> None:
        if number in (2, 4):
            workers.renew()

    workers._stopping = Stopping(looks=6, at_look=at_look)  # type: ignore[assignment]
    workers.run()
    assert at_ports(workers) == [2] and [one.beside for one in stage.all] == [False, True, True]


@pytest.mark.parametrize(("number", "does"), [(signal.SIGINT, "stop"), (signal.SIGTERM, "stop"), (signal.SIGHUP, "renew")])
def test_the_keepers_signals_stop_or_replace_them(monkeypatch: pytest.MonkeyPatch, number: signal.Signals, does: str) -> None:
    heard: dict[int, Callable[[int, None], None]] = {}
    done: list[Act] = []

    def made(command: list[str], ports: list[int]) -> Any:
        done.append((command, ports))
        return SimpleNamespace(
            stop=lambda: done.append(("stop",)), renew=lambda: done.append(("renew",)), run=lambda: heard[number](number, None)
        )

    monkeypatch.setattr(several_workers, "Workers", made)
    monkeypatch.setattr(several_workers.signal, "signal", heard.__setitem__)
    several_workers.run(["host", "--log", "json"], [3, 4])
    assert done == [([sys.executable, "-m", "honeyhold.app.command_line", "host", "--log", "json"], [3, 4]), (does,)]


@pytest.mark.parametrize(("first", "workers", "asked"), [(8490, 3, [8490, 8491, 8492]), (0, 2, [0, 0]), (5, 1, [5])])
def test_ports_are_looked_for_from_the_first_on_and_held_until_all_are_found(
    monkeypatch: pytest.MonkeyPatch, first: int, workers: int, asked: list[int]
) -> None:
    """Else the same one could be found twice."""
    tried: list[tuple[str, int]] = []
    held: list[int] = []

    @contextmanager
    def taken(address: tuple[str, int]) -> Iterator[Any]:
        tried.append(address)
        port = address[1] or 50_000 + len(held)
        assert port not in held
        held.append(port)
        yield SimpleNamespace(getsockname=lambda: (HERE, port))
        assert len(tried) == workers

    monkeypatch.setattr(several_workers.socket, "create_server", taken)
    assert ports_from(first, workers) == held and tried == [(HERE, port) for port in asked]


def test_which_port_is_taken_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def taken(address: tuple[str, int]) -> Any:
        if address[1] == 8491:
            raise OSError(98, "Address already in use")
        return nullcontext(SimpleNamespace(getsockname=lambda: address))

    monkeypatch.setattr(several_workers.socket, "create_server", taken)
    with pytest.raises(PortTaken, match="cannot listen at port 8491.*already in use") as trouble:
        ports_from(8490, 3)
    assert trouble.value.port == 8491


ECHO = "import sys, json; print(json.dumps(sys.argv[1:]), flush=True); print('more'); sys.stdin.read()"
DEAF = "import signal, time; signal.signal(signal.SIGTERM, signal.SIG_IGN); print('deaf', flush=True); time.sleep(600)"


@pytest.mark.parametrize(("beside", "more"), [(False, []), (True, ["--beside"])])
def test_a_worker_is_told_its_port_is_passed_on_and_ends_with_its_input(
    capsys: pytest.CaptureFixture[str], beside: bool, more: list[str]
) -> None:
    said = ""

    def heard(lines: int) -> bool:
        nonlocal said
        said += capsys.readouterr().out
        return said.count("\n") >= lines

    child = Child([sys.executable, "-c", ECHO, "a b"], 7, beside)
    try:
        assert child.port == 7 and child.ready.wait(PATIENCE_S) and not child.has_ended()
        child._process.stdin.close()  # type: ignore[union-attr]
        until(child.has_ended, "it ends with its input")
        child.end(PATIENCE_S)
        until(lambda: heard(2), "all that it said is passed on")
        first, second = said.splitlines()
        assert json.loads(first) == ["a b", "--port", "7", "--ends-with-input", *more] and second == "more"
    finally:
        child._process.kill()
        child.end(PATIENCE_S)


def test_a_worker_that_is_told_to_stop_ends_and_nothing_of_it_stays_open() -> None:
    child = Child([sys.executable, "-c", ECHO], 7)
    try:
        assert child.ready.wait(PATIENCE_S)
        child.tell_to_stop()
        child.end(PATIENCE_S)
        assert child._process.returncode == -signal.SIGTERM and child._process.stdin is not None and child._process.stdin.closed
    finally:
        child._process.kill()


def test_a_worker_that_does_not_stop_is_ended() -> None:
    child = Child([sys.executable, "-c", DEAF], 7)
    try:
        assert child.ready.wait(PATIENCE_S)
        child.tell_to_stop()
        ending = threading.Thread(target=child.end, args=(0.05,))
        ending.start()
        ending.join(PATIENCE_S)
        assert not ending.is_alive() and child._process.returncode == -signal.SIGKILL
    finally:
        child._process.kill()
        child._process.wait()
