"""Where a house's records are: in a file of its folder, or in a PostgreSQL database whose address is noted in that folder.

Everything else of a house (its lock, the list of devices, certificates, backups) lies in the folder in either case. The address is noted
without its password, which PostgreSQL's own file `.pgpass` or the variable PGPASSWORD holds; so every command finds the records by the
folder.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path
from types import ModuleType
from typing import Any, Final

from honeyhold.errors import HoneyholdError
from honeyhold.records.sqlite_records import SqliteRecords
from honeyhold.records.store import Records
from honeyhold.records.whole_file import write_whole

FILE_NAME: Final = "honeyhold.db"
NOTE_NAME: Final = "database.txt"
HOST_NAME: Final = "host.txt"
"""Lies in the folder of a house whose records a server of many houses keeps: nothing in the folder itself says so."""
SCHEME: Final = re.compile(r"^postgres(ql)?://")


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
def looked_into(folder: Path, database: str = "") -> Iterator[Path]:
    """The records of a folder as a file to read: its own, which may be damaged or missing, or a copy of what is in the database.

    `database`: as `opened` takes it. Raises as `opened` does where they are in a database.
    """
    if not (database or database_of(folder)):
        yield folder / FILE_NAME
        return
    with ExitStack() as kept:
        with closing(opened(folder, database)) as found:
            copy = kept.enter_context(a_copy_of(folder, found))
        yield copy  # the records are closed: whoever puts others in their place opens them


@contextmanager
def a_copy_of(folder: Path, records: Records) -> Iterator[Path]:
    """What records hold now, in a file of the folder that is gone at the end. Raises as `Records.copy_to` does."""
    copy = folder / (FILE_NAME + ".here")
    copy.unlink(missing_ok=True)
    try:
        records.copy_to(copy)
        yield copy
    finally:
        copy.unlink(missing_ok=True)


def answers_of(folder: Path, database: str, statements: Sequence[str]) -> list[list[Any]]:
    """What the database of a folder answers, looked at once: it is not moved to this version's schema, and who has it keeps it.

    `database`: as `opened` takes it. Raises `NoSuchStore`, `NewerRecords`, `RecordsTrouble`.
    """
    address = _checked(folder, database) if database else database_of(folder)
    found: list[list[Any]] = driver().answers_of(address, statements)
    return found


def put_in_their_place(folder: Path, ready: Path, database: str = "") -> None:
    """A file of records becomes those of the folder: its own file, or all that is in its database. The house must be closed.

    Raises `RecordsTrouble` where the database does not take them; then it is as it was.
    """
    if not (database or database_of(folder)):
        ready.replace(folder / FILE_NAME)
        return
    from honeyhold.records.carrying import out_of_file

    try:
        with closing(opened(folder, database)) as records:
            out_of_file(ready, records)
    finally:
        ready.unlink()


def opened(folder: Path, database: str = "") -> Records:
    """The records of a folder; `database` is an address said anew, empty for the one that is noted. It is not noted here (`note`).

    Raises `NoSuchStore`, `SecondHouse`, `NewerRecords`, `RecordsTrouble`.
    """
    address = _checked(folder, database) if database else database_of(folder)
    if not address:
        return SqliteRecords(folder / FILE_NAME, folder / "backups")
    records: Records = driver().PostgresqlRecords(address)
    return records


def holds_records(folder: Path, database: str) -> bool:
    """Whether there are records in a database that is said anew; nothing is made there. Raises `NoSuchStore`, `RecordsTrouble`."""
    return bool(driver().holds_records(_checked(folder, database)))


def must_be_the_noted(folder: Path, database: str) -> None:
    """An address said anew is that of the noted database, and the records are in no file. Raises `NoSuchStore`, `RecordsTrouble`."""
    address, noted = _checked(folder, database), database_of(folder)
    if noted and not driver().same_place(address, noted):
        raise NoSuchStore(
            f"The records of {folder} are in another database than this one, and devices belong to them.",
            f"Leave --database out. Where that database has another address now, write it into {NOTE_NAME} of that folder; into another "
            "database goes a backup: honeyhold restore FILE --database ADDRESS --data FOLDER",
        )


def note(folder: Path, database: str) -> None:
    """Where the records are from now on, on the disk before it returns. Raises `OSError`."""
    without = driver().without_secrets(address_in(database))
    write_whole(folder / NOTE_NAME, f"{without}\n".encode())


def note_host(folder: Path) -> None:
    """A server of many houses keeps this one. What the disk does not take now is noted when the house is opened again."""
    if not (folder / HOST_NAME).exists():
        with suppress(OSError):
            write_whole(folder / HOST_NAME, b"The records of this house are kept by a server of many houses (honeyhold houses).\n")


def must_be_no_hosts(folder: Path) -> None:
    """A house of such a server has no records in its folder: what is put there would be a second house. Raises `NoSuchStore`."""
    if (folder / HOST_NAME).exists():
        raise NoSuchStore(
            f"{folder} belongs to a house that a server of many houses keeps; its records are in that server's database.",
            "Name another folder with --data. How that house goes back to a backup: "
            f"{back_on_a_host(folder)}",
        )


def back_on_a_host(folder: Path) -> str:
    """How a house of such a server goes back to a backup, as its keeper does it."""
    name = folder.name
    return (
        f"freeze it (honeyhold houses freeze {name}), put it back (honeyhold houses restore {name} BACKUP), then let its devices in again "
        f"(honeyhold houses thaw {name})."
    )


def driver() -> ModuleType:
    """What speaks with PostgreSQL (`records/postgresql_records.py`). Raises `NoSuchStore` where it is not installed."""
    try:
        from honeyhold.records import postgresql_records
    except ImportError:
        raise NoSuchStore(
            "The part that speaks with PostgreSQL is not installed.", "Install it: .venv/bin/python -m pip install 'honeyhold[postgresql]'"
        ) from None
    return postgresql_records


def address_in(database: str) -> str:
    """An address as it was said, in one form. Raises `NoSuchStore` where it is none of a database that records can be in."""
    if not SCHEME.match(database):
        raise NoSuchStore("This is no address of a database that records can be in.", "Write it so: postgresql://user@host/name")
    return SCHEME.sub("postgresql://", database)


def _checked(folder: Path, database: str) -> str:
    address = address_in(database)
    if has_a_file(folder) and not database_of(folder):
        raise NoSuchStore(
            f"The records of {folder} are in its file {FILE_NAME}, not in a database.",
            f"They go over by: honeyhold move --to ADDRESS --data {folder}. For a house of its own name an empty folder with --data.",
        )
    return address
