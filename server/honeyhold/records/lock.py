"""Keeps a second server away from the same records."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from filelock import FileLock, Timeout

from honeyhold.records.errors import SecondHouse


class LockFile:
    """An advisory lock held by one process; the system lets go of it when the process ends, however it ends."""

    def __init__(self, path: Path) -> None:
        """Takes the lock or raises `SecondHouse` at once."""
        self.path = path
        # who holds it stands in a file of its own: Windows lets nobody read a file that is locked
        self._holder = path.with_name(path.name + "-holder")
        self._lock = FileLock(path, thread_local=False)  # whichever thread closes the house lets go
        try:
            self._lock.acquire(timeout=0)
        except Timeout:
            raise SecondHouse(
                f"Another Honeyhold (process {self._told()}) already keeps the records in {path.parent}.",
                "Stop it first, or give this one its own folder with --data.",
            ) from None
        with suppress(OSError):  # on a full disk nobody is told who holds it, and it is held all the same
            self._holder.write_text(str(os.getpid()), encoding="utf-8")

    def release(self) -> None:
        """Lets go; may be called twice."""
        self._lock.release()

    def _told(self) -> str:
        try:
            return self._holder.read_text(encoding="utf-8").strip() or "unknown"
        except OSError:
            return "unknown"
