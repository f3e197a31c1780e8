"""A small house for every test, and the sums looked at when it is over."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from honeyhold.house.house import House
from honeyhold.records.check import disagreements
from quick_disk import QUICK_DISK
from replication.houses import Watch, small_house


@pytest.fixture
def watch() -> Watch:
    return Watch()


@pytest.fixture
def house(watch: Watch) -> Iterator[House]:
    """In memory where the machine has such a folder: every commit waits for its disk, and that disk is quick."""
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        made = small_house(Path(folder), watch)
        yield made
        assert disagreements(made.records) == []
        made.close()
