"""The records: settings that durability hangs on, one way in, steps forward from an old file, one house at a time."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from peewee import OperationalError

from honeyhold.house.house import House
from honeyhold.records.errors import DiskFull, NewerRecords, RecordsTrouble, SecondHouse
from honeyhold.records.migrations import steps as moves
from honeyhold.records.models import Setting
from honeyhold.records.sqlite_records import EXPECTED, SqliteRecords

OLD_FILE = Path(__file__).with_name("schema_1.sql")


def old_house(folder: Path) -> None:
    """A data folder as schema 1 left it."""
    folder.mkdir()
    with closing(sqlite3.connect(folder / "honeyhold.db")) as file:
        file.executescript(OLD_FILE.read_text("utf-8"))


def test_every_connection_has_the_settings_that_durability_needs(records: SqliteRecords) -> None:
    with records.read():
        found = {name: records.database.execute_sql(f"PRAGMA {name}").fetchone()[0] for name in EXPECTED}
    assert found == EXPECTED


def test_a_write_that_fails_leaves_nothing(records: SqliteRecords) -> None:
    with pytest.raises(ZeroDivisionError), records.write():
        records.run(Setting.insert(id="name", value="half"))
        raise ZeroDivisionError
    with records.read():
        assert records.row(Setting, "name") is None


def test_what_the_database_refuses_is_never_swallowed(records: SqliteRecords) -> None:
    """Not a full disk: a mistake in a statement comes out as it is, and nothing of the write stays."""
    with pytest.raises(OperationalError, match="no such table"), records.write():
        records.run(Setting.insert(id="name", value="half"))
        records.sql("INSERT INTO nowhere VALUES (1)")
    with records.read():
        assert records.row(Setting, "name") is None


def test_a_savepoint_takes_back_only_its_own(records: SqliteRecords) -> None:
    with records.write():
        records.run(Setting.insert(id="first", value=1))
        with pytest.raises(ZeroDivisionError), records.savepoint():
            records.run(Setting.insert(id="second", value=2))
            raise ZeroDivisionError
    with records.read():
        assert records.row(Setting, "first") == {"id": "first", "value": 1}
        assert records.row(Setting, "second") is None


def test_a_write_inside_a_write_is_a_mistake(records: SqliteRecords) -> None:
    with records.write(), pytest.raises(RecordsTrouble, match="inside another"), records.write():
        pass


def test_null_is_a_setting_like_any_other(records: SqliteRecords) -> None:
    with records.write():
        records.run(Setting.insert(id="nothing", value=None))
    with records.read():
        assert records.row(Setting, "nothing") == {"id": "nothing", "value": None}


def test_a_full_disk_is_told_and_nothing_is_kept(records: SqliteRecords) -> None:
    with records.read():
        pages = records.database.execute_sql("PRAGMA page_count").fetchone()[0]
        records.database.execute_sql(f"PRAGMA max_page_count = {pages + 1}")
        with pytest.raises(DiskFull) as trouble, records.write():
            records.run(Setting.insert(id="large", value="x" * 500_000))
        assert trouble.value.status == 507 and "room" in trouble.value.remedy
        assert records.row(Setting, "large") is None


def test_foreign_keys_are_held(records: SqliteRecords) -> None:
    with pytest.raises(Exception, match="FOREIGN KEY"), records.write():
        records.database.execute_sql("INSERT INTO lot VALUES ('W', 'no such good', '2026-07-20', '[]', '', '{}')")


def test_a_file_of_the_first_schema_moves_forward_with_every_row(tmp_path: Path) -> None:
    old_house(tmp_path / "data")
    house = House.open(tmp_path / "data")
    with house.records.read():
        assert moves.schema_version(house.records) == len(moves.steps()) >= 2
        indexes = {name for (name,) in house.records.database.execute_sql("SELECT name FROM sqlite_master WHERE type = 'index'")}
        bars = house.records.database.execute_sql("SELECT on_hand, promised, out FROM balance").fetchone()
    assert "movement_order" in indexes
    assert house.check() == []
    assert house.settings()["name"] == "Old House"
    assert bars[0] == 45 - 5 - 2 and bars[1] == 10
    house.write("set_house", [{"table": "setting", "id": "name", "value": "Same house"}])
    house.close()


def test_a_step_that_fails_leaves_the_file_where_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    known = moves.steps()
    broken = (len(known) + 1, "CREATE TABLE half (id TEXT); INSERT INTO nowhere VALUES (1)")
    monkeypatch.setattr(moves, "steps", lambda: [*known, broken])
    with pytest.raises(Exception, match="nowhere"):
        SqliteRecords(tmp_path / "honeyhold.db")
    monkeypatch.undo()
    records = SqliteRecords(tmp_path / "honeyhold.db")
    with records.read():
        assert not records.database.table_exists("half")
        assert moves.schema_version(records) == len(known)


def test_a_newer_file_is_left_alone(tmp_path: Path) -> None:
    records = SqliteRecords(tmp_path / "honeyhold.db")
    with records.write():
        records.set_meta("schema_version", "99")
    with pytest.raises(NewerRecords, match="99") as trouble:
        SqliteRecords(tmp_path / "honeyhold.db")
    assert "newer Honeyhold" in trouble.value.remedy


def test_letters_of_every_script_are_kept_as_they_are_read(records: SqliteRecords) -> None:
    """Whoever looks into the file, or searches it, finds what was written."""
    with records.write():
        records.run(Setting.insert(id="words", value={"b": "Zoë 🐝", "a": [1, None]}))
        assert records.sql("SELECT value FROM setting WHERE id = 'words'").fetchone() == ('{"a":[1,null],"b":"Zoë 🐝"}',)
        assert records.row(Setting, "words") == {"id": "words", "value": {"b": "Zoë 🐝", "a": [1, None]}}


def test_a_damaged_file_is_noticed_at_the_door(tmp_path: Path) -> None:
    records = SqliteRecords(tmp_path / "honeyhold.db")
    with records.write():
        for number in range(300):
            records.run(Setting.insert(id=f"key{number}", value="x" * 200))
    with records.read():
        records.database.execute_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    file = tmp_path / "honeyhold.db"
    whole = bytearray(file.read_bytes())
    whole[4096 * 20 : 4096 * 40] = b"\x5a" * (4096 * 20)
    file.write_bytes(whole)
    records.close()
    with pytest.raises(Exception, match="damaged|malformed"):
        SqliteRecords(file)


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="which files are open is read from /proc")
@pytest.mark.parametrize("what", ["damaged", "full", "stopped"])
def test_a_file_that_does_not_open_is_let_go_at_once(tmp_path: Path, what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also while somebody still holds what was raised: on some systems an open file can neither be moved aside nor put back."""
    file = tmp_path / "honeyhold.db"
    SqliteRecords(file).close()
    full = sqlite3.OperationalError("database or disk is full")
    raised = {"damaged": sqlite3.DatabaseError("malformed"), "full": full, "stopped": KeyboardInterrupt()}

    def fails(*_: object) -> None:
        raise raised[what]

    monkeypatch.setattr(SqliteRecords, "_assert_whole", fails)
    with pytest.raises(BaseException) as caught:
        SqliteRecords(file)
    assert caught.value is not None and not [one for one in Path("/proc/self/fd").iterdir() if one.resolve() == file]


def test_a_second_house_is_turned_away_and_the_first_goes_on(tmp_path: Path) -> None:
    first = House.open(tmp_path)
    with pytest.raises(SecondHouse) as trouble:
        House.open(tmp_path)
    assert "--data" in trouble.value.remedy
    first.write("set_house", [{"table": "setting", "id": "name", "value": "First"}])
    first.close()
    House.open(tmp_path).close()
