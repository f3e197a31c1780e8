"""What the tests of a house begin with: one and its watch, and for those of a move a server and a house that was lived in."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import postgresql_server
from honeyhold.house.house import House
from house.lived_in import Lived, lived_in
from postgresql_server import Cluster
from replication.houses import Watch, small_house


@pytest.fixture
def server() -> Iterator[Cluster]:
    """The run's server; what is made in it goes."""
    made = postgresql_server.needed()
    with postgresql_server.swept():
        yield made


@pytest.fixture
def lived(tmp_path: Path) -> Lived:
    """A house in which people have lived, of this test alone."""
    return lived_in(tmp_path)


@pytest.fixture
def watch() -> Watch:
    """The house's clock, which a test puts on."""
    return Watch()


@pytest.fixture
def house(tmp_path: Path, watch: Watch) -> Iterator[House]:
    """A small house that goes by that clock."""
    made = small_house(tmp_path, watch)
    yield made
    made.close()
