"""The records of a database as a backup, which is a file of SQLite, and back; what does not fit changes nothing."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from honeyhold.app.command_line import main
from honeyhold.house.house import House
from honeyhold.house.where_kept import database_of
from honeyhold.records.backup import page_of
from honeyhold.records.carrying import COUNTED
from honeyhold.records.errors import RecordsTrouble
from honeyhold.records.models import Person
from postgresql_server import Cluster
from records.test_postgresql import in_database
from replication.houses import Watch, device, made_anew


def rows_of(file: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table of a file of records, in the order in which it came."""
    with closing(sqlite3.connect(file)) as records:
        tables = [name for (name,) in records.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        found = {table: records.execute(f'SELECT * FROM "{table}"').fetchall() for table in tables}
        found["rowids"] = records.execute("SELECT rowid, id FROM line ORDER BY rowid").fetchall()
    found["meta"] = [row for row in found["meta"] if row[0] not in ("epoch", "saved_to", "saved_late", "covered_to", "restored_to")]
    return found


def test_a_house_moves_by_a_backup_into_a_database_and_out_of_it(server: Cluster, tmp_path: Path) -> None:
    """With all its rows, and its devices go on."""
    (tmp_path / "shed").mkdir()
    play_a_little(House.open(tmp_path / "shed" / "data", now=Watch()))
    first = House.open(tmp_path / "shed" / "data", now=Watch())
    backup = first.backup()
    first.close()
    moved = tmp_path / "server"
    assert main(["restore", "--data", str(moved), "--database", server.database(), str(backup)]) == 0
    assert not list(moved.glob("*.part")), "what was made ready on the way lies there still"
    house = House.open(moved, now=Watch())
    assert house.check() == [] and house.recovering()
    assert all(last < following for last, following in numbers_of(house).values())
    again = house.backup()
    house.close()
    assert rows_of(again) == rows_of(backup)
    assert main(["restore", "--data", str(tmp_path / "back"), str(again)]) == 0
    back = House.open(tmp_path / "back", now=Watch())
    assert back.check() == [] and rows_of(tmp_path / "back" / "honeyhold.db") == rows_of(backup)
    back.close()


def numbers_of(house: House) -> dict[str, tuple[int, int]]:
    """Of each table that numbers its rows by itself, the highest number that stands in it and the one that comes next."""
    found: dict[str, tuple[int, int]] = {}
    with house.records.write():
        for table, column in house.records.sql(COUNTED).fetchall():
            highest = f'COALESCE(MAX("{column}"), 0)'
            found[table] = house.records.sql(
                f"SELECT {highest}, nextval(pg_get_serial_sequence('\"{table}\"', '{column}')) FROM \"{table}\""
            ).fetchone()
    assert any(last for last, _ in found.values()), "no table has a number yet: nothing would be seen"
    return found


def play_a_little(house: House) -> None:
    """Something in most tables: people, orders that are taken, amended and gone, money, one that waits, and text of every script."""
    house.close()
    house = made_anew(house.folder.parent, Watch())
    hand = device(house, "Shed phone", 5)
    person = hand.note_person(name="Zoë 🐝 'x' \"y\" \t\\N", note="two\nlines")
    hand.let_go(hand.promise([("bar", 1)], person=person).order)
    hand.promise([("bar", 2)], person=person)
    hand.promise([("bar", 90)], person=person)
    hand.exchange(callers={"bar": 4})
    assert not hand.needs_you and house.check() == []
    house.close()


def test_going_back_keeps_what_was_there_and_devices_send_again_what_the_backup_lacks(server: Cluster, tmp_path: Path) -> None:
    house = in_database(tmp_path, server.database())
    hand = device(house, "Shed phone", 5)
    backup = house.backup()
    assert house.saved_to() == house.position() == house.covered_to()
    person = hand.note_person(name="Ruth")
    hand.exchange()
    epoch = house.epoch
    house.restore(backup)
    with house.records.read():
        assert not house.records.there(Person, person)
    assert house.epoch != epoch and house.recovering()
    (aside,) = house.folder.glob("before-restore-*/honeyhold.db")
    assert any(row[0] == person for row in rows_of(aside)["person"])
    for _ in range(3):
        hand.exchange()
    with house.records.read():
        assert house.records.there(Person, person)
    assert not house.recovering() and house.check() == []
    house.close()


def test_a_backup_that_does_not_fit_changes_nothing(server: Cluster, tmp_path: Path) -> None:
    house = in_database(tmp_path, server.database())
    backup = house.backup()
    position = house.position()
    house.close()
    with closing(sqlite3.connect(backup)) as file, file:
        file.execute("UPDATE movement SET good = 'nowhere'")
    page_of(backup).unlink()
    assert main(["restore", "--data", str(tmp_path / "data"), str(backup)]) == 1
    assert not list((tmp_path / "data").glob("*.part"))
    house = House.open(tmp_path / "data", now=Watch())
    assert house.position() == position and house.check() == []
    house.close()


def test_a_text_with_nul_in_a_file_goes_into_a_database_in_letters_it_takes(server: Cluster, tmp_path: Path) -> None:
    shed = House.open(tmp_path / "shed", now=Watch())
    shed.write("set_house", [{"table": "setting", "id": "name", "value": "Nine"}])
    backup = shed.backup()
    shed.close()
    with closing(sqlite3.connect(backup)) as file, file:
        file.execute("INSERT INTO meta (key, value) VALUES ('noted', ?)", ("half\0text",))
    page_of(backup).unlink()
    assert main(["restore", "--data", str(tmp_path / "data"), "--database", server.database(), str(backup)]) == 0
    house = House.open(tmp_path / "data", now=Watch())
    with house.records.read():
        assert house.records.meta("noted") == "half\\x00text"
    house.close()


def test_strangers_tables_are_not_carried_and_not_emptied(server: Cluster, tmp_path: Path) -> None:
    address = server.database()
    house = in_database(tmp_path, address)
    name = urlsplit(address).path.lstrip("/")
    server.run("CREATE TABLE somebodys (id bigint GENERATED ALWAYS AS IDENTITY, held jsonb)", name)
    server.run("INSERT INTO somebodys (held) VALUES ('[1]')", name)
    backup = house.backup()
    assert "somebodys" not in rows_of(backup)
    house.restore(backup)
    assert house.check() == [] and server.run("SELECT held FROM somebodys", name) == [([1],)]
    house.close()


def test_a_copy_that_the_database_ends_is_trouble_in_words(server: Cluster, tmp_path: Path) -> None:
    import psycopg

    house = in_database(tmp_path, server.database())
    with psycopg.connect(database_of(house.folder)) as other:
        other.execute("LOCK TABLE movement IN ACCESS EXCLUSIVE MODE")
        with house.records.read():
            house.records.sql("SET lock_timeout = '50ms'")
            with pytest.raises(RecordsTrouble, match="did not let its records be read.*lock timeout") as trouble:
                house.records.copy_to(tmp_path / "copy.db")
    assert trouble.value.remedy == "Try again."
    house.records.copy_to(tmp_path / "whole.db")
    house.close()


def test_a_backup_that_waits_for_somebodys_lock_is_worth_another_try(
    server: Cluster, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import psycopg

    from honeyhold.records import postgresql_records

    house = in_database(tmp_path, server.database())
    backup, position = house.backup(), house.position()
    house.close()
    monkeypatch.setattr(postgresql_records, "WAITS_S", 1)
    with psycopg.connect(database_of(house.folder)) as other:
        other.execute("LOCK TABLE movement IN SHARE MODE")  # who reads passes, who empties it waits
        assert main(["restore", "--data", str(house.folder), str(backup)]) == 1
    said = capsys.readouterr()
    assert "does not take" in said.err + said.out and "Try again" in said.err + said.out
    again = House.open(house.folder, now=Watch())
    assert again.position() == position and not again.recovering()
    again.close()
