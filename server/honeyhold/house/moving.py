"""A house moves from its file into a database, or back, with one command; its devices go on and hear nothing of it.

Everything is copied, then every row, chain and sum of the new place is compared with the old one, and only then the folder's note is
changed, which is one step: the note alone says where the records are. The epoch stays, because nothing is lost: the new place holds exactly
what the old one answered, so a device has nothing to say again, and the share it holds is the one that the new place knows.

Whatever is stopped in between is told by two values that the records carry meanwhile:

* `arriving`: a copy that was not yet moved into. The next try writes over it; no house begins in it unless the folder's note says so.
* `left_for`: the old place, kept as it was. No house begins in it: devices would meet two houses of one name, each lacking what the other
  was told. Whoever takes the value away begins a new epoch (`restoring.look_whether_history_went_back`), as a restored backup does.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path
from typing import Final

from peewee import PeeweeException

from honeyhold.errors import HoneyholdError
from honeyhold.house.where_kept import FILE_NAME, NOTE_NAME, NoSuchStore, address_in, database_of, driver, has_a_file, note, opened
from honeyhold.records.backup import opened_to_read
from honeyhold.records.comparing import columns_of, differences, held
from honeyhold.records.errors import RecordsTrouble, first_line, full_or_in_words
from honeyhold.records.lock import LockFile
from honeyhold.records.sqlite_records import SqliteRecords
from honeyhold.records.store import Records
from honeyhold.records.whole_file import onto_the_disk

ARRIVING: Final = "arriving"
LEFT: Final = "left_for"
GONE: Final = "left"
"""The history of a place that was left: none that a place can have."""
NOTHING: Final = "nothing entered yet"
ENDINGS: Final = ("-journal", "-shm", "-wal", "")
"""The file itself last: whoever is stopped before leaves nothing that would be read into the next one of that name."""
ON_ITS_WAY: Final = FILE_NAME + ".moving"


class MovedAway(RecordsTrouble):
    """A house was in these records and moved on; they are kept as they were."""

    code = "moved-away"


class MoveFailed(RecordsTrouble):
    """The new place is not what the old one is; the house stays where it was."""

    code = "move-failed"


class MoveUnfinished(RecordsTrouble):
    """The house has moved; what is left to do about the old place is done when it starts."""

    code = "move-unfinished"


def to_database(folder: Path, database: str, now: datetime) -> str:
    """From the folder's file into a database; what was found and where everything is, in words.

    Raises `SecondHouse` while the house is open, `NoSuchStore`, `MovedAway`, `DiskFull`, `MoveFailed`, `RecordsTrouble`; then the file is
    as it was. Raises `MoveUnfinished` when the house has moved and the rest is left to its next start.
    """
    address = address_in(database)
    with _held(folder), _in_words():
        if database_of(folder):
            return _already_there(folder, address, now)
        _must_be_the_houses_own(folder, now)
        with closing(driver().PostgresqlRecords(address)) as new:
            with closing(SqliteRecords(folder / FILE_NAME, folder / "backups")) as old:
                _must_be_whole(old)
                _must_be_free(new, _name_of(old))
                _carry_into_database(folder, old, new)
                same = _compared(old, new)
            _noted(folder, address)
            with _rest_at_the_next_start(database_of(folder)):
                kept = _put_file_away(folder, now)
                _arrived(new)
        return (
            f"{same}\nThe records are now in {database_of(folder)}, noted in {folder / NOTE_NAME}. "
            f"{_of_the_password(address)}Start Honeyhold as before.\n"
            f"The old file is kept as {kept}; nothing goes on in it. Back into a file with everything: "
            f"honeyhold move --to-file --data {folder}"
        )


def to_file(folder: Path, now: datetime) -> str:
    """From the noted database into a file of the folder; what was found and where everything is, in words.

    Raises as `to_database` does; then the database is as it was.
    """
    with _held(folder), _in_words():
        noted = database_of(folder)
        if not noted:
            _must_be_the_houses_own(folder, now)
            return f"The records are in {folder / FILE_NAME} already."
        with closing(opened(folder)) as old:
            settle(folder, old, now)
            if has_a_file(folder):
                raise NoSuchStore(f"There is a file {FILE_NAME} in {folder} already, not of this move.", "Put it elsewhere first.")
            _must_be_whole(old)
            same = _carry_into_file(folder, old)
            _leave(old, str((folder / FILE_NAME).absolute()), now)
            _take_note_away(folder)
        with _rest_at_the_next_start(str(folder / FILE_NAME)), closing(opened(folder)) as new:
            _arrived(new)
        return (
            f"{same}\nThe records are now in {folder / FILE_NAME}. Start Honeyhold as before.\n"
            f"What was in {noted} is kept there as it was; nothing goes on in it. Delete that database when you like."
        )


def settle(folder: Path, records: Records, now: datetime) -> None:
    """Ends a move that was cut short, where the folder's note says that these records are the house's.

    Raises `MovedAway` and `NoSuchStore` where they are a place that was left, or a copy that nobody moved into.
    """
    with records.read():
        arriving, left = records.meta(ARRIVING), records.meta(LEFT)
    noted = database_of(folder)
    is_a_copy = bool(noted) and _is_a_copy(folder)
    if left and not is_a_copy:
        raise _moved_away(folder, records, json.loads(left)["for"])
    if arriving and not noted and not isinstance(records, SqliteRecords):
        raise NoSuchStore(
            "A move into this database was begun and not ended: nobody's house is in it yet.",
            "Do it again from the folder of the house: honeyhold move --to ADDRESS --data FOLDER",
        )
    if noted and arriving and has_a_file(folder) and not is_a_copy and not _could_put_file_away(folder, now):
        return  # the value stays: it is tried again at every start, and the house opens meanwhile
    if arriving or left:
        _arrived(records)
    if is_a_copy:  # the note still names the database: nobody moved into it. Last, because it alone says that the database was not left
        _clear(folder / FILE_NAME)


def _moved_away(folder: Path, records: Records, place: str) -> MovedAway:
    again = (
        f"To go back to them as they were then, under a new epoch: honeyhold restore {folder / FILE_NAME} --data FOLDER. More of that"
        if isinstance(records, SqliteRecords) else "How to go back to them all the same"
    )  # fmt: skip
    return MovedAway(
        f"The house has moved away from these records, into {place}. They are kept as they were then.",
        f"Start it in the folder it belongs to. {again} stands in records/README.md.",
    )


def _must_be_the_houses_own(folder: Path, now: datetime) -> None:
    """There is a file, and it is no place that was left: moved on, it would be a second house of the same epoch."""
    if not has_a_file(folder):
        raise NoSuchStore(f"There are no records in {folder}.", "Name their folder with --data.")
    with closing(SqliteRecords(folder / FILE_NAME, folder / "backups")) as records:
        settle(folder, records, now)


@contextmanager
def _held(folder: Path) -> Iterator[None]:
    lock = LockFile(folder / "lock")
    try:
        yield
    finally:
        lock.release()


@contextmanager
def _in_words() -> Iterator[None]:
    """What the disk or a file of records says against it, before the house has moved."""
    try:
        yield
    except HoneyholdError:
        raise
    except (OSError, sqlite3.Error, PeeweeException) as trouble:
        raise full_or_in_words(
            trouble, "The records were not moved", "The house stays where it was; nothing is lost. Mend that, then do it again."
        ) from trouble


@contextmanager
def _rest_at_the_next_start(place: str) -> Iterator[None]:
    """What goes wrong once the house has moved is no failed move, and must not be told as one."""
    try:
        yield
    except (HoneyholdError, OSError, sqlite3.Error, PeeweeException) as trouble:
        raise MoveUnfinished(
            f"The house has moved: its records are now in {place}. What is left to do could not be done: {first_line(trouble)}",
            "Start Honeyhold as before: what is left is done at the next start. Nothing is lost.",
        ) from trouble


def _noted(folder: Path, address: str) -> None:
    """The note is changed; where it is and may not have come onto the disk, the rest waits for a start that finds it."""
    try:
        note(folder, address)
    except OSError:
        if not database_of(folder):
            raise
        with _rest_at_the_next_start(database_of(folder)):
            raise


def _of_the_password(address: str) -> str:
    if driver().without_secrets(address) == address:
        return ""
    return "The password of that address is not noted: put it into .pgpass or PGPASSWORD, where PostgreSQL looks for it at every start. "


def _already_there(folder: Path, address: str, now: datetime) -> str:
    noted = database_of(folder)
    if not driver().same_place(address, noted):
        raise NoSuchStore(
            f"The records of {folder} are in a database already, {noted}.",
            "From one database into another they go by way of the file: move --to-file first, then move --to ADDRESS.",
        )
    with closing(opened(folder)) as records:
        settle(folder, records, now)
    left = f" The old file {folder / FILE_NAME} could not be put away; that is tried again at every start." if has_a_file(folder) else ""
    return f"The records are in {noted} already.{left}"


def _must_be_whole(old: Records) -> None:
    found = held(old, {}).wrong
    if found:
        raise RecordsTrouble(
            f"The records are not as they should be, so they are not moved: {'; '.join(found[:3])}.",
            "Go back to a backup first: honeyhold restore FILE. Nothing was changed.",
        )


def _must_be_free(new: Records, name: str) -> None:
    """Nobody's house is in the database, nor was; a copy of this house that was cut short may be."""
    with new.read():
        arriving, left, taken = new.meta(ARRIVING), new.meta(LEFT), new.meta("epoch")
    if arriving == name or not (arriving or left or taken):
        return
    what = "A house was in this database and moved away; what it was is kept" if left else "There is a house in this database already"
    raise NoSuchStore(
        "Another house's move into this database was cut short." if arriving else f"{what}.",
        "Make an empty one, or a schema of its own, and name that. Nothing was changed.",
    )


def _name_of(records: Records) -> str:
    """Which records these are, as a copy on its way says it: by the hash of the first entry."""
    with records.read():
        found = records.sql("SELECT hash FROM operation WHERE position = 1").fetchone()
    return str(found[0]) if found else NOTHING


def _carry_into_database(folder: Path, old: Records, new: Records) -> None:
    from honeyhold.records.carrying import out_of_file

    ready = folder / ON_ITS_WAY
    _clear(ready)
    try:
        old.copy_to(ready)
        _mark_copy(ready, _name_of(old))
        out_of_file(ready, new)
    finally:
        _clear(ready)


def _carry_into_file(folder: Path, old: Records) -> str:
    """A file that is whole, compared and on the disk before it has its name. What was the same, in words."""
    ready = folder / ON_ITS_WAY
    _clear(ready)
    try:
        old.copy_to(ready)
        _mark_copy(ready, _name_of(old))
        with closing(SqliteRecords(ready)) as new:
            same = _compared(old, new)
        _clear(folder / FILE_NAME)  # the log of an earlier file of that name would be read into this one
        ready.replace(folder / FILE_NAME)
    finally:
        _clear(ready)
    onto_the_disk(folder)
    return same


def _mark_copy(file: Path, name: str) -> None:
    with closing(sqlite3.connect(file)) as copy, copy:
        copy.execute("INSERT OR REPLACE INTO meta (key, value) VALUES (?, ?)", (ARRIVING, name))


def _compared(old: Records, new: Records) -> str:
    columns = columns_of(*((old, new) if isinstance(old, SqliteRecords) else (new, old)))
    before = held(old, columns)
    found = differences(before, held(new, columns))
    if found:
        raise MoveFailed(
            f"The new place is not what the old one is: {'; '.join(found[:3])}.",
            "The house stays where it was; nothing is lost. Try again, into another empty place.",
        )
    return before.told()


def _put_file_away(folder: Path, now: datetime) -> Path:
    """The old file under a name that no start takes for the records, and marked besides."""
    file = folder / FILE_NAME
    with closing(SqliteRecords(file)) as old:
        _leave(old, database_of(folder), now)
    with closing(sqlite3.connect(file)) as alone:
        alone.execute("PRAGMA journal_mode = delete")  # all in one file, as a backup is
    target, number = folder / f"records-before-move-{now:%Y%m%d-%H%M%S}.db", 1
    while target.exists():
        number += 1
        target = folder / f"records-before-move-{now:%Y%m%d-%H%M%S}-{number}.db"
    file.rename(target)
    onto_the_disk(folder)
    return target


def _could_put_file_away(folder: Path, now: datetime) -> bool:
    try:
        _put_file_away(folder, now)
    except (HoneyholdError, OSError, sqlite3.Error, PeeweeException):
        return False
    return True


def _leave(old: Records, place: str, now: datetime) -> None:
    """The old place says where the house went; its history is one that nobody goes on with."""
    with old.write():
        if not old.meta(LEFT):
            told = {"for": f"{place}, {now:%Y-%m-%d %H:%M} UTC", "history": old.meta("history")}
            old.set_meta(LEFT, json.dumps(told))
            old.set_meta("history", GONE)


def _arrived(new: Records) -> None:
    """These records are the house's from now on, or still."""
    with new.write():
        left = new.meta(LEFT)
        if left:
            new.set_meta("history", json.loads(left)["history"])
        new.sql("DELETE FROM meta WHERE key = ? OR key = ?", ARRIVING, LEFT)


def _take_note_away(folder: Path) -> None:
    (folder / NOTE_NAME).unlink()
    onto_the_disk(folder)


def _is_a_copy(folder: Path) -> bool:
    """Whether the folder's file is a copy that was not moved into."""
    if not has_a_file(folder):
        return False
    try:
        with closing(opened_to_read(folder / FILE_NAME)) as file:
            return file.execute("SELECT 1 FROM meta WHERE key = ?", (ARRIVING,)).fetchone() is not None
    except sqlite3.Error:
        return False


def _clear(file: Path) -> None:
    for ending in ENDINGS:
        file.with_name(file.name + ending).unlink(missing_ok=True)
