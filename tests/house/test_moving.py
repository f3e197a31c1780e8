"""A house moves from its file into PostgreSQL and back: all of it or nothing of it, whatever happens meanwhile, and its devices go on."""

from __future__ import annotations

import os
import signal
import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from begun import ended
from honeyhold.app.command_line import main
from honeyhold.house import moving
from honeyhold.house.house import House
from honeyhold.house.moving import MovedAway, MoveFailed, to_database, to_file
from honeyhold.house.where_kept import FILE_NAME, NoSuchStore, database_of, note
from honeyhold.records.errors import DiskFull, RecordsTrouble
from honeyhold.records.models import Person
from house.killed_moves import killed
from house.lived_in import Lived, named, put_away
from house.test_full_disk import full, on_linux
from postgresql_server import Cluster
from replication.houses import MONDAY, Watch, small_house

pytestmark = pytest.mark.of_a_file


def test_there_and_back_devices_notice_nothing(server: Cluster, lived: Lived, capsys: pytest.CaptureFixture[str]) -> None:
    address = server.database()
    with closing(sqlite3.connect(lived.folder / FILE_NAME)) as file:
        tables = [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        rows = sum(file.execute(f'SELECT COUNT(*) FROM "{name}"').fetchone()[0] for name in tables)
    data = ["--data", str(lived.folder)]
    assert main(["move", "--to", address, *data]) == 0
    said = capsys.readouterr().out
    assert f"{len(tables)} tables, {rows:,} rows, 3 devices' chains, every sum" in said and ": the same." in said
    assert str(put_away(lived.folder)) in said and "--to-file" in said
    assert database_of(lived.folder) == address and not (lived.folder / FILE_NAME).exists()
    lived.everything_is_there()
    lived.in_hand = lived.hands[1].note_person(name="Another in hand")
    assert main(["move", "--to-file", *data]) == 0
    assert address in capsys.readouterr().out and database_of(lived.folder) == "" and (lived.folder / FILE_NAME).exists()
    lived.everything_is_there()
    assert main(["move", "--to-file", *data]) == 0 and "already" in capsys.readouterr().out
    assert main(["move", "--to", server.database(), *data]) == 0
    lived.everything_is_there()


def test_that_the_note_of_the_database_is_gone_is_on_the_disk_before_the_move_is_told(
    server: Cluster, lived: Lived, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else a power cut would bring it back, and the house would be looked for where it has left. The file is on the disk before that."""
    to_database(lived.folder, server.database(), MONDAY)
    noted, forces = lived.folder / moving.NOTE_NAME, moving.onto_the_disk
    seen = [noted.exists()]
    both = []

    def forced(folder: Path) -> None:
        seen.append(noted.exists())
        both.append((folder / FILE_NAME).exists() and noted.exists())
        forces(folder)

    monkeypatch.setattr(moving, "onto_the_disk", forced)
    to_file(lived.folder, MONDAY)
    assert seen[0] and not seen[-1] and not noted.exists() and any(both)


def test_an_open_house_is_not_moved(server: Cluster, lived: Lived, capsys: pytest.CaptureFixture[str]) -> None:
    data = ["--data", str(lived.folder)]
    for words in (["--to", server.database()], ["--to-file"]):
        house = House.open(lived.folder, now=Watch())
        assert main(["move", *words, *data]) == 1
        said = capsys.readouterr().err
        assert "Another Honeyhold" in said and "Stop it first" in said
        house.close()
        assert main(["move", *words, *data]) == 0
    lived.everything_is_there()
    assert database_of(lived.folder) == ""


def test_no_house_begins_again_in_the_file_that_was_left_but_by_a_restore(server: Cluster, lived: Lived) -> None:
    to_database(lived.folder, server.database(), MONDAY)
    lived.everything_is_there()
    old = put_away(lived.folder)
    other = lived.folder.with_name("other")
    other.mkdir()
    (other / FILE_NAME).write_bytes(old.read_bytes())
    with pytest.raises(MovedAway, match="moved away") as trouble:
        House.open(other)
    assert "records/README.md" in trouble.value.remedy
    (other / FILE_NAME).unlink()
    assert main(["restore", str(old), "--data", str(other)]) == 0
    lived.folder = other
    house = lived.opened()
    assert house.epoch != lived.epoch and house.check() == [] and house.covered_to() == 0
    for hand in [*lived.hands, *lived.hands]:
        hand.exchange()
    with house.records.read():
        assert house.records.there(Person, lived.in_hand), "the device says again what the old file lacks"
    assert not house.recovering()
    house.close()


def test_no_house_begins_again_in_the_database_that_was_left_but_under_a_new_epoch(server: Cluster, lived: Lived) -> None:
    address = server.database()
    to_database(lived.folder, address, MONDAY)
    to_file(lived.folder, MONDAY)
    lived.everything_is_there()
    other = lived.folder.with_name("other")
    with pytest.raises(MovedAway, match=FILE_NAME):
        House.open(other, database=address)
    with pytest.raises(NoSuchStore, match="moved away"):
        to_database(lived.folder, address, MONDAY)
    note(lived.folder, address)  # by somebody's own hand
    with pytest.raises(MovedAway):
        House.open(lived.folder)
    server.run("DELETE FROM meta WHERE key = 'left_for'", named(address))
    lived.folder = other
    house = lived.opened(database=address)
    assert house.epoch != lived.epoch and house.check() == [] and house.covered_to() == 0
    for hand in [*lived.hands, *lived.hands]:
        hand.exchange()
    with house.records.read():
        assert house.records.there(Person, lived.in_hand)
    house.close()


INTO_DATABASE = [
    ("moving", "_must_be_free", 1), ("moving", "_mark_copy", 1), ("carrying", "_fill", 9), ("moving", "_carry_into_database", 1),
    ("moving", "_compared", 1), ("moving", "note", 1), ("moving", "_leave", 1), ("moving", "_put_file_away", 1), ("moving", "_arrived", 1),
]  # fmt: skip
INTO_FILE = [
    ("moving", "_must_be_whole", 1), ("moving", "_mark_copy", 1), ("moving", "_compared", 1), ("moving", "_carry_into_file", 1),
    ("moving", "_leave", 1), ("moving", "_take_note_away", 1), ("moving", "_arrived", 1),
]  # fmt: skip


def killed_after(server: Cluster, folder: Path, stage: tuple[str, str, int], address: str, database: str) -> None:
    """The command, gone without a word after this stage; when it is over the server has noticed, too."""
    assert ended(killed, *stage, str(folder), address) == -signal.SIGKILL
    looking = threading.Event()
    for _ in range(600):
        if not server.run(f"SELECT 1 FROM pg_stat_activity WHERE datname = '{named(database)}'"):
            return
        looking.wait(0.05)
    raise AssertionError("the server keeps the connections of a process that is gone")


@pytest.mark.skipif(os.name == "nt", reason="Windows has no signals")
@pytest.mark.parametrize("stage", INTO_DATABASE, ids=lambda stage: stage[1])
def test_killed_on_the_way_into_a_database_it_is_the_old_or_the_new_and_the_next_try_ends_it(
    server: Cluster, lived: Lived, stage: tuple[str, str, int]
) -> None:
    address = server.database()
    killed_after(server, lived.folder, stage, address, address)
    lived.everything_is_there()
    lived.in_hand = lived.hands[1].note_person(name="Written after the kill")
    lived.everything_is_there()
    to_database(lived.folder, address, MONDAY)
    lived.everything_is_there()
    assert database_of(lived.folder) == address and not (lived.folder / FILE_NAME).exists() and put_away(lived.folder)
    assert not list(lived.folder.glob("*.moving*"))


@pytest.mark.skipif(os.name == "nt", reason="Windows has no signals")
@pytest.mark.parametrize("stage", INTO_FILE, ids=lambda stage: stage[1])
def test_killed_on_the_way_into_a_file_it_is_the_old_or_the_new_and_the_next_try_ends_it(
    server: Cluster, lived: Lived, stage: tuple[str, str, int]
) -> None:
    address = server.database()
    to_database(lived.folder, address, MONDAY)
    killed_after(server, lived.folder, stage, "", address)
    lived.everything_is_there()
    lived.in_hand = lived.hands[1].note_person(name="Written after the kill")
    lived.everything_is_there()
    to_file(lived.folder, MONDAY)
    lived.everything_is_there()
    assert database_of(lived.folder) == "" and (lived.folder / FILE_NAME).exists() and not list(lived.folder.glob("*.moving*"))
    with pytest.raises(MovedAway):
        House.open(lived.folder.with_name("other"), database=address)


@pytest.mark.skipif(os.name == "nt", reason="Windows has no signals")
def test_half_a_move_is_nobodys_house_and_no_others_place(server: Cluster, lived: Lived, tmp_path: Path) -> None:
    address = server.database()
    killed_after(server, lived.folder, ("moving", "_carry_into_database", 1), address, address)
    with pytest.raises(NoSuchStore, match="begun and not ended"):
        House.open(tmp_path / "stranger", database=address)
    (tmp_path / "second").mkdir()
    other = small_house(tmp_path / "second")
    other.write("set_house", [{"table": "setting", "id": "name", "value": "Another"}])
    other.close()
    with pytest.raises(NoSuchStore, match="Another house's move"):
        to_database(other.folder, address, MONDAY)
    to_database(lived.folder, address, MONDAY)
    lived.everything_is_there()


def test_a_copy_in_which_one_letter_is_another_is_not_moved_into(server: Cluster, lived: Lived) -> None:
    """A trigger of the database's own changes a name as it comes in: the counts agree, the rows do not."""
    address = server.database()
    House.open(lived.folder.with_name("empty"), database=address).close()
    server.run("DELETE FROM meta WHERE key = 'epoch'", named(address))
    bend = "BEGIN NEW.name := NEW.name || '.'; RETURN NEW; END"
    server.run(f"CREATE FUNCTION bend() RETURNS trigger LANGUAGE plpgsql AS $${bend}$$", named(address))
    server.run("CREATE TRIGGER bend BEFORE INSERT ON person FOR EACH ROW EXECUTE FUNCTION bend()", named(address))
    with pytest.raises(MoveFailed, match="table person: 2 rows in both, but not the same") as trouble:
        to_database(lived.folder, address, MONDAY)
    assert "stays where it was" in trouble.value.remedy and database_of(lived.folder) == ""
    lived.everything_is_there()
    server.run("DROP TRIGGER bend ON person", named(address))
    to_database(lived.folder, address, MONDAY)
    lived.everything_is_there()


def test_a_full_disk_of_the_server_changes_nothing(server: Cluster, lived: Lived) -> None:
    """Stood in for by an error of that class (SQLSTATE 53100, disk_full), which the database raises at the third movement."""
    address = server.database()
    House.open(lived.folder.with_name("empty"), database=address).close()
    server.run("DELETE FROM meta WHERE key = 'epoch'", named(address))
    server.run("CREATE FUNCTION full_disk() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RAISE disk_full; END'", named(address))
    server.run("CREATE TRIGGER full_disk BEFORE INSERT ON movement FOR EACH ROW EXECUTE FUNCTION full_disk()", named(address))
    with pytest.raises(DiskFull):
        to_database(lived.folder, address, MONDAY)
    assert database_of(lived.folder) == "" and server.run("SELECT COUNT(*) FROM person", named(address)) == [(0,)]
    lived.everything_is_there()
    server.run("DROP TRIGGER full_disk ON movement", named(address))
    to_database(lived.folder, address, MONDAY)
    lived.everything_is_there()


@on_linux
def test_a_full_disk_of_the_folder_changes_nothing(server: Cluster, lived: Lived) -> None:
    address = server.database()
    with full(os.getpid()), pytest.raises(DiskFull):
        to_database(lived.folder, address, MONDAY)
    assert database_of(lived.folder) == ""
    lived.everything_is_there()
    to_database(lived.folder, address, MONDAY)
    with full(os.getpid()), pytest.raises(DiskFull):
        to_file(lived.folder, MONDAY)
    assert database_of(lived.folder) == address and not (lived.folder / FILE_NAME).exists() and not list(lived.folder.glob("*.moving*"))
    lived.everything_is_there()


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        ("UPDATE balance SET on_hand = on_hand + 1 WHERE good = 'bar'", "on hand: bar is kept as 41, adds up to 40"),
        ("UPDATE operation SET hash = 'f' WHERE device <> 'house' AND seq = 1", "its entry 2 does not follow the one before it"),
        ("UPDATE device_state SET last_hash = 'f' WHERE id <> 'house'", "does not end where its state says"),
    ],
)
def test_damaged_records_are_not_moved(server: Cluster, lived: Lived, damage: str, said: str) -> None:
    with closing(sqlite3.connect(lived.folder / FILE_NAME)) as file, file:
        file.execute(damage)
    address = server.database()
    with pytest.raises(RecordsTrouble, match=said) as trouble:
        to_database(lived.folder, address, MONDAY)
    assert "honeyhold restore" in trouble.value.remedy and database_of(lived.folder) == "" and (lived.folder / FILE_NAME).exists()
    assert server.run("SELECT COUNT(*) FROM operation", named(address)) == [(0,)]


def test_a_file_that_is_none_is_not_moved(server: Cluster, lived: Lived, capsys: pytest.CaptureFixture[str]) -> None:
    (lived.folder / FILE_NAME).write_bytes((lived.folder / FILE_NAME).read_bytes()[:4096] + b"\xff" * 40_960)
    assert main(["move", "--to", server.database(), "--data", str(lived.folder)]) == 1
    assert "damaged" in capsys.readouterr().err and database_of(lived.folder) == ""


def test_a_place_that_is_taken_stays_as_it_is(server: Cluster, lived: Lived, tmp_path: Path) -> None:
    taken, strange, away = server.database(), server.database(), server.database()
    House.open(tmp_path / "other", database=taken).close()
    server.run("CREATE TABLE somebodys (id bigint)", named(strange))
    for address, words in ((taken, "There is a house in this database already"), (strange, "not Honeyhold's: somebodys")):
        with pytest.raises((NoSuchStore, RecordsTrouble), match=words):
            to_database(lived.folder, address, MONDAY)
    with pytest.raises(RecordsTrouble, match="does not answer"):
        to_database(lived.folder, server.address("nowhere"), MONDAY)
    with pytest.raises(NoSuchStore, match="no address"):
        to_database(lived.folder, "mysql://here/house", MONDAY)
    assert server.run("SELECT COUNT(*) FROM operation", named(taken)) == [(0,)]
    lived.everything_is_there()
    to_database(lived.folder, away, MONDAY)
    with pytest.raises(NoSuchStore, match="in a database already"):
        to_database(lived.folder, server.database(), MONDAY)
    (lived.folder / FILE_NAME).write_bytes(b"somebody's")
    with pytest.raises(NoSuchStore, match="not of this move"):
        to_file(lived.folder, MONDAY)
    assert (lived.folder / FILE_NAME).read_bytes() == b"somebody's"
    lived.everything_is_there()


def test_what_going_back_would_mean_is_told_of_the_place_that_was_named(
    server: Cluster, lived: Lived, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    house = lived.opened()
    backup = house.backup()
    house.close()
    empty, taken = server.database(), server.database()
    there = House.open(tmp_path / "there", database=taken)
    for number in range(3):
        there.write("set_house", [{"table": "setting", "id": "name", "value": f"{number}"}])
    there.close()
    for folder, address, more in ((tmp_path / "new", empty, 0), (tmp_path / "new", taken, 0), (tmp_path / "there", taken, 0)):
        assert main(["restore", str(backup), "--dry-run", "--data", str(folder), "--database", address]) == 0
        assert f"The records here hold {more} more" in capsys.readouterr().out
    assert server.run("SELECT tablename FROM pg_tables WHERE schemaname = 'public'", named(empty)) == [] and not (tmp_path / "new").exists()
    for number in range(lived.position):
        house = House.open(tmp_path / "there", now=Watch())
        house.write("set_house", [{"table": "setting", "id": "name", "value": f"again {number}"}])
        house.close()
    assert main(["restore", str(backup), "--dry-run", "--data", str(tmp_path / "new"), "--database", taken]) == 0
    assert "The records here hold 3 more" in capsys.readouterr().out
    assert main(["restore", str(backup), "--dry-run", "--data", str(lived.folder), "--database", taken]) == 1
    assert "honeyhold move --to" in capsys.readouterr().err
    house = House.open(tmp_path / "there", now=Watch())
    assert main(["restore", str(backup), "--dry-run", "--data", str(house.folder), "--database", empty]) == 1
    assert "another database than this one" in capsys.readouterr().err
    house.close()
