"""The house's own backups: made when due, checked before they count, thinned out by a rule; devices may forget what they hold."""

from __future__ import annotations

import sqlite3
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from peewee import DatabaseError

from honeyhold.app import scheduled_backup
from honeyhold.app.backup_ages import KEPT, kept, own_backups
from honeyhold.app.scheduled_backup import AFTER_ENTRIES, AFTER_HOURS, MARKER, ScheduledBackup
from honeyhold.house.house import House
from honeyhold.house.last_backup import LastBackup
from honeyhold.records.backup import position_of_backup
from honeyhold.records.errors import RecordsTrouble
from replication.houses import Watch, device, movement


def test_at_the_start_after_hours_and_after_many_entries(house: House, watch: Watch) -> None:
    keeping = ScheduledBackup(house)
    first = keeping.look()
    assert first is not None and position_of_backup(first) == house.position() == house.covered_to()
    assert house.last_backup == LastBackup(max(own_backups(keeping.folder)), failing=False)
    watch.later(hours=AFTER_HOURS)
    assert keeping.look() is None  # nothing changed
    house.write("buy", [movement("bar", 1, "bought")])
    assert keeping.look() is not None
    house.write("buy", [movement("bar", 1, "bought")])
    watch.later(minutes=1)
    assert keeping.look() is None  # a minute and one entry
    for _ in range(AFTER_ENTRIES - 1):
        house.write("buy", [movement("bar", 1, "bought")])
    assert keeping.look() is not None and house.saved_to() == house.position()
    house.write("buy", [movement("bar", 1, "bought")])
    watch.later(minutes=1)
    assert ScheduledBackup(house).look() is not None  # started again: at once


class Called:
    """What wakes the watch, with nobody who waits: it notes for how long it was waited, and the third time the watch is to end."""

    def __init__(self, keeping: ScheduledBackup) -> None:
        self.waited_s: list[float] = []
        self._keeping = keeping

    def wait(self, seconds: float) -> None:
        self.waited_s.append(seconds)
        if len(self.waited_s) == 3:
            self._keeping._ending.set()


def test_between_two_looks_it_waits(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    keeping = ScheduledBackup(house, look_s=7)
    looks: list[int] = []

    def look() -> None:
        looks.append(len(called.waited_s))
        if len(looks) > 3:
            raise SystemExit("it looks again and again")

    called = Called(keeping)
    monkeypatch.setattr(keeping, "look", look)
    monkeypatch.setattr(house, "wants_backup", called)
    keeping._watch()
    assert called.waited_s == [7, 7, 7] and looks == [0, 1, 2]


def test_an_empty_house_has_nothing_to_keep(tmp_path: Path) -> None:
    house = House.open(tmp_path / "data")
    assert ScheduledBackup(house).look() is None
    house.close()


def test_a_device_forgets_only_what_a_checked_backup_holds(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    hand = device(house)
    hand.buy([("bar", None, 1, "bought")])
    hand.exchange()
    monkeypatch.setattr("honeyhold.records.backup._what_it_holds", _damaged)
    keeping = ScheduledBackup(house)
    assert keeping.look() is None and "damaged" in keeping.trouble
    assert hand.exchange()["covered_to"] == 0 and list(keeping.folder.glob("*.db*")) == list(keeping.folder.glob("*.part*")) == []
    monkeypatch.undo()
    assert keeping.look() is not None and keeping.trouble == ""
    assert hand.exchange()["covered_to"] == house.position()


def _damaged(file: Path) -> tuple[int, int]:
    raise RecordsTrouble(f"The backup {file.name} is damaged.", "")


def test_a_disk_that_takes_nothing_is_said_and_tried_again(house: House, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    keeping = ScheduledBackup(house, tmp_path / "file" / "backups")
    assert keeping.look() is None and keeping.trouble and house.covered_to() == 0
    assert house.last_backup == LastBackup(None, failing=True), "an owner's device can see it"


@pytest.mark.parametrize("trouble", [sqlite3.OperationalError("disk I/O error"), DatabaseError("disk I/O error"), KeyError()])
def test_records_that_cannot_be_read_are_a_failed_backup_and_no_end_of_them(
    house: House, monkeypatch: pytest.MonkeyPatch, trouble: Exception
) -> None:
    keeping = ScheduledBackup(house)

    def unreadable(*_: object) -> None:
        raise trouble

    with monkeypatch.context() as patch:
        patch.setattr(House, "backup", unreadable)
        assert keeping.look() is None and house.last_backup is not None and house.last_backup.failing
    assert keeping.look() is not None and not house.last_backup.failing


def test_old_ones_go_and_what_a_person_put_there_stays(house: House, watch: Watch) -> None:
    by_hand = house.backup()
    keeping = ScheduledBackup(house)
    for _ in range(40):
        house.write("buy", [movement("bar", 1, "bought")])
        watch.later(days=3)
        assert keeping.look() is not None
    left = own_backups(keeping.folder)
    assert set(left) == kept(left) and len(left) <= sum(count for _, count in KEPT) and by_hand.exists()
    pages = {file.name for file in keeping.folder.glob("*.db.json")}
    assert pages == {f"{file.name}.json" for file in keeping.folder.glob("*.db")}
    assert max(left) - min(left) >= timedelta(weeks=6)


@given(st.lists(st.integers(0, 400 * 24), unique=True, max_size=80))
def test_which_stay(hours: list[int]) -> None:
    moments = [datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=hour) for hour in hours]
    stay = kept(moments)
    assert stay <= set(moments) and len(stay) <= sum(count for _, count in KEPT)
    for span, count in KEPT:
        spans = sorted({moment.strftime(span) for moment in moments})[-count:]
        for one in spans:
            assert max(moment for moment in moments if moment.strftime(span) == one) in stay
    assert kept(stay) == stay  # thinning twice takes nothing more


def test_beside_the_doors_it_works_by_itself(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(scheduled_backup, "AFTER_ENTRIES", 3)
    keeping = ScheduledBackup(house, look_s=0.02)
    keeping.start()
    _until(lambda: house.covered_to() == house.position())
    for _ in range(3):
        house.write("buy", [movement("bar", 1, "bought")])
    _until(lambda: house.saved_to() == house.position())
    keeping.stop()
    assert house.check() == [] and keeping.trouble == ""


def test_whatever_fails_the_watch_goes_on_and_owners_see_it(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    keeping = ScheduledBackup(house, look_s=0.02)
    with monkeypatch.context() as patch:
        patch.setattr(ScheduledBackup, "_bring_away", lambda _: 1 // 0)
        keeping.start()
        _until(lambda: house.last_backup is not None and house.last_backup.failing and "division" in keeping.trouble)
    house.write("buy", [movement("bar", 1, "bought")])
    house.wants_backup.set()
    _until(lambda: house.saved_to() == house.position() and keeping.trouble == "")
    keeping.stop()


def test_seven_busy_starts_push_nothing_out() -> None:
    """Kept by count, a morning of restarts had left nothing of the week before."""
    week = [datetime(2026, 7, day, 18, tzinfo=UTC) for day in range(13, 20)]
    morning = [datetime(2026, 7, 20, 8, minute, tzinfo=UTC) for minute in range(12)]
    assert set(week) <= kept([*week, *morning])


def test_devices_forget_only_what_the_oldest_kept_backup_holds(house: House, watch: Watch) -> None:
    """Whichever backup is put back, the devices still have what it lacks; before, every one but the newest froze them."""
    hand = device(house)
    keeping = ScheduledBackup(house)
    first = keeping.look()
    oldest = house.position()
    for _ in range(3):
        hand.buy([("bar", None, 1, "bought")])
        hand.exchange()
        watch.later(days=1)
        assert keeping.look() is not None
    assert house.saved_to() == house.position() > oldest == house.covered_to() == hand.exchange()["covered_to"]
    assert first is not None
    house.restore(first)
    assert house.covered_to() == 0  # nothing is covered in the new epoch before it has a backup of its own
    hand.exchange()
    assert not house.recovering() and house.check() == [] and house.position() >= oldest + 3
    watch.later(days=1)
    assert keeping.look() is not None and house.covered_to() <= oldest


def test_a_disk_that_is_not_there_is_missed(house: House, tmp_path: Path) -> None:
    """An unmounted disk leaves an empty folder of the same name: the main computer's own disk would have been filled instead."""
    keeping = ScheduledBackup(house, tmp_path / "stick")
    assert keeping.look() is not None
    gone = tmp_path / "stick-taken-out"
    keeping.folder.rename(gone)
    keeping.folder.mkdir()
    house.write("buy", [movement("bar", 1, "bought")])
    house.wants_backup.set()
    assert keeping.look() is None and "not there" in keeping.trouble and list(keeping.folder.iterdir()) == []
    keeping.folder.rmdir()
    gone.rename(keeping.folder)
    house.wants_backup.set()
    assert keeping.look() is not None and keeping.trouble == "" and (keeping.folder / MARKER).exists()


def _until(condition: object) -> None:
    until = time.monotonic() + 60
    while not condition():  # type: ignore[operator]
        assert time.monotonic() < until
        time.sleep(0.01)
