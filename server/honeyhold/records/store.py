"""What is asked of the records, whatever keeps them: `Records.read()`, `Records.view()` and `Records.write()` are the one way in.

`SqliteRecords` keeps a house in one file, which is what a shed has; `PostgresqlRecords` in a database of a server. All in which the two
differ stands in these two modules. Everybody else writes a statement once, in what both read: `?` for a value, `ON CONFLICT` with the
table's name before a column of its own, `NOT settled` for a yes or no, no function that one of them lacks.
"""

from __future__ import annotations

import threading
from abc import ABC, abstractmethod
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any, ClassVar, Protocol

from peewee import SQL, Database, Model, ModelSelect, OperationalError, Query

from honeyhold.records import prepared_statements
from honeyhold.records.errors import DiskFull, RecordsTrouble
from honeyhold.records.models import Row, shared_fields


class Found(Protocol):
    """What a statement answers."""

    def fetchone(self) -> Any:
        """The next row, or None."""

    def fetchall(self) -> list[Any]:
        """All rows that are left."""

    def __iter__(self) -> Iterator[Any]:
        """Row by row."""


class Records(ABC):
    """The records of one house. Threads share it; each has its own connection inside `read()`, `view()` or `write()`."""

    database: Database
    takes_no_more: ClassVar[tuple[type[Exception], ...]] = (OperationalError,)
    """As what a full disk comes out of a write."""

    def __init__(self) -> None:
        # Two writers would wait in the database for each other, a connection each; a lock hands over in a millisecond.
        self._writing = threading.RLock()

    @abstractmethod
    def close(self) -> None:
        """Lets go of the records; other threads' connections are theirs to close."""

    @contextmanager
    def read(self) -> Iterator[None]:
        """A connection for this thread, let go at the end; nested calls share the outer one."""
        outermost = self.database.is_closed()
        if outermost:
            self._open()
        try:
            yield
        finally:
            if outermost:
                self.database.close()

    def _open(self) -> None:
        """A connection for this thread, which has none."""
        self.database.connect()

    @contextmanager
    def view(self) -> Iterator[None]:
        """One consistent look: every statement inside sees the records as they were at the first of them."""
        with self.read(), self._looking():
            yield

    @contextmanager
    def write(self) -> Iterator[None]:
        """The only place where a write begins and ends: one at a time in a house, committed or rolled back whole.

        Raises `DiskFull` when the disk takes no more. Not nested: whoever is inside uses `savepoint()`.
        """
        with self._writing, self.read():
            if self.database.in_transaction():
                raise RecordsTrouble("A write was begun inside another write.", "This is a mistake in Honeyhold.")
            try:
                with self._alone():
                    yield
            except self.takes_no_more as trouble:
                if self.is_full(trouble):
                    raise DiskFull from trouble
                raise

    @abstractmethod
    def _looking(self) -> AbstractContextManager[Any]:
        """A transaction that only reads."""

    @abstractmethod
    def _alone(self) -> AbstractContextManager[Any]:
        """A transaction that nobody else in this house writes beside, in this process or in another."""

    @abstractmethod
    def is_full(self, trouble: BaseException | None) -> bool:
        """Whether a full disk is behind an error."""

    @contextmanager
    def savepoint(self) -> Iterator[None]:
        """Inside a write: this much lands whole or not at all."""
        self.sql("SAVEPOINT entry")  # always the same name, so that it is read once; the innermost is meant
        try:
            yield
        except BaseException:
            self.sql("ROLLBACK TO entry")
            self.sql("RELEASE entry")
            raise
        self.sql("RELEASE entry")

    def run(self, query: Query) -> Any:
        """Carries out any Peewee query on this house's records."""
        return query.bind(self.database).execute()

    def dicts(self, query: ModelSelect[Any]) -> list[dict[str, Any]]:
        """The rows of a selection as dictionaries."""
        return list(query.dicts().bind(self.database))

    def first(self, query: ModelSelect[Any]) -> dict[str, Any] | None:
        """The first row of a selection, or None."""
        found = self.dicts(query.limit(1))
        return found[0] if found else None

    @abstractmethod
    def sql(self, text: str, *values: Any) -> Found:
        """One statement as it is written. For what every entry needs: Peewee takes longer to write it than a database to do it."""

    def each_row(self, text: str) -> Iterator[tuple[Any, ...]]:
        """The rows of a selection one after the other, so that years of entries never lie in memory whole. Inside a look."""
        yield from self.sql(text)

    def row(self, model: type[Model], row_id: str) -> dict[str, Any] | None:
        """One record with all its columns, the house's own included, or None."""
        found = self.sql(prepared_statements.one_row(model), row_id).fetchone()
        return prepared_statements.as_record(model, found) if found else None

    def rows_of(self, model: type[Model], name: str, value: str) -> list[dict[str, Any]]:
        """The records whose field `name` has this value, with all their columns."""
        found = self.sql(prepared_statements.rows_of(model, name), value).fetchall()
        return [prepared_statements.as_record(model, row) for row in found]

    def rows_where(self, model: type[Model], condition: str, *values: Any) -> list[dict[str, Any]]:
        """The records that meet a condition as it is written, its order behind it, with all their columns."""
        found = self.sql(prepared_statements.rows_where(model, condition), *values).fetchall()
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

    def shared_where(self, table: str, model: type[Row], condition: str, *values: Any) -> list[dict[str, Any]]:
        """Of the records as they travel, those that meet a condition as it is written; by id."""
        names = [field.name for field in shared_fields(model)]
        found = self.rows_where(model, f'{condition} ORDER BY "id"', *values)
        return [{"table": table, **{name: row[name] for name in names}} for row in found]

    def has(self, model: type[Model], condition: Any) -> bool:
        """Whether any record meets the condition."""
        return self.first(model.select().where(condition)) is not None

    def meta(self, key: str, otherwise: str = "") -> str:
        """One of the house's own few values."""
        found = self.sql("SELECT value FROM meta WHERE key = ?", key).fetchone()
        return str(found[0]) if found else otherwise

    def set_meta(self, key: str, value: str) -> None:
        """Keeps one of the house's own few values; inside a write."""
        self.sql("INSERT INTO meta (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value", key, value)

    @abstractmethod
    def one_of(self, ids: list[str]) -> tuple[str, Any]:
        """Many ids as one value of a statement: what stands behind `IN`, and that value."""

    def these(self, ids: list[str]) -> SQL:
        """The same for a query of Peewee."""
        text, value = self.one_of(ids)
        return SQL(text.replace("?", self.database.param), [value])

    @abstractmethod
    def whole_at(self, column: str, *places: int) -> SQL:
        """A whole number inside a column of JSON, by the places of nested lists; nothing where there is none."""

    @abstractmethod
    def history(self) -> str:
        """Which history these records go on with; another one after they were put back behind the house's back. Inside a read."""

    def keep_to_history(self) -> None:  # noqa: B027 - a file has one history
        """A house has begun on these records: from now on no write lands in others that come in their place."""

    @abstractmethod
    def copy_to(self, target: Path) -> None:
        """A copy of the whole records in one file as of now, while others go on writing. Raises `DiskFull`, `RecordsTrouble`."""

    @abstractmethod
    def size_bytes(self) -> int:
        """How much room the records take on the disk, their log with them."""

    @abstractmethod
    def faults(self) -> list[str]:
        """What the database itself finds damaged, or pointing nowhere, in words."""
