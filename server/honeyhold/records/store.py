"""One SQLite file, one way in: `Records.read()` and `Records.write()`."""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, Final

from peewee import Model, ModelSelect, OperationalError, Query, SqliteDatabase

from honeyhold.records import prepared_statements
from honeyhold.records.errors import DiskFull, RecordsTrouble
from honeyhold.records.migrations.steps import move_forward, schema_version, steps
from honeyhold.records.models import MetaValue, Row, shared_fields

PRAGMAS = {"journal_mode": "wal", "synchronous": "full", "foreign_keys": "on", "busy_timeout": 10_000, "temp_store": "memory"}
EXPECTED = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 10_000, "temp_store": 2}
"""What SQLite must answer once PRAGMAS are set: a promise is only told after it is on the disk, and a read needs no room there."""

ONE_PROCESS: Final = "?vfs=unix-excl" if os.name == "posix" else ""
"""One process holds the records (`lock.py`), so the index of the write-ahead log lies in its memory: as a file mapped into memory, which is
what SQLite takes otherwise, a full disk ends reads with an error and on some file systems the process with SIGBUS."""

TAKES_NO_MORE: Final = frozenset(
    {"SQLITE_FULL", "SQLITE_IOERR_WRITE", "SQLITE_IOERR_FSYNC", "SQLITE_IOERR_DIR_FSYNC", "SQLITE_IOERR_TRUNCATE"}
)
"""How SQLite says that the disk took nothing: full, over a quota, or failing."""


class Records:
    """The records of one house. Threads share it; each has its own connection inside `read()` or `write()`."""

    def __init__(self, path: Path, before_a_step: Path | None = None) -> None:
        """Opens or makes the file, moves it to this version's schema, checks the settings that durability hangs on.

        Before an older file is moved a copy of it is put into the folder `before_a_step`, where one is given: the way back to the version
        before. Raises `NewerRecords`, `RecordsTrouble`.
        """
        self.path = path
        self._address = path.absolute().as_uri() + ONE_PROCESS
        self.database = SqliteDatabase(self._address, uri=True, pragmas=PRAGMAS)
        self._anchor = sqlite3.connect(self._address, uri=True, check_same_thread=False)
        # Two writers would wait in SQLite's back-off for up to half a second; a lock hands over in a millisecond.
        self._writing = threading.RLock()
        try:
            self._begin(before_a_step)
        except BaseException:
            self.close()
            raise

    def _begin(self, before_a_step: Path | None) -> None:
        with self.read():
            self._assert_pragmas()
            self._assert_whole()
        # With the last connection SQLite puts the log away, and the next reader needs room for a new one: so one is kept open.
        self._anchor.execute("SELECT 1 FROM sqlite_master").fetchall()
        with self._writing, self.read():
            older = schema_version(self.database)
            if before_a_step is not None and 0 < older < steps()[-1][0]:
                before_a_step.mkdir(mode=0o700, parents=True, exist_ok=True)
                self.copy_to(before_a_step / f"before-schema-{steps()[-1][0]}-from-{older}.db")
            move_forward(self.database)

    def close(self) -> None:
        """Lets go of the file; other threads' connections are theirs to close."""
        self.database.close()
        self._anchor.close()

    @contextmanager
    def read(self) -> Iterator[None]:
        """A connection for this thread, closed at the end; nested calls share the outer one."""
        opened = self.database.connect(reuse_if_open=True)
        try:
            yield
        finally:
            if opened:
                self.database.close()

    @contextmanager
    def write(self) -> Iterator[None]:
        """The only place where a write begins and ends: lock, BEGIN IMMEDIATE, commit or roll back whole.

        Raises `DiskFull` when the disk takes no more. Not nested: whoever is inside uses `savepoint()`.
        """
        with self._writing, self.read():
            if self.database.in_transaction():
                raise RecordsTrouble("A write was begun inside another write.", "This is a mistake in Honeyhold.")
            try:
                with self.database.atomic("IMMEDIATE"):
                    yield
            except (OperationalError, sqlite3.OperationalError) as trouble:
                if _is_full(trouble):
                    raise DiskFull from trouble
                raise

    @contextmanager
    def savepoint(self) -> Iterator[None]:
        """Inside a write: this much lands whole or not at all."""
        self.sql("SAVEPOINT entry")  # always the same name, so that SQLite reads the statement once; the innermost is meant
        try:
            yield
        except BaseException:
            self.sql("ROLLBACK TO entry")
            self.sql("RELEASE entry")
            raise
        self.sql("RELEASE entry")

    def run(self, query: Query) -> Any:
        """Carries out any Peewee query on this house's file."""
        return query.bind(self.database).execute()

    def dicts(self, query: ModelSelect[Any]) -> list[dict[str, Any]]:
        """The rows of a selection as dictionaries."""
        return list(query.dicts().bind(self.database))

    def first(self, query: ModelSelect[Any]) -> dict[str, Any] | None:
        """The first row of a selection, or None."""
        found = self.dicts(query.limit(1))
        return found[0] if found else None

    def sql(self, text: str, *values: Any) -> sqlite3.Cursor:
        """One statement as it is written. For what every entry needs: Peewee takes longer to write it than SQLite to do it."""
        cursor: sqlite3.Cursor = self.database.execute_sql(text, values)
        return cursor

    def row(self, model: type[Model], row_id: str) -> dict[str, Any] | None:
        """One record with all its columns, the house's own included, or None."""
        found = self.sql(prepared_statements.one_row(model), row_id).fetchone()
        return prepared_statements.as_record(model, found) if found else None

    def rows_of(self, model: type[Model], name: str, value: str) -> list[dict[str, Any]]:
        """The records whose field `name` has this value, with all their columns."""
        found = self.sql(prepared_statements.rows_of(model, name), value).fetchall()
        return [prepared_statements.as_record(model, row) for row in found]

    def there(self, model: type[Model], row_id: str) -> bool:
        """Whether there is a record of this id."""
        return self.sql(prepared_statements.is_there(model), row_id).fetchone() is not None

    def add(self, model: type[Model], values: dict[str, Any]) -> None:
        """A new record; what is not given gets the model's defaults."""
        text, found = prepared_statements.insert(model, values)
        self.sql(text, *found)

    def change(self, model: type[Model], row_id: str, values: dict[str, Any]) -> None:
        """New values of some fields of one record."""
        text, found = prepared_statements.update(model, values)
        self.sql(text, *found, row_id)

    def shared_rows(self, table: str, model: type[Row], *where: Any) -> list[dict[str, Any]]:
        """Records as they travel: `{"table", "id", fields...}`, without the house's own columns."""
        if not where:
            names = [field.name for field in shared_fields(model)]
            found = (prepared_statements.as_record(model, row) for row in self.sql(prepared_statements.all_rows(model)).fetchall())
            return [{"table": table, **{name: row[name] for name in names}} for row in found]
        query = model.select(*shared_fields(model)).order_by(model.id)
        for condition in where:
            query = query.where(condition)
        return [{"table": table, **row} for row in self.dicts(query)]

    def has(self, model: type[Model], condition: Any) -> bool:
        """Whether any record meets the condition."""
        return self.first(model.select().where(condition)) is not None

    def meta(self, key: str, otherwise: str = "") -> str:
        """One of the house's own few values."""
        found = self.sql("SELECT value FROM meta WHERE key = ?", key).fetchone()
        return str(found[0]) if found else otherwise

    def set_meta(self, key: str, value: str) -> None:
        """Keeps one of the house's own few values; inside a write."""
        self.run(MetaValue.insert(key=key, value=value).on_conflict_replace())

    def copy_to(self, target: Path) -> None:
        """A copy of the whole file as of now, while others go on writing. Raises `DiskFull`."""
        with closing(sqlite3.connect(self._address, uri=True)) as source, closing(sqlite3.connect(target)) as copy:
            try:
                source.backup(copy)
            except sqlite3.OperationalError as trouble:
                raise (DiskFull() if _is_full(trouble) else trouble) from trouble

    def _assert_pragmas(self) -> None:
        for name, expected in EXPECTED.items():
            found = self.database.execute_sql(f"PRAGMA {name}").fetchone()[0]
            if found != expected:
                raise RecordsTrouble(
                    f"SQLite answers {name} = {found!r} where {expected!r} is needed: what is promised might not be kept.",
                    "Put the data folder on an ordinary local disk.",
                )

    def _assert_whole(self) -> None:
        found = self.database.execute_sql("PRAGMA quick_check(1)").fetchone()[0]
        if found != "ok":
            raise RecordsTrouble(f"The file {self.path.name} is damaged: {found}.", "Restore it: honeyhold restore BACKUP.")


def _is_full(trouble: BaseException | None) -> bool:
    """Whether a full disk is behind an error: SQLite then rolls back by itself, and rolling back again fails on top."""
    while trouble is not None:
        if getattr(trouble, "sqlite_errorname", "") in TAKES_NO_MORE or "disk is full" in str(trouble):
            return True
        trouble = trouble.__cause__ or trouble.__context__
    return False
