"""A connection to the file is used again, and only one on which nothing is under way."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import ExitStack, closing
from pathlib import Path
from typing import Any

from honeyhold.records.kept_connections import SPARE_MOST, is_at_rest
from honeyhold.records.models import Setting
from honeyhold.records.sqlite_records import EXPECTED, SqliteRecords


def taken(records: SqliteRecords) -> Any:
    """The connection that a read gets."""
    with records.read():
        return records.database.connection()


def is_closed(connection: sqlite3.Connection) -> bool:
    try:
        connection.execute("SELECT 1")
    except sqlite3.ProgrammingError:
        return True
    return False


def in_a_thread(work: Any) -> Any:
    """What it gives where another thread does it."""
    given: list[Any] = []
    thread = threading.Thread(target=lambda: given.append(work()))
    thread.start()
    thread.join()
    return given[0]


def test_the_next_one_has_the_same_also_in_another_thread(records: SqliteRecords) -> None:
    first = taken(records)
    assert taken(records) is first
    assert in_a_thread(lambda: taken(records)) is first


def test_two_at_once_have_one_each_and_no_more_than_a_few_are_kept(records: SqliteRecords) -> None:
    started, over = threading.Barrier(SPARE_MOST + 3), threading.Barrier(SPARE_MOST + 3)
    had: list[Any] = []

    def reads() -> None:
        with records.read():
            had.append(records.database.connection())
            started.wait()
            over.wait()

    with ExitStack() as all_of_them:
        for _ in range(SPARE_MOST + 2):
            thread = threading.Thread(target=reads)
            thread.start()
            all_of_them.callback(thread.join)
        started.wait()
        assert len({id(one) for one in had}) == SPARE_MOST + 2
        over.wait()
    assert sum(is_closed(one) for one in had) == 2


def test_one_that_comes_again_has_the_settings_that_durability_needs(records: SqliteRecords) -> None:
    for _ in range(2):
        with records.read():
            assert {name: records.sql(f"PRAGMA {name}").fetchone()[0] for name in EXPECTED} == EXPECTED


def test_who_broke_off_while_rows_were_read_has_nobody_see_the_records_of_then(records: SqliteRecords) -> None:
    with records.write():
        records.run(Setting.insert_many([{"id": f"{number}", "value": number} for number in range(500)]))
    with records.read():
        left, half_read = records.database.connection(), records.sql("SELECT id FROM setting")
        half_read.fetchone()
    with records.write():
        records.run(Setting.insert(id="later", value=1))
        assert records.database.connection() is not left
    with records.read():
        assert records.row(Setting, "later") == {"id": "later", "value": 1}
    assert is_closed(left)


def test_what_is_under_way_on_one_is_told(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "one.db", isolation_level=None)) as connection:
        connection.execute("CREATE TABLE one (a)")
        connection.executemany("INSERT INTO one VALUES (?)", [(number,) for number in range(500)])
        assert is_at_rest(connection) is True
        rows = connection.execute("SELECT a FROM one")
        rows.fetchone()
        assert is_at_rest(connection) is False
        rows.close()
        assert is_at_rest(connection)
        connection.execute("BEGIN")
        assert is_at_rest(connection) is False
        connection.execute("ROLLBACK")
        assert is_at_rest(connection)


def test_with_the_records_all_are_closed(records: SqliteRecords) -> None:
    kept = taken(records)
    with records.read():
        used = records.database.connection()
        in_a_thread(records.close)
        assert not is_closed(used), "it is still its reader's"
    assert kept is used
    assert is_closed(used), "nobody keeps it once the records are let go"
    other = SqliteRecords(records.path)
    kept = taken(other)
    other.close()
    assert is_closed(kept)
