"""The records in a file, and a PostgreSQL, for the tests of the records."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import postgresql_server
from honeyhold.records.sqlite_records import SqliteRecords
from postgresql_server import Cluster


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
