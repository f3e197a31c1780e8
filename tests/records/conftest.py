"""The records in a file, and a PostgreSQL, for the tests of the records."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

import postgresql_server
from honeyhold.records.sqlite_records import SqliteRecords
from postgresql_server import Cluster

OPEN = Path("/proc/self/fd")
"""What this process holds open."""
Look = Callable[[Path], Any]


@pytest.fixture
def forced(monkeypatch: pytest.MonkeyPatch) -> Callable[[Look], list[Any]]:
    """Looks at each file and folder that is forced onto the disk from now on, just before it is: what was seen, in order."""
    if not OPEN.exists():
        pytest.skip("which file is forced onto the disk is read from /proc")

    def noted_by(look: Look) -> list[Any]:
        seen: list[Any] = []
        fsync = os.fsync

        def noted(place: int) -> None:
            seen.append(look((OPEN / str(place)).resolve()))
            fsync(place)

        monkeypatch.setattr(os, "fsync", noted)
        return seen

    return noted_by


@pytest.fixture
def server() -> Iterator[Cluster]:
    """The run's server; what is made in it goes."""
    made = postgresql_server.needed()
    with postgresql_server.swept():
        yield made


@pytest.fixture
def records(tmp_path: Path) -> Iterator[SqliteRecords]:
    """A file of a house without anything in it."""
    made = SqliteRecords(tmp_path / "honeyhold.db")
    yield made
    made.close()
