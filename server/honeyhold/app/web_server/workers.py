"""A few threads that do what may wait: the application itself. They end with the process, whatever they are at."""

from __future__ import annotations

import asyncio
import queue
import threading
from collections.abc import Callable
from contextlib import suppress
from typing import Any, TypeVar

Done = TypeVar("Done")


class Workers:
    """Daemon threads, because a process that is told to stop must not wait for a paper that is being set."""

    def __init__(self, threads: int) -> None:
        self._waiting: queue.SimpleQueue[Callable[[], None] | None] = queue.SimpleQueue()
        self._threads = [threading.Thread(target=self._work, name=f"answers {number}", daemon=True) for number in range(threads)]
        for thread in self._threads:
            thread.start()

    async def run(self, work: Callable[[], Done]) -> Done:
        """The result of `work`, done in one of the threads; raises what it raises."""
        loop = asyncio.get_running_loop()
        future: asyncio.Future[Done] = loop.create_future()

        def carry_out() -> None:
            try:
                done = work()
            except BaseException as trouble:
                _tell(loop, future, future.set_exception, trouble)
            else:
                _tell(loop, future, future.set_result, done)

        self._waiting.put(carry_out)
        return await future

    def stop(self) -> None:
        """Lets each thread end after what it is at; waits for none."""
        for _ in self._threads:
            self._waiting.put(None)

    def _work(self) -> None:
        while (one := self._waiting.get()) is not None:
            one()


def _tell(loop: asyncio.AbstractEventLoop, future: asyncio.Future[Any], say: Callable[[Any], None], what: Any) -> None:
    """Into the loop's own thread; a loop that has ended wants to hear nothing."""
    with suppress(RuntimeError):
        loop.call_soon_threadsafe(lambda: None if future.done() else say(what))
