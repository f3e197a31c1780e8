"""What the tests of a move begin with."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import postgresql_server
from house.lived_in import Lived, lived_in
from postgresql_server import Cluster


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
