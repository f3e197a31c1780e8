"""Copies of the records that were opened and checked before anyone relies on them."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from honeyhold.records.errors import RecordsTrouble
from honeyhold.records.store import Records


def verified_copy(records: Records, folder: Path, now: datetime) -> tuple[Path, int]:
    """(file, last position in it): a copy that was read back whole. Raises `RecordsTrouble` and leaves no half copy."""
    folder.mkdir(parents=True, exist_ok=True)
    target = folder / f"honeyhold-{now:%Y%m%d-%H%M%S-%f}.db"
    half = target.with_suffix(".part")
    try:
        records.copy_to(half)
        position = position_of_backup(half)
        half.replace(target)
    finally:
        half.unlink(missing_ok=True)
    return target, position


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
