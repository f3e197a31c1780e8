"""A house's records in one SQLite file: what a shed has, and a backup that is a file, too."""

from __future__ import annotations

import json
import os
import sqlite3
from contextlib import AbstractContextManager, closing
from pathlib import Path
from typing import Any, Final

from peewee import SQL, DatabaseError, OperationalError

from honeyhold.records.errors import SQLITE_NO_ROOM, DiskFull, RecordsTrouble
from honeyhold.records.kept_connections import KeptConnections
from honeyhold.records.migrations import steps as migrations
from honeyhold.records.store import Records

PRAGMAS = {"journal_mode": "wal", "synchronous": "full", "foreign_keys": "on", "busy_timeout": 10_000, "temp_store": "memory"}
EXPECTED = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 10_000, "temp_store": 2}
"""What SQLite must answer once PRAGMAS are set: a promise is only told after it is on the disk, and a read needs no room there."""

ONE_PROCESS: Final = "?vfs=unix-excl" if os.name == "posix" else ""
"""One process holds the records (`lock.py`), so the index of the write-ahead log lies in its memory: as a file mapped into memory, which is
what SQLite takes otherwise, a full disk ends reads with an error and on some file systems the process with SIGBUS."""


class SqliteRecords(Records):
    """The records of a house in a file of its own."""

    database: KeptConnections

    takes_no_more = (OperationalError, sqlite3.OperationalError)

    def __init__(self, path: Path, before_a_step: Path | None = None) -> None:
        """Opens or makes the file, moves it to this version's schema, checks the settings that durability hangs on.

        Before an older file is moved a copy of it is put into the folder `before_a_step`, where one is given: the way back to the version
        before. Raises `NewerRecords`, `DiskFull`, `RecordsTrouble`.
        """
        super().__init__()
        self.path = path
        self._address = path.absolute().as_uri() + ONE_PROCESS
        self.database = KeptConnections(self._address, pragmas=PRAGMAS)
        self._anchor = sqlite3.connect(self._address, uri=True, check_same_thread=False)
        try:
            self._begin(before_a_step)
        except (DatabaseError, sqlite3.DatabaseError) as trouble:
            self.close()
            if self.is_full(trouble):
                raise DiskFull from trouble
            if isinstance(trouble, (OperationalError, sqlite3.OperationalError)):
                raise  # it may be whole and cannot be had just now
            raise _damaged(path, str(trouble)) from trouble
        except BaseException:
            self.close()
            raise

    def _begin(self, before_a_step: Path | None) -> None:
        with self.read():
            self._assert_pragmas()
            self._assert_whole()
        # With the last connection SQLite puts the log away, and the next reader needs room for a new one: so one is kept open.
        self._anchor.execute("SELECT 1 FROM sqlite_master").fetchall()
        known = migrations.steps()
        with self._writing, self.read():
            older = migrations.schema_version(self)
            if before_a_step is not None and 0 < older < known[-1][0]:
                before_a_step.mkdir(mode=0o700, parents=True, exist_ok=True)
                self.copy_to(before_a_step / f"before-schema-{known[-1][0]}-from-{older}.db")
            migrations.move_forward(self, known)

    def close(self) -> None:
        """Lets go of the file; other threads' connections are theirs to close."""
        self.database.close()
        self.database.end()
        self._anchor.close()

    def _looking(self) -> AbstractContextManager[Any]:
        return self.database.atomic("DEFERRED")

    def _alone(self) -> AbstractContextManager[Any]:
        return self.database.atomic("IMMEDIATE")

    def is_full(self, trouble: BaseException | None) -> bool:
        """Whether a full disk is behind an error: SQLite then rolls back by itself, and rolling back again fails on top."""
        while trouble is not None:
            if getattr(trouble, "sqlite_errorname", "") in SQLITE_NO_ROOM or "disk is full" in str(trouble):
                return True
            trouble = trouble.__cause__ or trouble.__context__
        return False

    def sql(self, text: str, *values: Any) -> sqlite3.Cursor:
        """One statement as it is written."""
        cursor: sqlite3.Cursor = self.database.execute_sql(text, values)  # type: ignore[no-untyped-call]
        return cursor

    def one_of(self, ids: list[str]) -> tuple[str, str]:
        """Many ids as one value, a list of JSON: SQLite takes 32,766 values to a statement and writes each anew."""
        return "(SELECT value FROM json_each(?))", json.dumps(ids)

    def whole_at(self, column: str, *places: int) -> SQL:
        """A whole number inside a column of JSON."""
        return SQL(f"json_extract({column}, '$" + "".join(f"[{place}]" for place in places) + "')")

    def history(self) -> str:
        """The file's only one: a backup is put back by the house itself (`house/restoring.py`)."""
        return ""

    def copy_to(self, target: Path) -> None:
        """A copy of the whole file as of now, while others go on writing. Raises `DiskFull`."""
        with closing(sqlite3.connect(self._address, uri=True)) as source, closing(sqlite3.connect(target)) as copy:
            try:
                source.backup(copy)
            except sqlite3.OperationalError as trouble:
                raise (DiskFull() if self.is_full(trouble) else trouble) from trouble

    def size_bytes(self) -> int:
        """The file and the log beside it."""
        return sum(file.stat().st_size for file in self.path.parent.glob(f"{self.path.name}*"))

    def faults(self) -> list[str]:
        """Damaged pages, and rows that point nowhere."""
        whole = self.sql("PRAGMA integrity_check").fetchone()[0]
        damaged = [] if whole == "ok" else [f"the file: {whole}"]
        return damaged + [f"points nowhere: {row}" for row in self.sql("PRAGMA foreign_key_check").fetchall()]

    def _assert_pragmas(self) -> None:
        for name, expected in EXPECTED.items():
            found = self.sql(f"PRAGMA {name}").fetchone()[0]
            if found != expected:
                raise RecordsTrouble(
                    f"SQLite answers {name} = {found!r} where {expected!r} is needed: what is promised might not be kept.",
                    "Put the data folder on an ordinary local disk.",
                )

    def _assert_whole(self) -> None:
        found = self.sql("PRAGMA quick_check(1)").fetchone()[0]
        if found != "ok":
            raise _damaged(self.path, found)


def _damaged(path: Path, how: str) -> RecordsTrouble:
    return RecordsTrouble(f"The file {path.name} is damaged: {how}.", "Restore it: honeyhold restore BACKUP.")

