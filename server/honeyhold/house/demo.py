"""The demo and a house of one's own never mix: the one plays in a folder of its own, and only its clock can be moved."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Final

from honeyhold.errors import HoneyholdError
from honeyhold.records.backup import opened_to_read

SETTING: Final = "demo"
"""The setting that marks invented records; the main computer alone writes it, once, into an empty house."""

DATA: Final = "data"
DEMO_DATA: Final = "data-demo"
PORT: Final = 8470
DEMO_PORT: Final = 8480
"""The demo has an address of its own: a browser keeps a device's entries by address, and those of the demo stay its own."""


class WrongRecords(HoneyholdError, ValueError):
    """The demo was asked for over real records, or a real house over the demo's."""

    code = "wrong-records"


class NoRecords(HoneyholdError, FileNotFoundError):
    """A command wanted records where there are none."""

    code = "no-records"


class RealClock(HoneyholdError, ValueError):
    """Somebody wanted to move the clock of a house that is no demo."""

    code = "real-clock"


def file_is_demo(file: Path, is_backup: bool = False) -> bool:
    """Whether a file of records is marked as the demo's; a file that is none, or is missing, is not."""
    if not file.is_file():
        return False
    try:
        with closing(opened_to_read(file, nobody_writes=is_backup)) as records:
            found = records.execute("SELECT value FROM setting WHERE id = ?", (SETTING,)).fetchone()
    except sqlite3.Error:
        return False
    return bool(found) and found[0] == "true"


def must_fit(folder: Path, *, wants_demo: bool, is_demo: bool, is_empty: bool) -> None:
    """Raises `WrongRecords` where what was asked for and what lies in the folder are not of one sort."""
    if wants_demo and not is_demo and not is_empty:
        raise WrongRecords(
            f"The records in {folder} are a real house's: the demo is never played into them.",
            "Leave --data out, then the demo keeps its records in a folder of its own; or name an empty folder.",
        )
    if is_demo and not wants_demo:
        raise WrongRecords(
            f"The records in {folder} are the demo's: its people and orders are invented, and its clock was moved.",
            f"To start your own, rename {folder} (to {folder.name}-old, say) and start again. To look at that demo: --demo --data {folder}",
        )
