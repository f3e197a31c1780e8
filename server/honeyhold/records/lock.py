"""Keeps a second server away from the same records."""

from __future__ import annotations

import fcntl
import os
from io import TextIOWrapper
from pathlib import Path

from honeyhold.records.errors import SecondHouse


class LockFile:
    """An advisory lock held by one process; the system lets go of it when the process ends, however it ends."""

    def __init__(self, path: Path) -> None:
        """Takes the lock or raises `SecondHouse` at once."""
        self.path = path
        self._file: TextIOWrapper | None = path.open("a+", encoding="utf-8")
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            self._file.seek(0)
            holder = self._file.read().strip() or "unknown"
            self._file.close()
            self._file = None
            raise SecondHouse(
                f"Another Honeyhold (process {holder}) already keeps the records in {path.parent}.",
                "Stop it first, or give this one its own folder with --data.",
            ) from None
        self._file.truncate(0)
        self._file.write(str(os.getpid()))
        self._file.flush()

    def release(self) -> None:
        """Lets go; may be called twice."""
        if self._file is not None:
            self._file.close()
            self._file = None
