"""The records of a database carried whole into a file of SQLite, and back: what a backup of such a house is, and how a house moves in.

A file holds every table, row by row, with what counts the rows as they came; so it is the same backup that a house with a file makes, is
checked, sealed and thinned out like it, and goes back into a file or into a database. What a database says of its own history stays there.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, Final

import psycopg
from peewee import InterfaceError, OperationalError, PeeweeException

from honeyhold.records.errors import RecordsSilent, RecordsTrouble, first_line
from honeyhold.records.sqlite_records import SqliteRecords
from honeyhold.records.store import Records

HISTORY: Final = "history"
"""The one value that is a database's own (`PostgresqlRecords.history`)."""
COUNTED: Final = """
SELECT table_name, column_name FROM information_schema.columns WHERE table_schema = current_schema() AND is_identity = 'YES'"""


def into_file(records: Records, target: Path) -> None:
    """One look at a database as a new file of records, of the same schema: its own tables, whatever else stands in the schema.

    Raises `RecordsTrouble` where the database ends the look.
    """
    SqliteRecords(target).close()
    with _in_words("The database did not let its records be read"), records.view(), closing(sqlite3.connect(target)) as file, file:
        for table in _tables(file):
            names = _columns(records, table)
            file.execute(f'DELETE FROM "{table}"')  # the number of the schema, which comes again
            into = f'INSERT INTO "{table}" ({_listed(names)}) VALUES ({", ".join("?" for _ in names)})'
            in_order = " ORDER BY rowid" if "rowid" in names else ""
            file.executemany(into, records.each_row(f'SELECT {_listed(names)} FROM "{table}"{in_order}'))
        file.execute("DELETE FROM meta WHERE key = ?", (HISTORY,))


def out_of_file(file: Path, records: Records) -> None:
    """Everything in a database is taken from a file of records instead, whole or not at all; the file may be of an older schema.

    Raises what `SqliteRecords` raises of a file that is none, `DiskFull`, and `RecordsTrouble` where the database takes it not.
    """
    SqliteRecords(file).close()  # moved to the present schema
    with _in_words("The database does not take this backup"), closing(sqlite3.connect(file)) as source, records.write():
        history = records.meta(HISTORY)
        tables = _tables(source)
        records.sql("SET CONSTRAINTS ALL DEFERRED")
        records.sql(f"TRUNCATE {_listed(tables)} RESTART IDENTITY")
        for table in tables:
            try:
                _fill(source, records, table)
            except (psycopg.DataError, psycopg.IntegrityError) as trouble:
                words = f"The database does not take the table {table} of this backup: {first_line(trouble)}"
                raise RecordsTrouble(words, "Use another one.") from None
        for table, column in records.sql(COUNTED).fetchall():
            if table not in tables:
                continue
            last = records.sql(f'SELECT COALESCE(MAX({column}), 0) FROM "{table}"').fetchone()[0]
            records.sql(f"SELECT setval(pg_get_serial_sequence('\"{table}\"', '{column}'), {last + 1}, false)")
        records.set_meta(HISTORY, history)


def _fill(source: sqlite3.Connection, records: Records, table: str) -> None:
    names = _columns(records, table)
    yes_or_no = [place for place, one in enumerate(records.database.get_columns(table)) if one.data_type == "boolean"]
    with records.database.connection().cursor() as cursor, cursor.copy(f'COPY "{table}" ({_listed(names)}) FROM STDIN') as taken:
        for row in source.execute(f'SELECT {_listed(names)} FROM "{table}"'):
            values: list[Any] = [value.replace("\0", "\\x00") if isinstance(value, str) else value for value in row]
            for place in yes_or_no:
                values[place] = bool(values[place])
            taken.write_row(values)


@contextmanager
def _in_words(what: str) -> Iterator[None]:
    """What the database says against it; of a lock or a connection that was lost it is worth trying again."""
    try:
        yield
    except RecordsSilent as trouble:
        raise RecordsTrouble(f"{what}: {first_line(trouble.__cause__ or trouble)}", "Try again.") from trouble
    except (psycopg.Error, PeeweeException) as trouble:
        passes = isinstance(trouble, (psycopg.OperationalError, psycopg.InterfaceError, OperationalError, InterfaceError))
        raise RecordsTrouble(f"{what}: {first_line(trouble)}", "Try again." if passes else "Use another one.") from trouble


def _tables(file: sqlite3.Connection) -> list[str]:
    return [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")]


def _columns(records: Records, table: str) -> list[str]:
    return [column.name for column in records.database.get_columns(table)]


def _listed(names: list[str]) -> str:
    return ", ".join(f'"{name}"' for name in names)
