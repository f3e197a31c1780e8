"""One start at a time: a lock with the standard library alone, on whichever system. Two starts at once take turns."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType
from typing import IO


def _module(name: str) -> ModuleType | None:
    try:
        return importlib.import_module(name)
    except ImportError:
        return None


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """Waits until nobody else is inside; the system lets go when the process ends, however it ends."""
    with path.open("a+b") as file:
        fcntl, msvcrt = _module("fcntl"), _module("msvcrt")
        if fcntl is not None:
            fcntl.flock(file, fcntl.LOCK_EX)
        elif msvcrt is not None:
            _wait_for(file, msvcrt)
        else:
            print("This system has no file locks: do not start Honeyhold twice at the same time.", file=sys.stderr)
        yield
        if fcntl is None and msvcrt is not None:
            file.seek(0)
            msvcrt.locking(file.fileno(), msvcrt.LK_UNLCK, 1)


def _wait_for(file: IO[bytes], msvcrt: ModuleType) -> None:
    while True:
        try:
            file.seek(0)
            msvcrt.locking(file.fileno(), msvcrt.LK_LOCK, 1)  # tries for ten seconds
            return
        except OSError:
            continue
