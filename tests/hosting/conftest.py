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


@pytest.fixture(scope="module")
def two_of_the_file(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Houses]:
    """Two houses that the tests of a file share, where none of them changes anything."""
    with database() as address, houses(address, tmp_path_factory.mktemp("houses"), "willow", "maple") as made:
        yield made
