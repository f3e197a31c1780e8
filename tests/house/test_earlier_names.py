"""What was before: addresses at which the main computer was found, names that a device had; and a watch that keeps no process alive."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from honeyhold.app.scheduled_backup import ScheduledBackup
from honeyhold.errors import BadRequest
from honeyhold.house.house import House
from honeyhold.house.kept_certificates import ADDRESSES, earlier_addresses
from honeyhold.house.quarantine import hand_in
from replication.houses import device, entry, movement, small_house


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    made = small_house(tmp_path)
    yield made
    made.close()


@pytest.mark.parametrize(("most", "told"), [(0, ()), (1, ("d",)), (2, ("d", "c")), (9, ("d", "c", "b", "a"))])
def test_so_many_earlier_addresses_are_told_the_latest_first(tmp_path: Path, most: int, told: tuple[str, ...]) -> None:
    for address in ("a", "b", "c", "d", "e", "e"):
        earlier_addresses(tmp_path, address, 2)
    assert earlier_addresses(tmp_path, "e", most) == told


def test_an_address_that_comes_back_is_the_present_one_and_no_earlier_one(tmp_path: Path) -> None:
    for address in ("b", "a", "b"):
        earlier_addresses(tmp_path, address, 2)
    assert (tmp_path / ADDRESSES).read_text("ascii") == "a\nb\n"
    assert earlier_addresses(tmp_path, "b", 2) == ("a",)


@pytest.mark.parametrize(("length", "is_a_name"), [(1, True), (64, True), (65, False), (0, False)])
def test_an_earlier_name_is_as_long_as_a_name_may_be(house: House, length: int, is_a_name: bool) -> None:
    hand = device(house)
    written = {**entry(hand, "buy", [movement("bar", 1, "bought")]), "device": "n" * length}
    if is_a_name:
        assert hand_in(house, hand.identity["device"], [written]) == 1
    else:
        with pytest.raises(BadRequest, match="no earlier name"):
            hand_in(house, hand.identity["device"], [written])


def test_the_watch_over_backups_keeps_no_process_alive_and_ends_when_it_is_told(house: House) -> None:
    """Whoever forgets to stop it can still end: a thread that is no daemon is waited for by Python itself."""
    watch = ScheduledBackup(house)
    watch.start()
    (thread,) = (one for one in threading.enumerate() if one.name == "scheduled backup")
    watch.stop()
    assert (thread.daemon, thread.is_alive()) == (True, False)
