"""A database that keeps many houses, for the tests of their server."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from honeyhold.house.many_houses import Houses
from hosting.many import database, houses


@pytest.fixture
def address() -> Iterator[str]:
    """A database that keeps houses."""
    with database() as made:
        yield made


@pytest.fixture
def two(address: str, tmp_path: Path) -> Iterator[Houses]:
    """Two houses."""
    with houses(address, tmp_path, "willow", "maple") as made:
        yield made
