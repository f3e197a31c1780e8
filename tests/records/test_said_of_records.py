"""What is said of records: sums that disagree, lots below zero, who holds them, which people are one, and what a page or a backup tells."""

from __future__ import annotations

import json
import os
import sqlite3
from contextlib import closing
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from honeyhold.records.backup import (
    FOLDERS_KNOWN,
    LEFT_OVER,
    OF_ONE_PLACE,
    Page,
    digest,
    page_of,
    position_of_backup,
    put_ready,
    read_page,
    remove,
    verified_copy,
    write_page,
)
from honeyhold.records.check import _unequal, lots_below_zero
from honeyhold.records.errors import NewerRecords, RecordsTrouble, SecondHouse
from honeyhold.records.lock import LockFile
from honeyhold.records.migrations.steps import steps
from honeyhold.records.models import Good, LotBalance, Person
from honeyhold.records.people import all_same, chain_of, first_of
from honeyhold.records.sqlite_records import SqliteRecords
from honeyhold.records.timelines import OlderServer, Place

NOW = datetime(2026, 7, 20, 14, 10, 3, 5, tzinfo=UTC)
STAMP = "20260720-141003-000005"


@pytest.mark.parametrize(
    ("unit", "lot", "units", "words"),
    [
        ("each", "W1", -3, "lot W1 of bar is 3 below zero: "), ("g", "W1", -1, "lot W1 of bar is 1 g below zero: "), ("g", "W1", 0, None),
        ("each", "", -3, None), ("each", "W1", 2, None),
    ],
)  # fmt: skip
def test_a_lot_from_which_more_left_than_came_is_told(records: SqliteRecords, unit: str, lot: str, units: int, words: str | None) -> None:
    """Of what lies there without a lot nobody knows more than of the whole."""
    with records.write():
        records.run(Good.insert(id="bar", name="bar", kind="wax", unit=unit, price_cents=300))
        records.run(LotBalance.insert(good="bar", lot=lot, units=units))
    assert lots_below_zero(records) == ([f"{words}more left it than came; count what is there of each lot"] if words else [])


def test_only_sums_that_disagree_are_named() -> None:
    assert _unequal("on hand", [("bar", 1, 2), ("jar", 3, 3), ("box", -1, 0)]) == [
        "on hand: bar is kept as 1, adds up to 2", "on hand: box is kept as -1, adds up to 0"
    ]  # fmt: skip


@pytest.mark.parametrize(("told", "said"), [("77\n", "process 77"), ("", "process unknown"), (None, "process unknown")])
def test_who_comes_second_is_told_who_holds_the_records(tmp_path: Path, told: str | None, said: str) -> None:
    first = LockFile(tmp_path / "lock")
    holder = tmp_path / "lock-holder"
    assert holder.read_text() == str(os.getpid())
    holder.unlink()
    if told is not None:
        holder.write_text(told)
    with pytest.raises(SecondHouse) as trouble:
        LockFile(tmp_path / "lock")
    assert str(trouble.value) == f"Another Honeyhold ({said}) already keeps the records in {tmp_path}."
    first.release()
    first.release()
    LockFile(tmp_path / "lock").release()


def test_a_disk_that_does_not_take_who_holds_them_lets_them_be_held_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "lock-holder").mkdir()
    held = LockFile(tmp_path / "lock")
    with pytest.raises(SecondHouse, match="process unknown"):
        LockFile(tmp_path / "lock")
    held.release()


@pytest.mark.parametrize(
    ("same_as", "chain", "everybody"),
    [
        ({"a": None, "b": None}, ["a"], {"a"}), ({"a": "b", "b": None}, ["a", "b"], {"a", "b"}),
        ({"a": "b", "b": "c", "c": None, "d": "c", "e": "d", "f": None}, ["a", "b", "c"], {"a", "b", "c", "d", "e"}),
        ({"a": None, "b": "a", "c": "b"}, ["a"], {"a", "b", "c"}), ({"a": "b", "b": "a"}, ["a", "b"], {"a", "b"}),
    ],
)  # fmt: skip
def test_who_is_the_same_as_whom(records: SqliteRecords, same_as: dict[str, str | None], chain: list[str], everybody: set[str]) -> None:
    """Nobody twice, whatever the rows say: two who are each the other come to an end."""
    with records.write():
        for one in same_as:
            records.run(Person.insert(id=one, name=one))
        for one, other in same_as.items():
            records.change(Person, one, {"same_as": other})
    with records.read():
        assert chain_of(records, "a") == chain and first_of(records, "a") == chain[-1]
        found = all_same(records, "a")
        assert found[0] == "a" and len(found) == len(set(found)) and set(found) == everybody
        assert chain_of(records, "nobody") == ["nobody"] == all_same(records, "nobody")


@pytest.mark.parametrize(
    ("history", "place"), [("", None), ("7", None), ("7/0000000A", Place("7", "0000000A")), ("7/0000000A/1/2", Place("7", "0000000A"))]
)
def test_where_records_are_is_read_out_of_their_history(history: str, place: Place | None) -> None:
    assert Place.of(history) == place


def test_how_a_server_that_was_left_is_taken_back_hangs_on_whether_there_are_notes(tmp_path: Path) -> None:
    words = "it is on timeline 10, and timeline 11, which came of it, was served from already."
    noted, only = OlderServer(Place("7", "0000000A"), "0000000B", tmp_path), OlderServer(Place("7", "0000000A"), "0000000B", None)
    assert str(noted).endswith(words) and str(only).endswith(words)
    assert f"remove {tmp_path}, and start Honeyhold again" in noted.remedy and "remove" not in only.remedy
    assert only.remedy.endswith("stop the other server, and start Honeyhold again.")


PAGE = Page(5, 2, NOW.isoformat(), "00", "e", {"d": {"name": "Phone"}}, {"authority.pem": "A"})


@pytest.mark.parametrize(
    ("change", "page"),
    [
        ({}, PAGE), ({"more": 1}, PAGE), ({"position": True}, None), ({"position": "5"}, None), ({"late": None}, None),
        ({"late": 2.0}, None),
        ({"sha256": ...}, None), ({"epoch": ...}, Page(5, 2, NOW.isoformat(), "00", "", PAGE.devices, PAGE.certificates)),
    ],
)  # fmt: skip
def test_a_page_is_read_as_far_as_it_can_be(tmp_path: Path, change: dict[str, Any], page: Page | None) -> None:
    said = {name: value for name, value in {**asdict(PAGE), **change}.items() if value is not ...}
    page_of(tmp_path / "one.db").write_text(json.dumps(said))
    assert read_page(tmp_path / "one.db") == page and read_page(tmp_path / "two.db") is None
    page_of(tmp_path / "one.db").write_text("[]")
    assert read_page(tmp_path / "one.db") is None


def test_a_backup_lies_with_its_page_under_the_moment_it_was_made_and_nothing_else_stays(records: SqliteRecords, tmp_path: Path) -> None:
    folder = tmp_path / "backups"
    folder.mkdir()
    for ending in LEFT_OVER:
        (folder / f"killed{ending}").touch()
    with records.write():
        records.set_meta("epoch", "e1")
    file, page = verified_copy(records, folder, NOW, "mine", {"d": {"id": "d"}}, {"a.pem": "A"})
    assert file == folder / f"mine-{STAMP}.db" and sorted(one.name for one in folder.iterdir()) == [file.name, f"{file.name}.json"]
    assert page == Page(0, 0, NOW.isoformat(), digest(file), "e1", {"d": {"id": "d"}}, {"a.pem": "A"}) == read_page(file)
    assert position_of_backup(file) == 0
    for left in ("-wal", "-shm"):
        file.with_name(file.name + left).touch()
    for _ in range(2):
        remove(file)
        assert not list(folder.iterdir())


@pytest.mark.parametrize("at", ["write_page", "digest", "onto_the_disk"])
def test_a_copy_that_fails_leaves_nothing(records: SqliteRecords, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: str) -> None:
    """Neither a half nor a page, nor a whole one without its page: nobody would count what that one lacks."""

    def fails(*_: Any) -> Any:
        raise OSError("the disk")

    monkeypatch.setattr(f"honeyhold.records.backup.{at}", fails)
    with pytest.raises(OSError, match="the disk"):
        verified_copy(records, tmp_path / "backups", NOW)
    assert not list((tmp_path / "backups").iterdir())


@pytest.mark.parametrize(("more", "newer"), [(-1, False), (0, False), (1, True), (None, False)])
def test_a_backup_of_a_newer_schema_is_refused(records: SqliteRecords, tmp_path: Path, more: int | None, newer: bool) -> None:
    """One that says none is of before there were any."""
    file, page = verified_copy(records, tmp_path / "backups", NOW)
    with closing(sqlite3.connect(file)) as copy, copy:
        if more is None:
            copy.execute("DELETE FROM meta WHERE key = 'schema_version'")
        else:
            copy.execute("UPDATE meta SET value = ? WHERE key = 'schema_version'", (str(steps()[-1][0] + more),))
        copy.execute("INSERT INTO meta VALUES ('one', 'more')")
    with pytest.raises(RecordsTrouble, match=f"^The backup {file.name} is not what was written: its digest differs\\.$"):
        position_of_backup(file)
    write_page(file, Page(page.position, page.late, page.made_at, digest(file)))
    if newer:
        with pytest.raises(NewerRecords, match=f"^{file.name} was made by a newer Honeyhold\\.$"):
            position_of_backup(file)
    else:
        assert position_of_backup(file) == 0
    with pytest.raises(RecordsTrouble, match=r"^no\.db is not a backup of a house: .*\.$"):
        position_of_backup(tmp_path / "no.db")


def test_what_is_made_ready_carries_its_epoch_and_nothing_that_a_place_says_of_itself(records: SqliteRecords, tmp_path: Path) -> None:
    before = {"epoch": "e1", "covered_to": "9", f"{FOLDERS_KNOWN}/disk": "yes", "backups": "kept", **dict.fromkeys(OF_ONE_PLACE, "said")}
    with records.write():
        for key, value in before.items():
            records.set_meta(key, value)
    file, _ = verified_copy(records, tmp_path / "backups", NOW)
    put_ready(file, tmp_path / "ready", "e2", 7)
    with closing(sqlite3.connect(tmp_path / "ready")) as ready:
        found = dict(ready.execute("SELECT key, value FROM meta WHERE key <> 'schema_version'"))
    assert found == {"epoch": "e2", "saved_to": "7", "restored_to": "7", "covered_to": "0", "backups": "kept"}
