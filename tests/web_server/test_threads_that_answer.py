"""The threads that do what may wait: what comes of it is told, and also what does not."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Iterator

import pytest

from honeyhold.app.web_server import Limits, Server
from honeyhold.app.web_server.workers import Workers
from web_server.serving import LAST_HELLO, PATIENCE_S, Application, line_to, one_answer, running


@pytest.fixture
def workers() -> Iterator[Workers]:
    made = Workers(2)
    yield made
    made.stop()


class Broken(BaseException):
    """No common trouble."""


def _raises(trouble: BaseException) -> Callable[[], None]:
    def work() -> None:
        raise trouble

    return work


@pytest.mark.parametrize("trouble", [ValueError("no such thing"), OSError(28, "No space left on device"), Broken("anything")])
def test_who_waits_is_told_what_went_wrong_and_the_thread_goes_on(workers: Workers, trouble: BaseException) -> None:
    async def ask() -> list[int]:
        for _ in range(3):
            with pytest.raises(type(trouble)) as told:
                await asyncio.wait_for(workers.run(_raises(trouble)), PATIENCE_S)
            assert told.value is trouble
        return [await asyncio.wait_for(workers.run(lambda number=number: number), PATIENCE_S) for number in range(3)]  # type: ignore[misc]

    assert asyncio.run(ask()) == [0, 1, 2]


def test_nobody_waits_for_work_that_another_thread_does(workers: Workers) -> None:
    held, reached = threading.Event(), threading.Event()

    def hold() -> str:
        reached.set()
        assert held.wait(PATIENCE_S)
        return "held"

    async def ask() -> tuple[str, str]:
        first = asyncio.create_task(workers.run(hold))
        assert await workers.run(lambda: reached.wait(PATIENCE_S))
        quick = await asyncio.wait_for(workers.run(lambda: "quick"), PATIENCE_S)
        held.set()
        return await asyncio.wait_for(first, PATIENCE_S), quick

    assert asyncio.run(ask()) == ("held", "quick")


@pytest.mark.parametrize("fails", [False, True])
def test_work_that_nobody_waits_for_any_more_is_told_to_nobody(workers: Workers, fails: bool) -> None:
    """Neither the loop nor the thread stumbles over it."""
    held, said = threading.Event(), []

    def hold() -> None:
        assert held.wait(PATIENCE_S)
        if fails:
            raise ValueError("too late")

    async def ask() -> str:
        asyncio.get_running_loop().set_exception_handler(lambda _loop, told: said.append(told))
        first = asyncio.create_task(workers.run(hold))
        await asyncio.sleep(0)
        first.cancel()
        with pytest.raises(asyncio.CancelledError):
            await first
        held.set()
        return [await asyncio.wait_for(workers.run(lambda: "next"), PATIENCE_S) for _ in range(3)][-1]

    assert asyncio.run(ask()) == "next" and said == []


def test_work_that_outlives_its_loop_leaves_the_thread_whole(workers: Workers) -> None:
    held = threading.Event()

    async def leave() -> None:
        asyncio.create_task(workers.run(lambda: held.wait(PATIENCE_S)))  # noqa: RUF006 - nobody waits for it
        await asyncio.sleep(0)

    async def ask() -> set[str]:
        barrier = threading.Barrier(2)

        def meet() -> str:
            barrier.wait(PATIENCE_S)
            return threading.current_thread().name

        return set(await asyncio.wait_for(asyncio.gather(workers.run(meet), workers.run(meet)), PATIENCE_S))

    asyncio.run(leave())
    held.set()
    assert asyncio.run(ask()) == {"answers 0", "answers 1"}


def test_they_end_after_what_they_are_at_and_keep_no_process_from_ending() -> None:
    workers = Workers(3)
    assert len(workers._threads) == 3 and all(one.daemon and one.is_alive() for one in workers._threads)
    workers.stop()
    for one in workers._threads:
        one.join(PATIENCE_S)
        assert not one.is_alive()


@pytest.mark.parametrize("has_served", [True, False])
def test_no_thread_and_no_door_is_left_of_a_server_that_stopped(has_served: bool) -> None:
    server = Server(Limits(threads=2))
    door = server.open(("127.0.0.1", 0), Application())
    if has_served:
        with running(server), line_to(door.port) as line:
            line.sendall(LAST_HELLO)
            assert one_answer(line)[0] == 200
    else:
        server.stop()
    for one in server.workers._threads:
        one.join(PATIENCE_S)
        assert not one.is_alive()
    assert door.listening.fileno() == -1
