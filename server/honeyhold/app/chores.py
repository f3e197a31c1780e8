"""What houses want done by themselves (backups, forecasts), by a few threads for all of them.

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
from dataclasses import dataclass, field
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
from honeyhold.records.shared_database import HostedRecords

THREADS: Final = 2
TICK_S: Final = 2.0
SWEEP_S: Final = 6 * 3600.0
"""How often a house is looked at that is not open here."""

log = logging.getLogger("honeyhold")


@dataclass(eq=False)
class Chore:
    """What is done for one house, and when again."""

    name: str
    house: House | None = None
    backup: ScheduledBackup | None = None
    forecaster: Forecaster | None = None
    backup_at_s: float = 0.0
    forecast_at_s: float = 0.0
    sweep_at_s: float = 0.0
    waits: bool = field(default=False)
    """It is in the queue, or being done."""


class Chores:
    """One thread that looks what is due, and a few that do it."""

    def __init__(
        self, houses: Houses, threads: int = THREADS, forecasts: Callable[[House], Forecaster] | None = None, tick_s: float = TICK_S
    ) -> None:
        self._houses, self._tick_s = houses, tick_s
        self._forecasts = forecasts or (lambda house: Forecaster(house, machine_now=machine_time))
        self._chores: dict[str, Chore] = {}
        self._due: queue.SimpleQueue[Chore | None] = queue.SimpleQueue()
        self._ending = threading.Event()
        names = [f"chores {number}" for number in range(threads)]
        self._threads = [threading.Thread(target=self._work, name=name, daemon=True) for name in names]
        self._watch = threading.Thread(target=self._look_now_and_then, name="chores", daemon=True)

    def start(self) -> None:
        """Begins to look."""
        for thread in (*self._threads, self._watch):
            thread.start()

    def stop(self, wait_s: float = 1.0) -> None:
        """Looks no more; what is being done may be finished, if it takes no longer than `wait_s`."""
        self._ending.set()
        for _ in self._threads:
            self._due.put(None)
        until = time.monotonic() + wait_s
        for thread in (*self._threads, self._watch):
            if thread.is_alive():
                thread.join(max(0.0, until - time.monotonic()))

    def look(self) -> None:
        """Lets go of houses that nobody uses, and puts into the queue what is due."""
        self._houses.tidy()
        now_s, open_here = time.monotonic(), set(self._houses.open_now())
        known = {name for name, kept in self._houses.known().items() if kept.state == OPEN}
        for name in set(self._chores) - known:
            del self._chores[name]
        for name in known:
            chore = self._chores.get(name) or self._chores.setdefault(name, _new(name, now_s))
            if not chore.waits and self._is_due(chore, name in open_here, now_s):
                chore.waits = True
                self._due.put(chore)

    def do(self, chore: Chore) -> None:
        """Whatever is due for one house, if no other process is at it. Raises what the house raises."""
        lease = self._houses.take(chore.name, quietly=True)
        try:
            self._about(chore, lease.house)
            records = lease.house.records
            assert isinstance(records, HostedRecords)
            with records.working_alone() as mine:
                if mine:
                    self._do(chore)
                else:
                    _tell_of_backups(lease.house)
        finally:
            lease.leave()
            chore.waits = False

    def _is_due(self, chore: Chore, is_open: bool, now_s: float) -> bool:
        if not is_open:
            chore.house = chore.backup = chore.forecaster = None
            return now_s >= chore.sweep_at_s
        wished = chore.house is not None and chore.house.wants_backup.is_set()
        return wished or now_s >= min(chore.backup_at_s, chore.forecast_at_s)

    def _about(self, chore: Chore, house: House) -> None:
        if chore.house is not house:
            chore.house, chore.backup = house, ScheduledBackup(house, begun=True)
            chore.forecaster = self._forecasts(house)

    def _do(self, chore: Chore) -> None:
        assert chore.backup is not None and chore.forecaster is not None and chore.house is not None
        now_s = time.monotonic()
        chore.sweep_at_s = now_s + SWEEP_S * random.uniform(0.9, 1.1)  # noqa: S311 - not all houses at the same second
        if now_s >= chore.backup_at_s or chore.house.wants_backup.is_set():
            chore.backup_at_s = now_s + LOOK_S
            chore.backup.look()
        if now_s >= chore.forecast_at_s:
            chore.forecaster.look()
            wait_s = ALONE_S if chore.forecaster.alone else LOOK_EVERY_S
            chore.forecast_at_s = now_s + wait_s * random.uniform(0.9, 1.1)  # noqa: S311

    def _look_now_and_then(self) -> None:
        while not self._ending.wait(self._tick_s):
            try:
                self.look()
            except HoneyholdError:  # the database is away; whoever asks for a house is told so
                continue
            except Exception:
                log.exception("Looking after the houses failed")

    def _work(self) -> None:
        while (chore := self._due.get()) is not None and not self._ending.is_set():
            try:
                self.do(chore)
            except Exception as trouble:  # the other houses go on
                chore.waits = False
                chore.backup_at_s = chore.sweep_at_s = time.monotonic() + LOOK_S
                if not self._ending.is_set():
                    log.warning("What a house wants done by itself failed: %s", trouble, exc_info=not isinstance(trouble, HoneyholdError))


def _new(name: str, now_s: float) -> Chore:
    sweep_at_s = now_s + random.uniform(0.02, 1.0) * SWEEP_S  # noqa: S311
    return Chore(name, forecast_at_s=now_s + FIRST_LOOK_S, sweep_at_s=sweep_at_s)


def _tell_of_backups(house: House) -> None:
    """Another process makes them; how they stand is seen by the files."""
    with suppress(OSError):
        made_at = max(own_backups(house.folder / "backups"), default=None)
        house.last_backup = LastBackup(made_at, house.last_backup.failing if house.last_backup else False)
