"""What a move leaves behind begins no second house, and what is stopped or refused after it has moved neither locks anyone out nor lies."""

from __future__ import annotations

import errno
import re
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any, NoReturn

import pytest

from honeyhold.app.command_line import main
from honeyhold.house import moving
from honeyhold.house.house import House
from honeyhold.house.moving import MovedAway, MoveUnfinished, to_database, to_file
from honeyhold.house.where_kept import FILE_NAME, database_of, note
from honeyhold.records.errors import DiskFull, RecordsSilent, RecordsTrouble
from house.lived_in import Lived, named, put_away
from postgresql_server import Cluster
from replication.houses import MONDAY, Watch, made_anew, small_house

pytestmark = pytest.mark.of_a_file


class Stopped(BaseException):
    """The power goes."""


def stopped(*_given: Any) -> NoReturn:
    """In place of a step: it is not come to."""
    raise Stopped


def stopped_after(step: Callable[..., Any]) -> Callable[..., NoReturn]:
    """In place of a step: it is the last thing that is done."""

    def last(*given: Any) -> NoReturn:
        step(*given)
        raise Stopped

    return last


def with_an_older_log(folder: Path, like: Path) -> None:
    """The log of an earlier life of the file lies there, without the file: it adds a table."""
    shutil.copy(like, folder / "earlier.db")
    with closing(sqlite3.connect(folder / "earlier.db")) as earlier:
        earlier.execute("PRAGMA journal_mode = wal")
        earlier.execute("PRAGMA wal_autocheckpoint = 0")
        earlier.execute("CREATE TABLE earlier (id INTEGER)")
        earlier.commit()
        shutil.copy(folder / "earlier.db-wal", folder / f"{FILE_NAME}-wal")
    for file in folder.glob("earlier.db*"):
        file.unlink()


def test_a_file_that_was_left_is_not_moved_on_into_a_second_house(server: Cluster, lived: Lived, tmp_path: Path) -> None:
    to_database(lived.folder, server.database(), MONDAY)
    lived.everything_is_there()
    other, second = tmp_path / "other", server.database()
    other.mkdir()
    shutil.copy(put_away(lived.folder), other / FILE_NAME)
    with pytest.raises(MovedAway, match="moved away") as trouble:
        to_database(other, second, MONDAY)
    assert database_of(other) == "" and server.run("SELECT tablename FROM pg_tables WHERE schemaname = 'public'", named(second)) == []
    way_back = re.search(r"honeyhold (restore \S+) --data FOLDER", trouble.value.remedy)
    assert way_back and main([*way_back[1].split(), "--data", str(tmp_path / "again")]) == 0
    with closing(House.open(tmp_path / "again", now=Watch())) as house:
        assert house.epoch != lived.epoch


@pytest.mark.parametrize("step", ["_arrived", "_clear"])
@pytest.mark.parametrize("how", ["before", "after"])
def test_a_start_that_ends_half_a_move_may_be_stopped_itself(
    server: Cluster, lived: Lived, monkeypatch: pytest.MonkeyPatch, step: str, how: str
) -> None:
    to_database(lived.folder, server.database(), MONDAY)
    with monkeypatch.context() as patched:
        patched.setattr(moving, "_take_note_away", stopped)
        with pytest.raises(Stopped):
            to_file(lived.folder, MONDAY)
    assert database_of(lived.folder) and (lived.folder / FILE_NAME).exists(), "nothing was left to end"
    with monkeypatch.context() as patched:
        patched.setattr(moving, step, stopped if how == "before" else stopped_after(getattr(moving, step)))
        with pytest.raises(Stopped):
            House.open(lived.folder, now=Watch())
    lived.everything_is_there()
    assert not (lived.folder / FILE_NAME).exists()
    to_file(lived.folder, MONDAY)
    lived.everything_is_there()


def test_the_log_of_an_earlier_file_is_not_read_into_the_new_one(server: Cluster, lived: Lived) -> None:
    to_database(lived.folder, server.database(), MONDAY)
    with_an_older_log(lived.folder, put_away(lived.folder))
    to_file(lived.folder, MONDAY)
    with closing(sqlite3.connect(lived.folder / FILE_NAME)) as file:
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert file.execute("SELECT COUNT(*) FROM sqlite_master WHERE name = 'earlier'").fetchone() == (0,)
    lived.everything_is_there()


def test_of_a_file_that_is_cleared_away_the_file_itself_goes_last(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    gone: list[str] = []
    file = tmp_path / FILE_NAME
    monkeypatch.setattr(Path, "unlink", lambda one, **_more: gone.append(one.name))
    moving._clear(file)
    assert gone[-1] == FILE_NAME and set(gone) == {FILE_NAME + ending for ending in ("", "-wal", "-shm", "-journal")}


def full_disk(*_given: Any) -> NoReturn:
    """What the records say of it."""
    raise DiskFull


def silent(*_given: Any) -> NoReturn:
    """The server is away."""
    raise RecordsSilent


def no_room(*_given: Any) -> NoReturn:
    """What the system says of a full disk."""
    raise OSError(errno.ENOSPC, "No space left on device")


def not_allowed(*_given: Any) -> NoReturn:
    """What the system says of a folder that is somebody else's."""
    raise PermissionError(errno.EACCES, "Permission denied")


def sqlite_full(*_given: Any) -> NoReturn:
    """What SQLite says of a full disk."""
    raise sqlite3.OperationalError("database or disk is full")


def sqlite_locked(*_given: Any) -> NoReturn:
    """What SQLite says of a file that somebody looks into."""
    raise sqlite3.OperationalError("database is locked")


@pytest.mark.parametrize(("step", "fault"), [("_leave", full_disk), ("onto_the_disk", not_allowed), ("_arrived", silent)])
def test_what_fails_once_it_has_moved_is_told_as_moved_and_done_at_the_next_start(
    server: Cluster, lived: Lived, monkeypatch: pytest.MonkeyPatch, step: str, fault: Callable[..., NoReturn]
) -> None:
    address = server.database()
    with monkeypatch.context() as patched:
        patched.setattr(moving, step, fault)
        with pytest.raises(MoveUnfinished, match="has moved: its records are now in") as trouble:
            to_database(lived.folder, address, MONDAY)
    assert "done at the next start" in trouble.value.remedy and database_of(lived.folder) == address
    lived.everything_is_there()
    assert not (lived.folder / FILE_NAME).exists() and put_away(lived.folder)
    assert server.run("SELECT 1 FROM meta WHERE key = 'arriving'", named(address)) == []


def test_back_in_a_file_what_fails_once_it_has_moved_is_done_at_the_next_start(
    server: Cluster, lived: Lived, monkeypatch: pytest.MonkeyPatch
) -> None:
    to_database(lived.folder, server.database(), MONDAY)
    with monkeypatch.context() as patched:
        patched.setattr(moving, "_arrived", full_disk)
        with pytest.raises(MoveUnfinished, match=f"has moved.*{FILE_NAME}"):
            to_file(lived.folder, MONDAY)
    assert database_of(lived.folder) == ""
    lived.everything_is_there()


def test_a_note_that_is_there_and_perhaps_not_on_the_disk_is_told_as_moved(
    server: Cluster, lived: Lived, monkeypatch: pytest.MonkeyPatch
) -> None:
    address, whole = server.database(), moving.note

    def noted(*given: Any) -> NoReturn:
        whole(*given)
        no_room()

    with monkeypatch.context() as patched:
        patched.setattr(moving, "note", noted)
        with pytest.raises(MoveUnfinished):
            to_database(lived.folder, address, MONDAY)
    lived.everything_is_there()
    assert put_away(lived.folder)


def test_an_old_file_that_cannot_be_put_away_keeps_no_house_from_starting(
    server: Cluster, lived: Lived, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = server.database()
    with monkeypatch.context() as patched:
        patched.setattr(moving, "_put_file_away", not_allowed)
        with pytest.raises(MoveUnfinished):
            to_database(lived.folder, address, MONDAY)
        lived.everything_is_there()
        assert (lived.folder / FILE_NAME).exists()
        assert "could not be put away" in to_database(lived.folder, address, MONDAY)
        lived.in_hand = lived.hands[1].note_person(name="Another in hand")
        lived.everything_is_there()
    assert "could not be put away" not in to_database(lived.folder, address, MONDAY)
    assert not (lived.folder / FILE_NAME).exists() and put_away(lived.folder)
    lived.everything_is_there()


@pytest.mark.parametrize(
    ("step", "fault", "said"),
    [
        ("_mark_copy", sqlite_full, DiskFull), ("_mark_copy", sqlite_locked, "database is locked"),
        ("note", no_room, DiskFull), ("note", not_allowed, "Permission denied"),
    ],
)  # fmt: skip
def test_what_the_disk_says_before_it_has_moved_comes_in_words(
    server: Cluster, lived: Lived, monkeypatch: pytest.MonkeyPatch, step: str, fault: Callable[..., NoReturn], said: type[Exception] | str
) -> None:
    address = server.database()
    with monkeypatch.context() as patched:
        patched.setattr(moving, step, fault)
        if isinstance(said, str):
            with pytest.raises(RecordsTrouble, match=f"not moved: .*{said}") as trouble:
                to_database(lived.folder, address, MONDAY)
            assert "stays where it was" in trouble.value.remedy
        else:
            with pytest.raises(said):
                to_database(lived.folder, address, MONDAY)
    assert database_of(lived.folder) == ""
    lived.everything_is_there()
    to_database(lived.folder, address, MONDAY)
    lived.everything_is_there()


def test_a_password_that_is_not_noted_is_said_to_be_needed(server: Cluster, lived: Lived, tmp_path: Path) -> None:
    (tmp_path / "second").mkdir()
    other = small_house(tmp_path / "second")
    other.close()
    assert "is not noted" not in to_database(other.folder, server.database(), MONDAY)
    said = to_database(lived.folder, server.database().replace("//honeyhold@", "//honeyhold:geheim@"), MONDAY)
    assert "The password of that address is not noted" in said and ".pgpass or PGPASSWORD" in said
    assert "geheim" not in said + database_of(lived.folder)


def test_of_another_database_a_running_house_in_a_file_is_not_asked(
    server: Cluster, lived: Lived, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["restore", "--dry-run", "--data", str(lived.folder), "--database", server.database()]
    with closing(lived.opened()) as house:
        backup = str(house.backup())
        assert main([*asked, backup]) == 1
        running = capsys.readouterr()
    assert main([*asked, backup]) == 1
    assert running == capsys.readouterr() and f"in its file {FILE_NAME}" in running.err


def test_what_going_back_would_mean_is_told_without_opening_the_database(
    server: Cluster, lived: Lived, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    house = lived.opened()
    backup = str(house.backup())
    house.close()
    address = server.database()
    with closing(House.open(tmp_path / "there", database=address, now=Watch())) as there:
        there.write("set_house", [{"table": "setting", "id": "name", "value": "Running"}])
        server.run("UPDATE meta SET value = '20' WHERE key = 'schema_version'", named(address))
        assert main(["restore", backup, "--dry-run", "--data", str(tmp_path / "new"), "--database", address]) == 0
        assert "The records here hold 0 more" in capsys.readouterr().out
        assert server.run("SELECT value FROM meta WHERE key = 'schema_version'", named(address)) == [("20",)]
        server.run("UPDATE meta SET value = '9999' WHERE key = 'schema_version'", named(address))
        assert main(["restore", backup, "--dry-run", "--data", str(tmp_path / "new"), "--database", address]) == 1
        assert "schema 9999" in capsys.readouterr().err


def test_a_house_whose_hands_are_many_is_forecast_alike_running_and_stopped(server: Cluster, tmp_path: Path) -> None:
    """In a file and in a database, by the running house and by the records alone: one answer."""
    from honeyhold.house.restoring import forecast

    house = made_anew(tmp_path, Watch())
    backup = house.backup()
    for number in range(3):
        house.write("set_house", [{"table": "setting", "id": "name", "value": f"{number}"}])
    told = [forecast(house.folder, backup, house.records)]
    house.close()
    told.append(forecast(house.folder, backup))
    to_database(house.folder, server.database(), MONDAY)
    told.append(forecast(house.folder, backup))
    with closing(House.open(house.folder, now=Watch())) as moved:
        told.append(forecast(moved.folder, backup, moved.records))
    assert told == [told[0]] * 4 and sum(told[0].missing.values()) == 3


def test_a_database_that_went_back_to_before_a_restore_is_refused_beside_the_backups_made_since(server: Cluster, lived: Lived) -> None:
    """In the epoch that the restore began devices have forgotten what its backups hold; the older records know nothing of that epoch."""
    address, before = server.database(), server.database()
    to_database(lived.folder, address, MONDAY)
    house = lived.opened()
    backup = house.backup()
    lived.hands[0].exchange()
    house.close()
    server.run(f"DROP DATABASE {named(before)}")
    server.run(f"CREATE DATABASE {named(before)} TEMPLATE {named(address)}")
    assert main(["restore", str(backup), "--data", str(lived.folder)]) == 0
    house = lived.opened()
    for hand in [*lived.hands, *lived.hands]:
        hand.exchange()
    lived.hands[1].note_person(name="Of the later time")
    lived.hands[1].exchange()
    later = house.backup()
    house.close()
    note(lived.folder, before)  # it is the database, with what it held then
    with pytest.raises(RecordsTrouble, match="before this house was last put back") as trouble:
        House.open(lived.folder, now=Watch())
    assert f"honeyhold restore FILE --data {lived.folder}" in trouble.value.remedy
    assert main(["restore", str(later), "--data", str(lived.folder)]) == 0
    house = lived.opened()
    for hand in [*lived.hands, *lived.hands]:
        hand.exchange()
    assert not house.recovering() and house.check() == []
    house.close()
