"""What houses want done by themselves, by a few threads for all of them: two make backups, another asks for forecasts, which may hang.

A house that is open is looked at as often as one in a shed is. One that nobody has asked for is opened now and then, so that what was
entered before it was let go is in a backup too. Of several processes one alone works for a house at a time: it holds a lock while it does.
"""

from __future__ import annotations

import logging
import queue
import random
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Final

from honeyhold.app.backup_ages import own_backups
from honeyhold.app.forecasts.refresh import ALONE_S, FIRST_LOOK_S, LOOK_EVERY_S, Forecaster
from honeyhold.app.scheduled_backup import LOOK_S, ScheduledBackup
from honeyhold.errors import HoneyholdError
from honeyhold.house.clock import machine_time
from honeyhold.house.house import House
from honeyhold.house.last_backup import LastBackup
from honeyhold.house.many_houses import Houses
from honeyhold.records.house_register import OPEN
from honeyhold.records.shared_database import ASKING, WORKING, HostedRecords

THREADS: Final = 2
TICK_S: Final = 2.0
SWEEP_S: Final = 6 * 3600.0
"""How often a house is looked at that is not open here."""

log = logging.getLogger("honeyhold")


@dataclass(eq=False)
class Chore:
    """One thing that is done for one house, and when again."""

    name: str
    at_s: float = 0.0
    """While the house is open here."""
    sweep_at_s: float = 0.0
    """While it is not."""
    house: House | None = None
    backup: ScheduledBackup | None = None
    forecaster: Forecaster | None = None
    waits: bool = False
    """It is in a queue, or being done."""
    trouble: str = ""
    """Why it failed the last time, which was said then."""


Line = queue.SimpleQueue[Chore | None]


class Chores:
    """One thread that looks what is due, and a few that do it."""

    def __init__(
        self, houses: Houses, threads: int = THREADS, forecasts: Callable[[House], Forecaster] | None = None, tick_s: float = TICK_S
    ) -> None:
        self._houses, self._tick_s = houses, tick_s
        self._forecasts = forecasts or (lambda house: Forecaster(house, machine_now=machine_time))
        self._backups: dict[str, Chore] = {}
        self._weather: dict[str, Chore] = {}
        self._backups_due: Line = queue.SimpleQueue()
        self._weather_due: Line = queue.SimpleQueue()
        self._ending = threading.Event()
        lines = [*[(self._backups_due, f"chores {number}") for number in range(threads)], (self._weather_due, "chores weather")]
        self._lines = [line for line, _ in lines]
        self._threads = [threading.Thread(target=self._work, args=(line,), name=name, daemon=True) for line, name in lines]
        self._watch = threading.Thread(target=self._look_now_and_then, name="chores", daemon=True)

    def start(self) -> None:
        """Begins to look."""
        for thread in (*self._threads, self._watch):
            thread.start()

    def stop(self, wait_s: float = 1.0) -> None:
        """Looks no more; what is being done may be finished, if it takes no longer than `wait_s`."""
        self._ending.set()
        for line in self._lines:
            line.put(None)
        until = time.monotonic() + wait_s
        for thread in (*self._threads, self._watch):
            if thread.is_alive():
                thread.join(max(0.0, until - time.monotonic()))

    def look(self) -> None:
        """Lets go of houses that nobody uses, and puts into the two queues what is due."""
        self._houses.tidy()
        now_s, open_here = time.monotonic(), set(self._houses.open_now())
        known = {name for name, kept in self._houses.known().items() if kept.state == OPEN}
        for kind, line, first_s in ((self._backups, self._backups_due, 0.0), (self._weather, self._weather_due, FIRST_LOOK_S)):
            for name in set(kind) - known:
                del kind[name]
            for name in known:
                chore = kind.get(name) or kind.setdefault(name, _new(name, now_s, first_s))
                if not chore.waits and _is_due(chore, name in open_here, now_s):
                    chore.waits = True
                    line.put(chore)

    def do(self, chore: Chore) -> None:
        """What is due for one house, if no other process is at the same. Raises what the house raises."""
        lease = self._houses.take(chore.name, quietly=True)
        try:
            records = lease.house.records
            assert isinstance(records, HostedRecords)
            of_weather = self._weather.get(chore.name) is chore
            with records.working_alone(ASKING if of_weather else WORKING) as mine:
                if of_weather:
                    self._ask(chore, lease.house, mine)
                else:
                    _back_up(chore, lease.house, mine)
        finally:
            lease.leave()
            chore.waits = False

    def _ask(self, chore: Chore, house: House, mine: bool) -> None:
        if chore.house is not house or chore.forecaster is None:
            chore.house, chore.forecaster = house, self._forecasts(house)
        if mine:
            chore.forecaster.look()
        wait_s = ALONE_S if chore.forecaster.alone else LOOK_EVERY_S
        _again_after(chore, wait_s * random.uniform(0.9, 1.1))  # noqa: S311 - not all houses at the same second

    def _look_now_and_then(self) -> None:
        while not self._ending.wait(self._tick_s):
            try:
                self.look()
            except HoneyholdError:  # the database is away; whoever asks for a house is told so
                continue
            except Exception:
                log.exception("Looking after the houses failed")

    def _work(self, line: Line) -> None:
        while (chore := line.get()) is not None and not self._ending.is_set():
            try:
                self.do(chore)
                chore.trouble = ""
            except Exception as trouble:  # the other houses go on
                chore.at_s = chore.sweep_at_s = time.monotonic() + LOOK_S
                chore.waits = False
                if not self._ending.is_set():
                    _say_once(chore, trouble)


def _say_once(chore: Chore, trouble: Exception) -> None:
    said = str(trouble) or type(trouble).__name__
    if said != chore.trouble:
        log.warning("What a house wants done by itself failed: %s", said, exc_info=not isinstance(trouble, HoneyholdError))
    chore.trouble = said


def _new(name: str, now_s: float, first_s: float) -> Chore:
    return Chore(name, now_s + first_s, sweep_at_s=now_s + random.uniform(0.02, 1.0) * SWEEP_S)  # noqa: S311


def _is_due(chore: Chore, is_open: bool, now_s: float) -> bool:
    if not is_open:
        chore.house = chore.backup = chore.forecaster = None
        return now_s >= chore.sweep_at_s
    wished = chore.backup is not None and chore.backup.house.wants_backup.is_set()
    return wished or now_s >= chore.at_s


def _again_after(chore: Chore, wait_s: float) -> None:
    now_s = time.monotonic()
    chore.at_s = now_s + wait_s
    chore.sweep_at_s = now_s + SWEEP_S * random.uniform(0.9, 1.1)  # noqa: S311


def _back_up(chore: Chore, house: House, mine: bool) -> None:
    if chore.house is not house or chore.backup is None:
        chore.house, chore.backup = house, ScheduledBackup(house, begun=True)
    if mine:
        _again_after(chore, LOOK_S)
        chore.backup.look()
    else:
        _tell_of_backups(house)


def _tell_of_backups(house: House) -> None:
    """Another process makes them; how they stand is seen by the files."""
    with suppress(OSError):
        made_at = max(own_backups(house.folder / "backups"), default=None)
        house.last_backup = LastBackup(made_at, house.last_backup.failing if house.last_backup else False)
