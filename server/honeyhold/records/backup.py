"""Copies of the records that were opened and checked before anyone relies on them."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from honeyhold.records.errors import RecordsTrouble
from honeyhold.records.store import Records


def verified_copy(records: Records, folder: Path, now: datetime, name: str = "honeyhold") -> tuple[Path, int]:
    """(file, last position in it): a copy that was read back whole. Raises `RecordsTrouble` and leaves no half copy."""
    folder.mkdir(parents=True, exist_ok=True)
    target = folder / f"{name}-{now:%Y%m%d-%H%M%S-%f}.db"
    half = target.with_suffix(".part")
    try:
        records.copy_to(half)
        position = position_of_backup(half)
        half.replace(target)
        _onto_the_disk(folder)
    finally:
        half.unlink(missing_ok=True)
    return target, position


def _onto_the_disk(folder: Path) -> None:
    """The new name is on the disk too before anybody relies on the backup; Windows opens no folder, and keeps names by itself."""
    if os.name == "nt":
        return
    place = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(place)
    finally:
        os.close(place)


def position_of_backup(file: Path) -> int:
    """The last landed position in a backup. Raises `RecordsTrouble` if the file is damaged or is no backup."""
    try:
        with closing(sqlite3.connect(f"file:{file}?mode=ro", uri=True)) as copy:
            answer = copy.execute("PRAGMA integrity_check").fetchone()[0]
            if answer != "ok":
                raise RecordsTrouble(f"The backup {file.name} is damaged: {answer}.", "Use an older backup.")
            return int(copy.execute("SELECT COALESCE(MAX(position), 0) FROM operation").fetchone()[0])
    except sqlite3.Error as trouble:
        raise RecordsTrouble(f"{file.name} is not a backup of a house: {trouble}.", "Choose a file from the backups folder.") from None


def put_ready(backup: Path, target: Path, epoch: str, position: int) -> None:
    """A copy of a backup that carries a new epoch and knows what it covers; no half copy is left. Raises OSError."""
    try:
        shutil.copyfile(backup, target)
        with closing(sqlite3.connect(target)) as copy, copy:
            values = [("epoch", epoch), ("covered_to", str(position))]
            copy.executemany("INSERT OR REPLACE INTO meta (key, value) VALUES (?, ?)", values)
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
