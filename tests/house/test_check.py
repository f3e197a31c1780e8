"""`check` adds every running sum up again: each of them put wrong is named, and so is a file that is damaged or points nowhere."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from demo_seed import play
from honeyhold.house.house import House
from honeyhold.house.where_kept import FILE_NAME, database_of, opened
from honeyhold.records.check import CHECKS, IN_THE_QUEUE, disagreements
from replication.houses import copied

WRONG = {
    "on hand": "UPDATE balance SET on_hand = on_hand + 1 WHERE good = 'bar'",
    "promised": "UPDATE balance SET promised = promised + 1 WHERE good = 'bar'",
    "out with devices": "UPDATE balance SET out = out + 1 WHERE good = 'bar'",
    "on hand by lot": "INSERT INTO lot_balance (good, lot, units) VALUES ('bar', 'W99-1', 7)",
    "units of a lot": "UPDATE lot_balance SET units = units + 1 WHERE lot <> '' AND good = 'bar'",
    "sure of a line": "UPDATE line SET sure = sure + 1",
    "handed of a line": "UPDATE line SET handed = handed + 1",
    "waiting of a line": "UPDATE line SET waits = waits + 1",
    "places of a line in the queue": "UPDATE line SET queue = '[[1,5]]'",
    "held by a closed order": "UPDATE line SET sure = 1 WHERE \"order\" IN (SELECT id FROM \"order\" WHERE state = 'gone')",
    "paid of an order": 'UPDATE "order" SET paid_cents = paid_cents + 1',
    "taken off an order": 'UPDATE "order" SET adjusted_cents = adjusted_cents + 1',
    "last entry of a device": "UPDATE device_state SET last_seq = last_seq + 1",
    "entries of a device without a hole": "DELETE FROM operation WHERE seq = 2",
    "positions without a hole": "DELETE FROM operation WHERE position = 3",
}  # fmt: skip


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The records of the demo's week, closed."""
    folder = tmp_path_factory.mktemp("season") / "data"
    house = House.open(folder)
    house.make_demo()
    house.clock.set(datetime(2027, 7, 24, 15, tzinfo=UTC))
    play(house)
    house.close()
    return folder


@pytest.fixture
def folder(season: Path, tmp_path: Path) -> Path:
    """A copy of them to put wrong."""
    return copied(season, tmp_path / "data")


def said(folder: Path) -> list[str]:
    """What `check` says of a folder's records."""
    with closing(opened(folder)) as records:
        return disagreements(records)


def put_wrong(folder: Path, sql: str) -> None:
    """One statement behind the program's back, which must have changed something."""
    if database_of(folder):
        with closing(opened(folder)) as records, records.write():
            changed = records.database.execute_sql(sql).rowcount
    else:
        with closing(sqlite3.connect(folder / FILE_NAME)) as base, base:
            changed = base.execute(sql).rowcount
    assert changed > 0, f"nothing there to put wrong: {sql}"


def test_a_week_that_was_played_agrees(folder: Path) -> None:
    assert said(folder) == []


def test_every_sum_that_is_checked_is_tried_here() -> None:
    assert set(WRONG) == {*CHECKS, IN_THE_QUEUE}


@pytest.mark.parametrize("name", WRONG)
def test_a_sum_that_was_put_wrong_is_named(folder: Path, name: str) -> None:
    put_wrong(folder, WRONG[name])
    assert any(words.startswith(f"{name}: ") for words in said(folder))


@pytest.mark.of_a_file
def test_a_row_that_points_nowhere_is_named(folder: Path) -> None:
    put_wrong(folder, "UPDATE movement SET good = 'nothing'")
    assert any(words.startswith("points nowhere: ") for words in said(folder))


@pytest.mark.of_a_file
def test_a_damaged_file_is_named(folder: Path) -> None:
    """An index whose entries are not those of its table: every sum agrees, and the quick look at the start finds nothing."""
    with closing(sqlite3.connect(folder / FILE_NAME)) as base:
        base.execute("CREATE INDEX told_wrong ON movement (good)")
        base.execute("PRAGMA writable_schema = ON")
        base.execute("UPDATE sqlite_master SET sql = 'CREATE INDEX told_wrong ON movement (units)' WHERE name = 'told_wrong'")
        base.commit()
    assert [words for words in said(folder) if words.startswith("the file: ")]
