"""The house's own backups: made when due, checked before they count, thinned out by a rule; devices may forget what they hold."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from honeyhold.app import scheduled_backup
from honeyhold.app.scheduled_backup import AFTER_ENTRIES, AFTER_HOURS, ScheduledBackup, kept, own_backups
from honeyhold.house.house import House
from honeyhold.records.backup import position_of_backup
from honeyhold.records.errors import RecordsTrouble
from replication.houses import Watch, device, movement, small_house


@pytest.fixture
def watch() -> Watch:
    return Watch()


@pytest.fixture
def house(tmp_path: Path, watch: Watch) -> Iterator[House]:
    made = small_house(tmp_path, watch)
    yield made
    made.close()


def test_at_the_start_after_hours_and_after_many_entries(house: House, watch: Watch) -> None:
    keeping = ScheduledBackup(house)
    first = keeping.look()
    assert first is not None and position_of_backup(first) == house.position() == house.covered_to()
    watch.later(hours=AFTER_HOURS)
    assert keeping.look() is None  # nothing changed
    house.write("buy", [movement("bar", 1, "bought")])
    assert keeping.look() is not None
    house.write("buy", [movement("bar", 1, "bought")])
    watch.later(minutes=1)
    assert keeping.look() is None  # a minute and one entry
    for _ in range(AFTER_ENTRIES - 1):
        house.write("buy", [movement("bar", 1, "bought")])
    assert keeping.look() is not None and house.covered_to() == house.position()
    house.write("buy", [movement("bar", 1, "bought")])
    watch.later(minutes=1)
    assert ScheduledBackup(house).look() is not None  # started again: at once


def test_an_empty_house_has_nothing_to_keep(tmp_path: Path) -> None:
    house = House.open(tmp_path / "data")
    assert ScheduledBackup(house).look() is None
    house.close()


def test_a_device_forgets_only_what_a_checked_backup_holds(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    hand = device(house)
    hand.buy([("bar", None, 1, "bought")])
    hand.exchange()
    monkeypatch.setattr("honeyhold.records.backup.position_of_backup", _damaged)
    keeping = ScheduledBackup(house)
    assert keeping.look() is None and "damaged" in keeping.trouble
    assert hand.exchange()["covered_to"] == 0 and list(keeping.folder.glob("*")) == []
    monkeypatch.undo()
    assert keeping.look() is not None and keeping.trouble == ""
    assert hand.exchange()["covered_to"] == house.position()


def _damaged(file: Path) -> int:
    raise RecordsTrouble(f"The backup {file.name} is damaged.", "")


def test_a_disk_that_takes_nothing_is_said_and_tried_again(house: House, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    keeping = ScheduledBackup(house, tmp_path / "file" / "backups")
    assert keeping.look() is None and keeping.trouble and house.covered_to() == 0


def test_old_ones_go_and_what_a_person_put_there_stays(house: House, watch: Watch) -> None:
    by_hand = house.backup()
    keeping = ScheduledBackup(house)
    for _ in range(40):
        house.write("buy", [movement("bar", 1, "bought")])
        watch.later(days=3)
        assert keeping.look() is not None
    left = own_backups(keeping.folder)
    assert set(left) == kept(left) and 7 <= len(left) <= 15 and by_hand.exists()
    assert max(left) - min(left) >= timedelta(weeks=6)


@given(st.lists(st.integers(0, 400 * 24), unique=True, max_size=80))
def test_which_stay(hours: list[int]) -> None:
    moments = [datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=hour) for hour in hours]
    stay = kept(moments)
    assert set(sorted(moments)[-7:]) <= stay <= set(moments) and len(stay) <= 7 + 8
    weeks = sorted({moment.isocalendar()[:2] for moment in moments})[-8:]
    for week in weeks:
        assert max(moment for moment in moments if moment.isocalendar()[:2] == week) in stay
    assert kept(stay) == stay  # thinning twice takes nothing more


def test_beside_the_doors_it_works_by_itself(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scheduled_backup, "AFTER_ENTRIES", 3)
    keeping = ScheduledBackup(house, look_s=0.02)
    keeping.start()
    _until(lambda: house.covered_to() == house.position())
    for _ in range(3):
        house.write("buy", [movement("bar", 1, "bought")])
    _until(lambda: house.covered_to() == house.position())
    keeping.stop()
    assert house.check() == [] and keeping.trouble == ""


def _until(condition: object) -> None:
    until = time.monotonic() + 10
    while not condition():  # type: ignore[operator]
        assert time.monotonic() < until
        time.sleep(0.01)
