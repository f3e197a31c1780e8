"""A small house for every test, and the sums looked at when it is over."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sync.houses import Watch, small_house

from honeyhold.house.house import House


@pytest.fixture
def watch() -> Watch:
    return Watch()


@pytest.fixture
def house(tmp_path: Path, watch: Watch) -> Iterator[House]:
    made = small_house(tmp_path, watch)
    yield made
    assert made.check() == []
    made.close()
