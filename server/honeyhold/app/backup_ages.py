"""Which of the backups that the house made by itself stay: by their age, never by their number."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from honeyhold.records.backup import remove

KEPT: Final = (("%Y%m%d%H", 24), ("%Y%m%d", 14), ("%G%V", 8), ("%Y%m", 12))
"""Spans of time (hour, day, week, month) and of how many of each the newest backup stays."""
NAME: Final = "by-itself"
STAMP: Final = "%Y%m%d-%H%M%S-%f"


def own_backups(folder: Path, ending: str = ".db") -> dict[datetime, Path]:
    """The backups that the house made by itself, by moment (UTC); what a person put there is not among them."""
    found: dict[datetime, Path] = {}
    for file in folder.glob(f"{NAME}-*{ending}"):
        try:
            found[datetime.strptime(file.stem.removeprefix(f"{NAME}-"), STAMP).replace(tzinfo=UTC)] = file
        except ValueError:
            continue
    return found


def thin_out(folder: Path, ending: str = ".db") -> None:
    """Those that need not stay go, with their pages."""
    made = own_backups(folder, ending)
    stay = kept(made)
    for moment, file in made.items():
        if moment not in stay:
            remove(file)


def kept(moments: Iterable[datetime]) -> set[datetime]:
    """Which backups stay: of each span of time in `KEPT` the newest, for as many of those spans as it says that have one."""
    newest_first = sorted(moments, reverse=True)
    stay: set[datetime] = set()
    for span, count in KEPT:
        newest: dict[str, datetime] = {}
        for moment in newest_first:
            newest.setdefault(moment.strftime(span), moment)
        stay |= set(list(newest.values())[:count])
    return stay
