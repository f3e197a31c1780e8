"""A PostgreSQL for the tests of the records."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

import postgresql_server
from postgresql_server import Cluster


@pytest.fixture
def server() -> Iterator[Cluster]:
    """The run's server; what is made in it goes."""
    made = postgresql_server.needed()
    with postgresql_server.swept():
        yield made
