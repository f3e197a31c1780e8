"""How much of this computer a request may take: a few works at a time, the others wait shortly, and none goes on for long.

The pure work bounds itself by what it is asked, the same on every device; this is the house's own belt. Work is stopped by an exception
raised in its thread, which Python offers for just that: pure work holds no lock and no file, so it may be left at any line.
"""

from __future__ import annotations

import ctypes
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TypeVar

from honeyhold.api.access import of_the_house
from honeyhold.errors import HoneyholdError

EXTENSION = "work-effort"
PLACES = 2
"""Works at a time: they share one interpreter, and whoever takes an order must get through between them."""
WAIT_S = 4.0
"""How long a request waits for a place; the screens ask for eight seconds at most."""
CPU_S_MAX = 6.0
"""Twice what the most thorough plan takes on a slow machine."""
LOOK_EVERY_S = 0.05
ONCE_MORE_S = 0.25
"""A stop can be lost: Python passes over what is raised while it tidies up its memory. Who still works after so much more of the
processor is stopped once more; to leave a work takes thousandths of that, so nobody is struck on the way out."""
INSIDE_MOST = 8
"""Works of all houses of a server that are done or wait: half of its threads, so the others answer everything else."""
AGAIN_S = 2.0
"""When a work that was turned away at once may be asked for again."""

Answer = TypeVar("Answer")


class Busy(HoneyholdError, RuntimeError):
    """So much is being worked out here that this request found no place in time."""

    code = "busy"
    status = 503

    def __init__(self, wait_s: float) -> None:
        super().__init__("The main computer is working out other things just now.", "Try again in a few seconds.")
        self.wait_s = round(wait_s)


class EffortLimitReached(HoneyholdError, RuntimeError):
    """One request wanted more of this computer than a request may have."""

    code = "too-much-work"
    status = 503

    def __init__(self, most_s: float) -> None:
        super().__init__(
            f"This was still not worked out after {most_s:g} s, so it was stopped.", "Ask for less at once: fewer orders, goods or days."
        )


class _Stopped(BaseException):
    """Raised in the thread of a work that takes too long; no `except Exception` in between keeps it."""


@dataclass
class _Run:
    """One work under way."""

    thread: int
    clock: Callable[[], float]
    ends_at: float
    was_stopped: bool = False


class Effort:
    """The places for work, and one watcher over those who have one. Safe among threads."""

    def __init__(self, places: int = PLACES, wait_s: float = WAIT_S, most_s: float = CPU_S_MAX) -> None:
        self.wait_s, self.most_s = wait_s, most_s
        self._places = threading.BoundedSemaphore(places)
        self._changed = threading.Condition()
        self._runs: list[_Run] = []
        self._watcher: threading.Thread | None = None

    def spend(self, work: Callable[[], Answer]) -> Answer:
        """What `work` gives. Raises `Busy` when no place came free in time, `EffortLimitReached` when the work had to be stopped."""
        if not self._places.acquire(timeout=self.wait_s):
            raise Busy(self.wait_s)
        try:
            return self._watched(work)
        finally:
            self._places.release()

    def _watched(self, work: Callable[[], Answer]) -> Answer:
        clock = _thread_clock()
        run = _Run(threading.get_ident(), clock, clock() + self.most_s)
        self._begin(run)
        try:
            try:
                return work()
            finally:
                self._end(run)
        except _Stopped:
            self._end(run)  # once more: it may have been raised while the run was taken off the list
            raise EffortLimitReached(self.most_s) from None

    def _begin(self, run: _Run) -> None:
        with self._changed:
            self._runs.append(run)
            if self._watcher is None:
                self._watcher = threading.Thread(target=self._watch, name="work-effort", daemon=True)
                self._watcher.start()
            self._changed.notify()

    def _end(self, run: _Run) -> None:
        with self._changed:
            if run in self._runs:
                self._runs.remove(run)
            if run.was_stopped:
                _take_the_stop()

    def _watch(self) -> None:
        while True:
            with self._changed:
                while not self._runs:
                    self._changed.wait()
                for run in self._runs:
                    if run.clock() > run.ends_at:
                        run.was_stopped, run.ends_at = True, run.clock() + ONCE_MORE_S
                        _raise_in(run.thread, _Stopped)
            time.sleep(LOOK_EVERY_S)


def _thread_clock() -> Callable[[], float]:
    """Seconds of the processor that this thread has used, readable from another; where the system has no such clock, seconds."""
    of_thread = getattr(time, "pthread_getcpuclockid", None)
    if of_thread is None:
        return time.monotonic
    number = of_thread(threading.get_ident())
    return lambda: time.clock_gettime(number)


def _raise_in(thread: int, error: type[BaseException]) -> None:
    """Raise `error` in a thread at its next step: where it calls a function or begins a loop anew."""
    ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), ctypes.py_object(error))


def _take_the_stop() -> None:
    """What was not raised yet is raised now, and strikes nothing that this thread does next. Raises it where it comes at the first step.

    It is not taken back: Python 3.11 would believe for ever that something is to be raised, look for it at every step of every thread, and
    come no further where a debugger, or a measuring of what runs, looks on.
    """
    try:
        for _ in range(3):
            pass
    except _Stopped:
        pass


class Part:
    """What one of several houses may take of the places that all have together: one work at a time, one more waits, a third is turned away.

    A work that waits keeps one of the server's threads asleep, so all houses together keep no more than `INSIDE_MOST` of them.
    """

    def __init__(self, effort: Effort, places: int = 1, all_inside: threading.Semaphore | None = None) -> None:
        """`all_inside`: what all houses share (`Serving`)."""
        self._effort = effort
        self._places = threading.BoundedSemaphore(places)
        self._inside = threading.BoundedSemaphore(places + 1)
        self._all_inside = all_inside or threading.Semaphore(INSIDE_MOST)

    def spend(self, work: Callable[[], Answer]) -> Answer:
        """As `Effort.spend`; raises `Busy` at once where enough wait already."""
        with _counted(self._inside), _counted(self._all_inside):
            if not self._places.acquire(timeout=self._effort.wait_s):
                raise Busy(self._effort.wait_s)
            try:
                return self._effort.spend(work)
            finally:
                self._places.release()


@contextmanager
def _counted(inside: threading.Semaphore) -> Iterator[None]:
    if not inside.acquire(blocking=False):
        raise Busy(AGAIN_S)
    try:
        yield
    finally:
        inside.release()


def the_effort() -> Effort | Part:
    """The places of the request's house."""
    effort: Effort | Part = of_the_house(EXTENSION)
    return effort
