"""What is said of backups that the house makes by itself: to whoever reads the log, once, and to owners for as long as it lasts."""

from __future__ import annotations

import logging
import sqlite3
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from peewee import DatabaseError

from honeyhold.app.away import Away
from honeyhold.app.backup_ages import own_backups, thin_out
from honeyhold.app.scheduled_backup import ScheduledBackup
from honeyhold.house.house import House
from honeyhold.house.last_backup import LastBackup
from honeyhold.records.errors import RecordsTrouble
from replication.houses import Watch, movement


class Fails:
    """A backup that fails as it is told to."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.trouble: Exception | None = None
        made = House.backup

        def backup(house: House, *words: Any) -> Path:
            if self.trouble:
                raise self.trouble
            return made(house, *words)

        monkeypatch.setattr(House, "backup", backup)


@pytest.fixture
def fails(monkeypatch: pytest.MonkeyPatch) -> Fails:
    return Fails(monkeypatch)


def said(caplog: pytest.LogCaptureFixture) -> list[str]:
    """What the log has since the last time, all of it warnings."""
    assert {one.levelno for one in caplog.records} <= {logging.WARNING}
    told = [one.getMessage() for one in caplog.records]
    caplog.clear()
    return told


@pytest.mark.parametrize(
    ("trouble", "words", "tells_where"),
    [
        (RecordsTrouble("The disk is not there.", "Plug it in."), "The disk is not there.", False),
        (OSError(28, "No space left on device"), "[Errno 28] No space left on device", False),
        (DatabaseError("disk I/O error"), "disk I/O error", False),
        (sqlite3.OperationalError("disk I/O error"), "disk I/O error", False),
        (KeyError("page"), "'page'", True), (ZeroDivisionError(), "ZeroDivisionError", True), (OSError(), "OSError", False),
    ],
)  # fmt: skip
def test_a_backup_that_fails_is_said_and_where_only_if_nobody_foresaw_it(
    house: House, fails: Fails, caplog: pytest.LogCaptureFixture, trouble: Exception, words: str, tells_where: bool
) -> None:
    keeping, fails.trouble = ScheduledBackup(house), trouble
    assert keeping.look() is None and keeping.trouble == words
    assert [bool(one.exc_info) for one in caplog.records] == [tells_where] and said(caplog) == [f"The backup failed: {words}"]


def test_the_same_is_said_once_and_anew_after_another_or_a_good_one(
    house: House, fails: Fails, watch: Watch, caplog: pytest.LogCaptureFixture
) -> None:
    keeping = ScheduledBackup(house)
    told = []
    for words in ("no room", "no room", "no disk", "no room", "", "no room"):
        house.write("buy", [movement("bar", 1, "bought")])
        house.wants_backup.set()
        fails.trouble = OSError(words) if words else None
        watch.later(minutes=1)
        keeping.look()
        assert house.last_backup is not None and house.last_backup.failing == bool(words)
        told.append(len(said(caplog)))
    assert told == [1, 0, 1, 1, 0, 1]


def test_a_look_that_nothing_is_due_at_leaves_what_failed_to_be_seen(house: House, fails: Fails) -> None:
    """A failed wish is not due again, and yet no backup has been made."""
    keeping = ScheduledBackup(house)
    assert keeping.look() is not None
    fails.trouble = OSError("no room")
    house.wants_backup.set()
    assert keeping.look() is None and keeping.look() is None
    assert house.last_backup == LastBackup(max(own_backups(keeping.folder)), failing=True)


def test_what_went_wrong_with_the_watch_itself_hides_no_backup_that_is_there(
    house: House, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    keeping = ScheduledBackup(house, look_s=0)
    keeping.look()
    made_at = max(own_backups(keeping.folder))

    def look() -> None:
        keeping._ending.set()
        raise ValueError("a defect of ours")

    monkeypatch.setattr(keeping, "look", look)
    keeping._watch()
    assert house.last_backup == LastBackup(made_at, failing=True)
    assert [bool(one.exc_info) for one in caplog.records] == [True] and said(caplog) == ["The backup failed: a defect of ours"]
    house.last_backup = None
    keeping._ending.clear()
    keeping._watch()
    assert house.last_backup == LastBackup(None, failing=True) and said(caplog) == []


class Stick(Away):
    """A place that fails as it is told to."""

    failing_with = ""

    def __init__(self) -> None:
        super().__init__(Path("stick"), "nine lindens at the gate")
        self.brought_from: list[Path] = []

    def bring(self, backups: Path, _must_be_there: Any) -> Path | None:
        self.brought_from.append(backups)
        self.trouble = self.failing_with
        return None


def test_a_sealed_copy_that_fails_is_said_once_and_owners_see_it(house: House, caplog: pytest.LogCaptureFixture) -> None:
    stick = Stick()
    keeping = ScheduledBackup(house, away=stick)
    told = []
    for words in ("the stick is out", "the stick is out", "it is full", "", "the stick is out"):
        stick.failing_with = words
        keeping.look()
        assert house.last_backup is not None and house.last_backup.failing == bool(words)
        told.append(said(caplog))
    once = ["The sealed copy failed: the stick is out"]
    assert told == [once, [], ["The sealed copy failed: it is full"], [], once] and stick.brought_from == [keeping.folder] * 5


def test_where_there_is_no_backup_none_is_brought_and_nothing_is_looked_for(tmp_path: Path) -> None:
    asked: list[Path] = []
    away = Away(tmp_path / "stick", "nine lindens at the gate")
    away.trouble = "from before"
    assert away.bring(tmp_path, asked.append) is None and asked == [] and away.trouble == "from before"


@pytest.mark.parametrize(
    ("name", "is_own"),
    [
        ("by-itself-20260720-141000-000007.db", True), ("by-itself-20260720-141000.db", False), ("by-itself-of-mine.db", False),
        ("honeyhold-20260720-141000-000007.db", False), ("by-itself-20260720-141000-000007.db.json", False),
        ("by-itself-20260720-141000-000007.sealed", False), ("by-itself-20261320-141000-000007.db", False),
    ],
)  # fmt: skip
def test_only_what_the_house_made_by_itself_is_thinned_out(tmp_path: Path, name: str, is_own: bool) -> None:
    """Beside a newer one of the same hour."""
    older, newer = tmp_path / name, tmp_path / "by-itself-20260720-143000-000000.db"
    for file in (older, newer):
        file.touch()
    moment = datetime(2026, 7, 20, 14, 10, 0, 7, UTC)
    found = own_backups(tmp_path)
    assert found == {datetime(2026, 7, 20, 14, 30, tzinfo=UTC): newer, **({moment: older} if is_own else {})}
    thin_out(tmp_path)
    assert newer.exists() and older.exists() != is_own


def test_a_backup_that_is_made_when_the_house_stops_is_waited_for_so_long_and_no_longer(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    joined: list[float] = []
    keeping = ScheduledBackup(house)
    keeping.stop()  # it never began: nobody is waited for
    assert keeping._ending.is_set() and house.wants_backup.is_set()
    for wait_s in (60.0, 0.5):
        monkeypatch.setattr(keeping._thread, "is_alive", lambda: True)
        monkeypatch.setattr(keeping._thread, "join", joined.append)
        keeping.stop() if wait_s == 60 else keeping.stop(wait_s)
    assert joined == [60, 0.5]
    assert keeping._thread.daemon
