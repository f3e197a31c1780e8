"""One SQLite file, one way in: `Records.read()` and `Records.write()`."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

from peewee import Field, Model, ModelSelect, OperationalError, Query, SqliteDatabase

from honeyhold.records.errors import DiskFull, RecordsTrouble
from honeyhold.records.models import MetaValue, Row, shared_fields
from honeyhold.records.moves.steps import move_forward

PRAGMAS = {"journal_mode": "wal", "synchronous": "full", "foreign_keys": "on", "busy_timeout": 10_000}
EXPECTED = {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 10_000}
"""What SQLite must answer once PRAGMAS are set: a promise is only told after it is on the disk."""


class Records:
    """The records of one house. Threads share it; each has its own connection inside `read()` or `write()`."""

    def __init__(self, path: Path) -> None:
        """Opens or makes the file, moves it to this version's schema, checks the settings that durability hangs on."""
        self.path = path
        self.database = SqliteDatabase(str(path), pragmas=PRAGMAS)
        # Two writers would wait in SQLite's back-off for up to half a second; a lock hands over in a millisecond.
        self._writing = threading.RLock()
        with self.read():
            self._assert_pragmas()
            self._assert_whole()
        with self._writing, self.read():
            move_forward(self.database)

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
                    raise DiskFull("The house's disk is full: nothing was written.", "Make room, then try again.") from trouble
                raise

    @contextmanager
    def savepoint(self) -> Iterator[None]:
        """Inside a write: this much lands whole or not at all."""
        with self.database.savepoint():
            yield

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

    def row(self, model: type[Row], row_id: str) -> dict[str, Any] | None:
        """One record with all its columns, the house's own included, or None. Asked for most often, so its SQL is kept."""
        sql, fields = _one_row(model)
        found = self.database.execute_sql(sql, (row_id,)).fetchone()
        return {field.name: field.python_value(value) for field, value in zip(fields, found, strict=True)} if found else None

    def shared_rows(self, table: str, model: type[Row], *where: Any) -> list[dict[str, Any]]:
        """Records as they travel: `{"table", "id", fields...}`, without the house's own columns."""
        query = model.select(*shared_fields(model)).order_by(model.id)
        for condition in where:
            query = query.where(condition)
        return [{"table": table, **row} for row in self.dicts(query)]

    def has(self, model: type[Model], condition: Any) -> bool:
        """Whether any record meets the condition."""
        return self.first(model.select().where(condition)) is not None

    def meta(self, key: str, otherwise: str = "") -> str:
        """One of the house's own few values."""
        found = self.first(MetaValue.select().where(MetaValue.key == key))
        return str(found["value"]) if found else otherwise

    def set_meta(self, key: str, value: str) -> None:
        """Keeps one of the house's own few values; inside a write."""
        self.run(MetaValue.insert(key=key, value=value).on_conflict_replace())

    def copy_to(self, target: Path) -> None:
        """A copy of the whole file as of now, while others go on writing."""
        with sqlite3.connect(self.path) as source, sqlite3.connect(target) as copy:
            source.backup(copy)
        source.close()
        copy.close()

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


@cache
def _one_row(model: type[Row]) -> tuple[str, list[Field]]:
    fields = list(model._meta.sorted_fields)
    columns = ", ".join(f'"{field.column_name}"' for field in fields)
    return f'SELECT {columns} FROM "{model._meta.table_name}" WHERE "id" = ?', fields


def _is_full(trouble: BaseException | None) -> bool:
    """Whether a full disk is behind an error: SQLite then rolls back by itself, and rolling back again fails on top."""
    while trouble is not None:
        if "disk is full" in str(trouble):
            return True
        trouble = trouble.__cause__ or trouble.__context__
    return False
