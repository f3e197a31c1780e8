"""A primary is lost under load and its standby takes over: a sample of `scripts/storm_failover`, one seed each way."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import postgresql_server
from honeyhold.house.house import House
from storm.checkers import Violation
from storm.failover import fail_over

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells which processes are a server's")
SEED = 1


@pytest.fixture(autouse=True)
def _installed() -> Iterator[None]:
    postgresql_server.must_be_installed()
    yield


def test_what_an_asynchronous_standby_lacks_comes_back_from_the_devices(tmp_path: Path) -> None:
    found = fail_over(tmp_path, SEED, synchronous=False)
    assert found["answered"] > found["answered_and_lost"] > 0, "nothing was lost with the primary, so nothing was tried"
    assert found["healed"] == found["answered_and_lost"] and found["still_missing"] == found["promised_twice"] == 0


def test_a_synchronous_standby_has_all_that_was_answered(tmp_path: Path) -> None:
    found = fail_over(tmp_path, SEED, synchronous=True)
    assert found["answered"] > 0 and found["entries"] > found["answered"]
    assert found["answered_and_lost"] == found["still_missing"] == found["promised_twice"] == 0


def test_a_house_that_noticed_nothing_would_be_caught(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The looking is worth something: with the same epoch devices do not say again what the standby lacks."""
    monkeypatch.setattr(House, "_look_whether_history_went_back", lambda _house, _position: None)
    with pytest.raises((Violation, AssertionError)):
        fail_over(tmp_path, SEED, synchronous=False)
