"""No request may keep the main computer busy for long, and no crowd of them: goals by hand, then every door that works anything out.

Method: works that never end or stand still on purpose, in threads; then requests that ask for as much as the contract lets them, from
a helper's device.
"""

from __future__ import annotations

import gc
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from api.conftest import bearing
from begun import ended
from honeyhold import kernel
from honeyhold.api import effort
from honeyhold.api.effort import INSIDE_MOST, Busy, Effort, EffortLimitReached, Part

Json = dict[str, Any]
LONG_S = 60.0
"""A bound for what has gone wrong; what is right comes long before."""


@pytest.fixture(autouse=True)
def _nobody_listens_as_memory_is_tidied() -> Iterator[None]:
    """A library of other tests does, in Python: a stop that is raised just there is passed over with a warning, and comes once more."""
    listening = gc.callbacks[:]
    gc.callbacks.clear()
    yield
    gc.callbacks[:] = listening


def forever() -> None:
    """A work without an end, which keeps every error it may."""
    while True:
        try:
            for number in range(1000):
                _ = number * number
        except Exception:  # noqa: BLE001, S112 - what a careless work might do
            continue


def test_a_work_without_end_is_stopped_and_the_thread_goes_on() -> None:
    places = Effort(most_s=0.2)
    with pytest.raises(EffortLimitReached) as caught:
        places.spend(forever)
    assert caught.value.remedy and caught.value.status == 503
    assert sum(range(100_000)) == 4_999_950_000  # nothing strikes what the thread does next
    assert places.spend(lambda: 7) == 7


def test_a_stop_that_was_lost_comes_once_more() -> None:
    """As Python itself loses one that is raised while it tidies up its memory."""
    lost: list[BaseException] = []

    def loses_the_first() -> None:
        while True:
            try:
                forever()
            except BaseException as stop:
                if lost:
                    raise
                lost.append(stop)

    with pytest.raises(EffortLimitReached):
        Effort(most_s=0.2).spend(loses_the_first)
    assert len(lost) == 1


@pytest.mark.skipif(not hasattr(time, "pthread_getcpuclockid"), reason="what another thread spends is read by a clock of its own")
def test_whoever_watches_spends_next_to_nothing() -> None:
    """However long a work stands still."""
    places = Effort()

    def spent_s() -> float:
        watcher = places._watcher
        assert watcher is not None and watcher.ident is not None
        return time.clock_gettime(time.pthread_getcpuclockid(watcher.ident))

    def stands_still() -> float:
        before = spent_s()
        time.sleep(0.5)
        return spent_s() - before

    assert places.spend(stands_still) < 0.05


def _stopped_while_somebody_looks_on() -> None:
    sys.settrace(lambda *_: None)
    with pytest.raises(EffortLimitReached):
        Effort(most_s=0.05).spend(forever)
    assert sum(map(abs, range(1000))) == 499_500


def test_after_a_stop_python_goes_on_where_a_debugger_looks_on() -> None:
    """In a process of its own: it stood still without an end, as Python was told that something is to be raised and nothing was."""
    assert ended(_stopped_while_somebody_looks_on) == 0


def test_where_no_clock_tells_of_a_thread_a_work_is_stopped_by_the_time_it_takes(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on some systems."""
    monkeypatch.delattr(time, "pthread_getcpuclockid", raising=False)
    places = Effort(most_s=0.2)
    with pytest.raises(EffortLimitReached):
        places.spend(forever)
    assert places.spend(lambda: 7) == 7


def test_of_many_houses_one_works_one_waits_and_a_third_work_is_turned_away_at_once() -> None:
    """A work that waits keeps a thread of the server asleep: no house has more than two so, and all together no more than eight."""
    places, all_inside, gate = Effort(places=1, wait_s=LONG_S), threading.Semaphore(INSIDE_MOST), threading.Event()
    houses = [Part(places, all_inside=all_inside) for _ in range(INSIDE_MOST)]
    with ThreadPoolExecutor(INSIDE_MOST) as pool:
        under_way = [pool.submit(house.spend, lambda: gate.wait(LONG_S)) for house in houses[: INSIDE_MOST // 2] for _ in range(2)]
        try:
            while all_inside._value:  # a state of other threads, which nobody tells
                time.sleep(0.001)
            for house in (houses[0], houses[-1]):  # one that has two already, and one that comes when all is full
                with pytest.raises(Busy) as caught:
                    house.spend(lambda: None)
                assert caught.value.wait_s >= 1
        finally:
            gate.set()
        assert all(one.result(LONG_S) for one in under_way)
    assert houses[0].spend(lambda: 7) == 7 and all_inside._value == INSIDE_MOST


def test_a_houses_third_work_is_turned_away_while_there_is_room_for_others() -> None:
    """At once: whoever had to wait would wait here for a minute."""
    house, gate = Part(Effort(places=1, wait_s=LONG_S)), threading.Event()
    with ThreadPoolExecutor(3) as pool:
        under_way = [pool.submit(house.spend, lambda: gate.wait(LONG_S)) for _ in range(2)]
        try:
            while house._inside._value:  # a state of other threads, which nobody tells
                time.sleep(0.001)
            with pytest.raises(Busy):
                pool.submit(house.spend, lambda: None).result(LONG_S / 2)
        finally:
            gate.set()
        assert all(one.result(LONG_S) for one in under_way)


def test_a_work_that_ends_as_it_is_stopped_leaves_nothing_behind() -> None:
    """The watcher's exception and the work's own end, as close as they come: either the answer or the refusal, and then quiet."""
    places = Effort(most_s=0.02)

    def about(spent_s: float) -> Callable[[], str]:
        def work() -> str:
            end = time.thread_time() + spent_s
            while time.thread_time() < end:
                pass
            return "done"

        return work

    outcomes = set()
    for step in range(40):
        try:
            outcomes.add(places.spend(about(0.01 + step * 0.003)))
        except EffortLimitReached:
            outcomes.add("stopped")
        sum(range(2000))
    assert outcomes == {"done", "stopped"}


def test_more_than_there_are_places_for_wait_and_then_are_told_to_come_again() -> None:
    places, gate, begun = Effort(places=2, wait_s=0.3), threading.Event(), threading.Semaphore(0)

    def hold() -> bool:
        begun.release()
        return gate.wait()

    with ThreadPoolExecutor(3) as threads:
        held = [threads.submit(places.spend, hold) for _ in range(2)]
        assert all(begun.acquire(timeout=LONG_S) for _ in held)  # who was asked first need not come first to a place
        asked_at = time.monotonic()
        with pytest.raises(Busy) as caught:
            threads.submit(places.spend, lambda: 1).result()
        assert time.monotonic() - asked_at >= 0.3 and caught.value.remedy  # a busy machine may only make it later
        places.wait_s = LONG_S  # nothing more is measured
        waits = threads.submit(places.spend, lambda: "in time")
        gate.set()
        assert waits.result() == "in time" and all(one.result() for one in held)


def test_the_doors_answer_503_with_a_remedy(app: Flask, client: FlaskClient, helper: Json) -> None:
    app.extensions[effort.EXTENSION] = Effort(places=1, wait_s=0.05)
    gate, begun = threading.Event(), threading.Event()

    def hold() -> None:
        begun.set()
        gate.wait()

    with ThreadPoolExecutor(1) as threads:
        held = threads.submit(app.extensions[effort.EXTENSION].spend, hold)
        begun.wait()
        answer = client.post("/api/work/heat.limits", json={}, headers=bearing(helper))
        gate.set()
        held.result()
    told = answer.get_json()
    assert answer.status_code == 503 and told["type"] == "urn:honeyhold:busy" and told["remedy"] and "Retry-After" in answer.headers
    assert client.post("/api/work/heat.limits", json={}, headers=bearing(helper)).status_code == 200


def test_what_a_door_stops_is_told(app: Flask, client: FlaskClient, helper: Json, monkeypatch: pytest.MonkeyPatch) -> None:
    app.extensions[effort.EXTENSION] = Effort(most_s=0.2)
    monkeypatch.setattr(kernel.Work, "call", lambda self, request: forever())
    answer = client.post("/api/work/heat.limits", json={}, headers=bearing(helper))
    assert (answer.status_code, answer.get_json()["type"]) == (503, "urn:honeyhold:too-much-work")


CUBES = [{"id": "cube", "count": 2000, "size_mm": [20, 20, 20], "mass_g": 5}]
MANY = [
    {"id": f"p{n}", "count": 1, "size_mm": [20 + n * 7 % 90, 20 + n * 31 % 100, 20 + n * 53 % 80], "mass_g": 50, "gap_mm": n % 3 * 3}
    for n in range(24)
]
CARTONS = [
    {"id": f"c{n}", "inner_mm": [150 + n * 37 % 350, 150 + n * 91 % 350, 150 + n * 53 % 350], "cost_cents": 20 + n * 17 % 280}
    for n in range(300)
]
AS_MUCH_AS_MAY_BE_ASKED: dict[str, tuple[str, Json]] = {
    "a plan for twenty seconds": ("packing.plan", {"pieces": MANY, "cartons": CARTONS, "seconds": 20}),
    "a plan for thirty years": ("packing.plan", {"pieces": MANY, "cartons": CARTONS, "seconds": 10**9}),
    "a plan in three hundred cartons": ("packing.plan", {"pieces": MANY, "cartons": CARTONS}),
    "a plan of two thousand": ("packing.plan", {"pieces": CUBES, "cartons": CARTONS, "seconds": 10**9}),
    "a thousand weighings": ("packing.learn_mass", {"mass_g": 30, "mass_sd_g": 1, "weight": 8,
        "weighings": [{"count": 10, "net_g": 290 + n % 20, "division_g": 1} for n in range(1000)]}),
    "years of great sales": ("stock.melt_by", {"good": {"name": "bar", "plural": "bars"}, "today": "2026-07-20", "free_units": 10_000,
        "counting_since": "2024-07-20", "cover_days": 60,
        "sales": [{"on": f"2025-{1 + n % 12:02d}-{1 + n % 28:02d}", "units": 1 + n * 37 % 400} for n in range(20_000)]}),
}  # fmt: skip


@pytest.mark.parametrize("asked", AS_MUCH_AS_MAY_BE_ASKED.values(), ids=AS_MUCH_AS_MAY_BE_ASKED)
def test_whoever_asks_for_most_is_answered_or_refused_within_seconds(
    app: Flask, client: FlaskClient, helper: Json, asked: tuple[str, Json]
) -> None:
    """With a sixth of the usual limit, so that it takes a sixth of the time; the limit holds wherever it is drawn."""
    app.extensions[effort.EXTENSION] = Effort(most_s=effort.CPU_S_MAX / 6)
    begun = time.thread_time()
    answer = client.post(f"/api/work/{asked[0]}", json=asked[1], headers=bearing(helper))
    assert time.thread_time() - begun < effort.CPU_S_MAX / 6 + 1.5
    assert answer.status_code == 200 or answer.get_json()["remedy"], answer.get_json()
