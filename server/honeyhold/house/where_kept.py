"""Where a house's records are: in a file of its folder, or in a PostgreSQL database whose address is noted in that folder.

Everything else of a house (its lock, the list of devices, certificates, backups) lies in the folder in either case. The address is noted
without its password, which PostgreSQL's own file `.pgpass` or the variable PGPASSWORD holds; so every command finds the records by the
folder.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Final

from honeyhold.errors import HoneyholdError
from honeyhold.records.sqlite_records import SqliteRecords
from honeyhold.records.store import Records

FILE_NAME: Final = "honeyhold.db"
NOTE_NAME: Final = "database.txt"
SCHEME: Final = re.compile(r"^postgres(ql)?://")
PASSWORD: Final = re.compile(r"(//[^/?@:]*):[^@/]*(?=@)|(?<=[?&])password=[^&]*&?")


class NoSuchStore(HoneyholdError, ValueError):
    """The records cannot be kept where it was asked for."""

    code = "no-such-store"


def database_of(folder: Path) -> str:
    """The address of the database that a folder's records are in; empty where they are in its file, or nowhere yet."""
    try:
        return (folder / NOTE_NAME).read_text("utf-8").strip()
    except FileNotFoundError:
        return ""


def has_records(folder: Path) -> bool:
    """Whether a house was begun in this folder."""
    return (folder / FILE_NAME).exists() or bool(database_of(folder))


def has_a_file(folder: Path) -> bool:
    """Whether there is a file of records with something in it."""
    file = folder / FILE_NAME
    return file.exists() and file.stat().st_size > 0


@contextmanager
def looked_into(folder: Path, records: Records | None = None) -> Iterator[Path]:
    """The records of a folder as a file to read: its own, which may be damaged or missing, or a copy of what is in the database.

    `records`: where a house has them open. Raises as `opened` does where they are in a database.
    """
    if not database_of(folder):
        yield folder / FILE_NAME
        return
    copy = folder / (FILE_NAME + ".here")
    copy.unlink(missing_ok=True)
    try:
        if records is not None:
            records.copy_to(copy)
        else:
            with closing(opened(folder)) as found:
                found.copy_to(copy)
        yield copy
    finally:
        copy.unlink(missing_ok=True)


def put_in_their_place(folder: Path, ready: Path) -> None:
    """A file of records becomes those of the folder: its own file, or all that is in its database. The house must be closed.

    Raises `RecordsTrouble` where the database does not take them; then it is as it was.
    """
    if not database_of(folder):
        ready.replace(folder / FILE_NAME)
        return
    from honeyhold.records.carrying import out_of_file

    try:
        with closing(opened(folder)) as records:
            out_of_file(ready, records)
    finally:
        ready.unlink()


def opened(folder: Path, database: str = "") -> Records:
    """The records of a folder; `database` is an address said anew, empty for the one that is noted.

    Raises `NoSuchStore`, `SecondHouse`, `NewerRecords`, `RecordsTrouble`.
    """
    address = _checked(folder, database) if database else database_of(folder)
    if not address:
        return SqliteRecords(folder / FILE_NAME, folder / "backups")
    try:
        from honeyhold.records.postgresql_records import PostgresqlRecords
    except ImportError:
        raise NoSuchStore(
            "The part that speaks with PostgreSQL is not installed.", "Install it: .venv/bin/python -m pip install 'honeyhold[postgresql]'"
        ) from None
    records = PostgresqlRecords(address)
    if database:
        _note(folder, address)
    return records


def _checked(folder: Path, database: str) -> str:
    if not SCHEME.match(database):
        raise NoSuchStore("This is no address of a database that records can be in.", "Write it so: postgresql://user@host/name")
    if has_a_file(folder):
        raise NoSuchStore(
            f"The records of {folder} are in its file {FILE_NAME}, not in a database.",
            "Name an empty folder with --data; a backup goes into the database by: honeyhold restore FILE --database ADDRESS --data FOLDER",
        )
    return SCHEME.sub("postgresql://", database)


def _note(folder: Path, address: str) -> None:
    without = PASSWORD.sub(r"\1", address)
    half = folder / (NOTE_NAME + ".part")
    with os.fdopen(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as opened_half:
        opened_half.write(without + "\n")
    half.replace(folder / NOTE_NAME)
