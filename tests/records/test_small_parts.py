"""What needs no database to be asked: settings that are refused, troubles told in words, two places compared, what backups cover."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from honeyhold.records.backup import Page, covered_by, fresh_folder, put_ready, write_page
from honeyhold.records.comparing import Held, differences
from honeyhold.records.errors import DiskFull, RecordsTrouble, first_line, full_or_in_words
from honeyhold.records.postgresql_records import assert_settings, parts_of, patience_with, same_place, without_secrets

GOOD = {
    "SHOW server_version_num": "150000", "SELECT pg_is_in_recovery()": False, "SHOW server_encoding": "UTF8", "SHOW fsync": "on",
    "SHOW full_page_writes": "on", "SHOW synchronous_commit": "on",
}  # fmt: skip


@pytest.mark.parametrize("more", [{}, {"SHOW server_version_num": "170002"}, {"SHOW synchronous_commit": "local"}])
def test_a_server_that_keeps_what_it_commits_is_taken(more: dict[str, str]) -> None:
    assert_settings({**GOOD, **more}.__getitem__)


@pytest.mark.parametrize(
    ("asked", "answer", "said"),
    [
        ("SHOW server_version_num", "149999", "is version 14; 15 or newer"), ("SELECT pg_is_in_recovery()", True, "takes no writes"),
        ("SHOW server_encoding", "SQL_ASCII", "answers server_encoding = SQL_ASCII: "), ("SHOW fsync", "off", "answers fsync = off: "),
        ("SHOW full_page_writes", "off", "answers full_page_writes = off: "),
        ("SHOW synchronous_commit", "off", "answers synchronous_commit = off: "),
    ],
)  # fmt: skip
def test_a_server_that_may_lose_a_promise_is_refused_with_what_it_answers(asked: str, answer: Any, said: str) -> None:
    with pytest.raises(RecordsTrouble, match=said) as trouble:
        assert_settings({**GOOD, asked: answer}.__getitem__)
    assert trouble.value.remedy


HERE = "postgresql://keeper@db.example.org:5432/houses"


@pytest.mark.parametrize(
    ("other", "same"),
    [
        (HERE, True), (HERE.replace("keeper@", "somebody:else@"), True), (f"{HERE}?connect_timeout=3", True),
        (HERE.replace("db.", "other."), False), (HERE.replace("5432", "5433"), False), (HERE.replace("/houses", "/sheds"), False),
        (f"{HERE}?options=-csearch_path%3Dshed", False), (f"{HERE}?hostaddr=192.0.2.7", False), (f"{HERE}?service=shed", False),
    ],
)  # fmt: skip
def test_two_addresses_of_one_place_are_known_as_one(other: str, same: bool) -> None:
    assert same_place(HERE, other) is same_place(other, HERE) is same


@pytest.mark.parametrize(
    ("said", "noted"),
    [
        (HERE, HERE), (HERE.replace("keeper@", "keeper:secret@"), HERE), (f"{HERE}?password=secret", HERE),
        (f"{HERE}?sslmode=require&sslpassword=secret&connect_timeout=3", f"{HERE}?sslmode=require&connect_timeout=3"),
    ],
)  # fmt: skip
def test_only_the_secret_goes_out_of_an_address(said: str, noted: str) -> None:
    assert without_secrets(said) == noted


@pytest.mark.parametrize("address", ["postgresql://a@b@c/houses", "postgresql://db:54x/houses", "nonsense", "postgresql://db/a@b", ""])
def test_an_address_that_cannot_be_read_is_not_repeated(address: str) -> None:
    with pytest.raises(RecordsTrouble, match=r"^The address of the database cannot be read\.$"):
        parts_of(address)


def test_what_the_address_says_of_waiting_stands() -> None:
    waits = patience_with(HERE)
    assert waits["connect_timeout"] == 5 and set(waits) > {"keepalives_idle", "tcp_user_timeout"}
    assert patience_with(f"{HERE}?connect_timeout=30") == {name: value for name, value in waits.items() if name != "connect_timeout"}


def of_sqlite(name: str) -> sqlite3.OperationalError:
    trouble = sqlite3.OperationalError("something")
    trouble.sqlite_errorname = name
    return trouble


def because(trouble: Exception, cause: Exception | None = None, context: Exception | None = None) -> Exception:
    trouble.__cause__, trouble.__context__ = cause, context
    return trouble


@pytest.mark.parametrize(
    ("trouble", "full"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), True), (OSError(errno.EFBIG, "File too large"), True),
        (OSError(errno.EACCES, "Permission denied"), False), (of_sqlite("SQLITE_FULL"), True), (of_sqlite("SQLITE_IOERR_WRITE"), True),
        (of_sqlite("SQLITE_CORRUPT"), False), (sqlite3.OperationalError("database or disk is full"), True),
        (because(ValueError("x"), cause=OSError(errno.ENOSPC, "")), True), (because(ValueError("x"), None, of_sqlite("SQLITE_FULL")), True),
        (because(ValueError("x"), cause=KeyError("y")), False),
    ],
)  # fmt: skip
def test_a_disk_that_takes_nothing_is_told_from_every_other_trouble(trouble: Exception, full: bool) -> None:
    found = full_or_in_words(trouble, "The move failed", "Try again.")
    assert isinstance(found, DiskFull if full else RecordsTrouble) and found.remedy
    if not full:
        assert str(found) == f"The move failed: {first_line(trouble)}." and found.remedy == "Try again."


def test_of_what_a_server_says_only_the_first_line_is_told() -> None:
    """The second names the row, and with it a person."""
    assert first_line(ValueError(" duplicate key\nDETAIL: Key (name)=(Orla)\n")) == "duplicate key" and first_line(KeyError()) == "KeyError"


HELD = Held({"order": (3, 700), "person": (1, 9)}, {"d1": (4, "abc")}, [("d1", "Phone")], 12, "e1", [])
CHANGED: list[tuple[Callable[[Held], Held], str]] = [
    (lambda held: replace(held, tables={**held.tables, "order": (2, 700)}), "table order: 3 rows in the old place, 2 in the new one"),
    (lambda held: replace(held, tables={"order": (3, 700)}), "table person: 1 rows in the old place, 0 in the new one"),
    (lambda held: replace(held, tables={**held.tables, "more": (1, 1)}), "table more: 0 rows in the old place, 1 in the new one"),
    (lambda held: replace(held, tables={**held.tables, "order": (3, 701)}), "table order: 3 rows in both, but not the same"),
    (lambda held: replace(held, chains={"d1": (4, "abd")}), "the chain of device d1 is another one"),
    (lambda held: replace(held, chains={}), "the chain of device d1 is another one"),
    (lambda held: replace(held, position=11), "last position: 12 in the old place, 11 in the new one"),
    (lambda held: replace(held, epoch="e2"), "epoch: e1 in the old place, e2 in the new one"),
    (lambda held: replace(held, devices=[("d1", "Tablet")]), "the list of devices is another one"),
    (lambda held: replace(held, wrong=["bar: 1"]), "wrong in the new place: bar: 1"),
]


@pytest.mark.parametrize(("change", "said"), CHANGED)
def test_each_way_in_which_a_new_place_is_another_is_told(change: Callable[[Held], Held], said: str) -> None:
    assert differences(HELD, HELD) == [] and differences(HELD, change(HELD)) == [said]
    assert "2 tables, 4 rows, 1 devices' chains" in HELD.told() and "(12)" in HELD.told()


def page(folder: Path, name: str, position: int, epoch: str) -> None:
    (folder / name).touch()
    write_page(folder / name, Page(position, 0, "2026-07-20T12:00:00+00:00", "", epoch))


@pytest.mark.parametrize(
    ("pages", "covered"),
    [
        ([], 0), ([(9, "now")], 9), ([(9, "now"), (7, "now"), (8, "now")], 7), ([(9, "now"), (12, "before")], 5), ([(3, "before")], 3),
        ([(9, "now"), (5, "before")], 5), ([(4, "now"), (12, "before")], 4),
    ],
)  # fmt: skip
def test_devices_may_forget_what_every_backup_holds_in_this_history(tmp_path: Path, pages: list[tuple[int, str]], covered: int) -> None:
    """The epoch began at entry 5: of what was backed up before it nothing beyond that counts."""
    for number, (position, epoch) in enumerate(pages):
        page(tmp_path, f"{number}.db", position, epoch)
    (tmp_path / "of an older version.db").touch()
    (tmp_path / "unreadable.db").touch()
    (tmp_path / "unreadable.db.json").write_text("{", "utf-8")
    assert covered_by(tmp_path, "now", 5) == covered


def test_what_cannot_be_made_ready_leaves_no_half_copy(tmp_path: Path) -> None:
    (tmp_path / "no.db").write_text("this is no backup of a house, however long it may be" * 20, "utf-8")
    with pytest.raises(sqlite3.DatabaseError):
        put_ready(tmp_path / "no.db", tmp_path / "ready.part", "e2", 1)
    assert not (tmp_path / "ready.part").exists()


def test_a_folder_that_is_there_is_never_taken_again(tmp_path: Path) -> None:
    assert [fresh_folder(tmp_path, "aside").name for _ in range(3)] == ["aside", "aside-2", "aside-3"]
