"""A primary is lost under load and its standby takes over: a sample of `scripts/storm_failover`, one seed each way and one of workers."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import postgresql_server
from honeyhold.house.house import House
from postgresql_pair import lost_at_once, pair, processes_of
from postgresql_server import segment_of, unused_segments
from storm.checkers import Violation
from storm.failover import fail_over
from storm.worker_losses import SAMPLE, lose_workers_and_primary

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells which processes are a server's")
SEED = 1


def maps_of(process: int) -> list[str]:
    """What a process has in its memory, by file; nothing of one that has ended meanwhile, as a server's helpers do."""
    try:
        return Path(f"/proc/{process}/maps").read_text().splitlines()
    except (FileNotFoundError, ProcessLookupError):
        return []


def test_nothing_of_two_servers_is_left_in_memory(tmp_path: Path) -> None:
    """One is killed under the test, the other ends by itself: both give back what the system lent them."""
    with pair(synchronous=False) as servers:
        both = (servers.primary, servers.standby)
        segments = {segment_of(Path(one.data)) for one in both}
        assert len(segments) == 2 and None not in segments and not segments & unused_segments()
        mapped = [line for one in both for process in processes_of(one) for line in maps_of(process)]
        assert mapped and not [line for line in mapped if "/dev/shm/PostgreSQL." in line]
        lost_at_once(servers.primary)
    assert not segments & unused_segments()


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
    """The looking is worth something: with the same epoch devices do not say again what the standby lacks.

    The devices hold what no entry of the house gives them, or miss what they said; the looking comes before the epoch is asked for.
    """
    monkeypatch.setattr(House, "_look_whether_history_went_back", lambda _house, _position: None)
    with pytest.raises(Violation, match=r"^(giver_first|nothing_lost): "):
        fail_over(tmp_path, SEED, synchronous=False)


def test_workers_that_are_killed_and_their_primary_lost_go_on_by_themselves(tmp_path: Path) -> None:
    """Nobody starts Honeyhold again: the workers that are left find the server that took over, and begin one new epoch together."""
    found = lose_workers_and_primary(tmp_path, SEED, synchronous=False, measure=SAMPLE)
    assert found["workers_killed"] >= 2 and found["troubles"] > 0 and found["answered"] > found["answered_and_lost"] > 0
    assert found["healed"] == found["answered_and_lost"] and found["still_missing"] == found["promised_twice"] == 0


NOTICES_NOTHING = """
from honeyhold.house.house import House
House._look_whether_history_went_back = lambda _house, _position: None
"""


def test_workers_that_noticed_nothing_would_be_caught(tmp_path: Path) -> None:
    """As with the one house above: each process is given the same fault before it begins. Slowness is not what is told."""
    planted = tmp_path / "planted"
    planted.mkdir()
    (planted / "sitecustomize.py").write_text(NOTICES_NOTHING)
    with pytest.raises(Violation, match=r"^(worker_losses: no entry was taken in \d+ answers|giver_first: |nothing_lost: )"):
        lose_workers_and_primary(tmp_path, SEED, synchronous=False, measure=SAMPLE, planted=planted)
