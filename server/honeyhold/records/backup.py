"""Copies of the records that were opened and checked before anyone relies on them, each with a page beside it that says what it holds.

SQLite's own check finds a broken page, not a changed figure: of single bits flipped in a copy, one in five passes it. So every copy has a
digest (SHA-256) in its page, and a copy that is not byte for byte what was written is refused. The page also carries the list of devices,
which the records of yesterday cannot know, and what devices trust.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sqlite3
from collections.abc import Mapping
from contextlib import closing, suppress
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from honeyhold.records.errors import NewerRecords, RecordsTrouble
from honeyhold.records.migrations.steps import steps
from honeyhold.records.store import Records
from honeyhold.records.whole_file import onto_the_disk

PAGE_ENDING: Final = ".json"
READ_BYTES: Final = 1 << 20
LEFT_BESIDE: Final = ("-wal", "-shm")
"""What earlier versions left beside a backup that they had looked into."""
OF_ONE_PLACE: Final = ("history", "arriving", "left_for")
"""What a place says of its own history and of a move (`house/moving.py`): it is no part of what the records hold."""
FOLDERS_KNOWN: Final = "backups_in "
"""How the keys begin under which a place notes into which folders it put backups: another place has other folders."""
LEFT_OVER: Final = (".part", ".part-wal", ".part-shm", ".part-journal")


@dataclass(frozen=True)
class Page:
    """What lies beside a backup: what it holds, and the digest that its bytes must have."""

    position: int
    """The last landed operation in it."""
    late: int
    """The last of the entries kept apart."""
    made_at: str
    sha256: str
    epoch: str = ""
    """Under which the records stood: after a restore history goes another way."""
    devices: dict[str, dict[str, Any]] = field(default_factory=dict)
    """Every device that ever belonged to the house, by id, as the device registry knows it."""
    certificates: dict[str, str] = field(default_factory=dict)
    """The files, by name, from which the certificate is made that devices trust."""


def verified_copy(
    records: Records, folder: Path, now: datetime, name: str = "honeyhold", devices: Mapping[str, dict[str, Any]] | None = None,
    certificates: Mapping[str, str] | None = None,
) -> tuple[Path, Page]:
    """A copy that was read back whole, and the page beside it. Raises `RecordsTrouble` and leaves no half copy."""
    folder.mkdir(parents=True, exist_ok=True)
    target = folder / f"{name}-{now:%Y%m%d-%H%M%S-%f}.db"
    half = target.with_suffix(".part")
    _sweep(folder)
    try:
        records.copy_to(half)
        position, late = _what_it_holds(half)
        with records.read():
            epoch = records.meta("epoch")
        page = Page(position, late, now.isoformat(), digest(half), epoch, dict(devices or {}), dict(certificates or {}))
        write_page(target, page)
        half.replace(target)
        onto_the_disk(folder)  # the new name too, before anybody relies on the backup
    except BaseException:
        remove(target)
        raise
    finally:
        _sweep(folder)
    return target, page


def page_of(backup: Path) -> Path:
    """Where the page of a backup lies."""
    return backup.with_name(backup.name + PAGE_ENDING)


def write_page(backup: Path, page: Page) -> None:
    """The page on the disk, before the backup has its name."""
    with page_of(backup).open("w", encoding="utf-8") as opened:
        json.dump(asdict(page), opened, sort_keys=True)
        opened.flush()
        os.fsync(opened.fileno())


def covered_by(folder: Path, epoch: str, restored_to: int) -> int:
    """The last position that every backup in a folder holds, counted in the present epoch; 0 where there is none.

    History is one up to `restored_to`, the position of the backup that began this epoch; of an earlier epoch's backup nothing beyond it
    counts.
    """
    found = (page.position if page.epoch == epoch else min(page.position, restored_to) for page in pages_in(folder))
    return min(found, default=0)


def pages_in(folder: Path) -> list[Page]:
    """The pages of all backups in a folder, as far as they can be read."""
    return [page for page in map(read_page, folder.glob("*.db")) if page]


def read_page(backup: Path) -> Page | None:
    """What the page of a backup says; None for one of an older version, which has none, and for a page that cannot be read."""
    with suppress(OSError, ValueError, TypeError):
        said = json.loads(page_of(backup).read_text("utf-8"))
        page = Page(**{name: said[name] for name in Page.__dataclass_fields__ if name in said})
        return page if type(page.position) is int and type(page.late) is int else None
    return None


def digest(file: Path) -> str:
    """SHA-256 of a file's bytes."""
    found = hashlib.sha256()
    with file.open("rb") as opened:
        while part := opened.read(READ_BYTES):
            found.update(part)
    return found.hexdigest()


def remove(backup: Path) -> None:
    """A backup and its page."""
    backup.unlink(missing_ok=True)
    page_of(backup).unlink(missing_ok=True)
    for ending in LEFT_BESIDE:
        backup.with_name(backup.name + ending).unlink(missing_ok=True)


def position_of_backup(file: Path) -> int:
    """The last landed position in a backup that may be relied on.

    Raises `RecordsTrouble` if it is damaged, is not what was written, or is no backup, and `NewerRecords` if this version cannot read it.
    """
    page = read_page(file)
    if page is not None and file.is_file() and digest(file) != page.sha256:
        raise RecordsTrouble(f"The backup {file.name} is not what was written: its digest differs.", "Use an older backup.")
    return _what_it_holds(file)[0]


def opened_to_read(file: Path, nobody_writes: bool = False) -> sqlite3.Connection:
    """A file of records that may be damaged, opened so that nothing can change or make it. Raises `sqlite3.Error`.

    `nobody_writes`: it is a backup, all in one file; SQLite then leaves nothing beside it, and reads it off a disk that takes nothing.
    """
    return sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro{'&immutable=1' if nobody_writes else ''}", uri=True)


def _what_it_holds(file: Path) -> tuple[int, int]:
    """(last position, last entry kept apart) of a file that SQLite finds whole."""
    try:
        with closing(opened_to_read(file, nobody_writes=True)) as copy:
            answer = copy.execute("PRAGMA integrity_check").fetchone()[0]
            if answer != "ok":
                raise RecordsTrouble(f"The backup {file.name} is damaged: {answer}.", "Use an older backup.")
            version = copy.execute("SELECT value FROM meta WHERE key = 'schema_version'").fetchone()
            position = copy.execute("SELECT COALESCE(MAX(position), 0) FROM operation").fetchone()[0]
            late = copy.execute("SELECT COALESCE(MAX(rowid), 0) FROM late_entry").fetchone()[0]
    except sqlite3.Error as trouble:
        raise RecordsTrouble(f"{file.name} is not a backup of a house: {trouble}.", "Choose a file from the backups folder.") from None
    if version is not None and int(version[0]) > steps()[-1][0]:
        raise NewerRecords(f"{file.name} was made by a newer Honeyhold.", "Start the newer Honeyhold, or choose an older backup.")
    return int(position), int(late)


def put_ready(backup: Path, target: Path, epoch: str, position: int) -> None:
    """A copy of a backup that carries a new epoch; no half copy is left. Raises OSError.

    Nothing is covered in the new epoch until it has a backup of its own, so no device forgets what this backup lacks.
    """
    try:
        shutil.copyfile(backup, target)
        with closing(sqlite3.connect(target)) as copy, copy:
            values = [("epoch", epoch), ("saved_to", str(position)), ("restored_to", str(position)), ("covered_to", "0")]
            copy.executemany("INSERT OR REPLACE INTO meta (key, value) VALUES (?, ?)", values)
            copy.executemany("DELETE FROM meta WHERE key = ?", [(key,) for key in OF_ONE_PLACE])
            copy.execute("DELETE FROM meta WHERE substr(key, 1, ?) = ?", (len(FOLDERS_KNOWN), FOLDERS_KNOWN))
    except BaseException:
        target.unlink(missing_ok=True)
        raise


def fresh_folder(parent: Path, name: str) -> Path:
    """Makes a folder that was not there before: `name`, or `name-2`, `name-3` ..."""
    number = 1
    while True:
        folder = parent / (name if number == 1 else f"{name}-{number}")
        try:
            folder.mkdir()
            return folder
        except FileExistsError:
            number += 1


def _sweep(folder: Path) -> None:
    """Half copies of a process that was killed go, with what SQLite left beside them."""
    for file in folder.iterdir():
        if file.name.endswith(LEFT_OVER):
            file.unlink(missing_ok=True)
