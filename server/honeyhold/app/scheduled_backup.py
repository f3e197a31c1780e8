"""Backups that the house makes by itself, so that nobody has to think of it and devices may forget what is safe.

One at the start, then after so many hours or so many entries, if anything changed; each is opened and checked before it counts.
They are thinned out by age, never by count: of each of the last 24 hours, 14 days, 8 weeks and 12 months that have one, the newest
stays, so that no busy morning pushes last week's out. A backup on the same disk helps against a mistake or a damaged file, not against a
lost disk: `--backups` takes a folder on another one. Once used, such a folder holds a marker: a disk that is not there is missed, not
replaced by an empty folder of the same name.
"""

from __future__ import annotations

import logging
import sqlite3
import threading
from datetime import timedelta
from pathlib import Path
from typing import Final

from peewee import DatabaseError

from honeyhold.app.away import Away
from honeyhold.app.backup_ages import NAME, own_backups, thin_out
from honeyhold.house.house import House
from honeyhold.house.last_backup import LastBackup
from honeyhold.records.backup import FOLDERS_KNOWN
from honeyhold.records.errors import RecordsTrouble

AFTER_HOURS: Final = 6
AFTER_ENTRIES: Final = 200
LOOK_S: Final = 30
MARKER: Final = "honeyhold-backups.txt"
FORESEEN: Final = (RecordsTrouble, OSError, DatabaseError, sqlite3.Error)
"""What is said in a line; of anything else the log tells where it came from."""

log = logging.getLogger("honeyhold")


class ScheduledBackup:
    """Looks now and then whether a backup is due; a thread of its own beside the doors."""

    def __init__(
        self, house: House, folder: Path | None = None, look_s: float = LOOK_S, away: Away | None = None, begun: bool = False
    ) -> None:
        """`begun`: the house goes on, so what is due is due by hours and entries alone."""
        self.house = house
        self.away = away
        self.folder = folder or house.folder / "backups"
        self.trouble = ""
        self._look_s = look_s
        self._ending = threading.Event()
        self._thread = threading.Thread(target=self._watch, name="scheduled backup", daemon=True)
        self._begun = begun

    def start(self) -> None:
        """Begins to watch; the first look is at once."""
        self._thread.start()

    def stop(self, wait_s: float = 60) -> None:
        """Ends the watch; a backup that is being made may be finished first, if it takes no longer than `wait_s`."""
        self._ending.set()
        self.house.wants_backup.set()  # wakes the watch
        if self._thread.is_alive():
            self._thread.join(wait_s)

    def _watch(self) -> None:
        while not self._ending.is_set():
            try:
                self.look()
            except Exception as trouble:  # the next look may go well
                self._say(trouble)
                before = self.house.last_backup
                self.house.last_backup = LastBackup(before.made_at if before else None, True)
            self.house.wants_backup.wait(self._look_s)

    def look(self) -> Path | None:
        """Makes a backup if one is due, and thins the old ones out; one that fails is said in the window, to owners, and tried again."""
        try:
            made = self._made()
            self._bring_away()
            return made
        finally:
            failing = bool(self.trouble or (self.away and self.away.trouble))
            self.house.last_backup = LastBackup(max(own_backups(self.folder), default=None), failing)

    def _made(self) -> Path | None:
        try:
            wished = self.house.wants_backup.is_set()
            self.house.wants_backup.clear()
            if not wished and not self._is_due():
                return None
            must_be_the_folder(self.house, self.folder)
            made = self.house.backup(self.folder, NAME)
            self.trouble, self._begun = "", True
            thin_out(self.folder)
            return made
        except Exception as trouble:  # whatever it is: a watch that ended would leave the house without backups, and nobody told
            self._say(trouble)
            return None

    def _say(self, trouble: Exception) -> None:
        """Once in the log, and in the window for as long as it lasts."""
        said = str(trouble) or type(trouble).__name__
        if said != self.trouble:
            log.warning("The backup failed: %s", said, exc_info=not isinstance(trouble, FORESEEN))
        self.trouble = said

    def _bring_away(self) -> None:
        """What is not there yet, also of a backup made while the stick was out. Said once, and tried again at the next look."""
        if self.away is None:
            return
        before = self.away.trouble
        self.away.bring(self.folder, lambda folder: must_be_the_folder(self.house, folder))
        if self.away.trouble and self.away.trouble != before:
            log.warning("The sealed copy failed: %s", self.away.trouble)

    def _is_due(self) -> bool:
        news = self.house.position() - self.house.saved_to()
        made = own_backups(self.folder)
        if not made:
            return self.house.position() > 0
        age = self.house.machine_now() - max(made)
        return news > 0 and (not self._begun or news >= AFTER_ENTRIES or age >= timedelta(hours=AFTER_HOURS))


def must_be_the_folder(house: House, folder: Path) -> None:
    """Raises `RecordsTrouble` where this house's backups were once put here and nothing shows it: the disk is not there."""
    marker, known = folder / MARKER, f"{FOLDERS_KNOWN}{folder.absolute()}"
    with house.records.read():
        noted = house.records.meta(known)
    if noted and not marker.exists():
        raise RecordsTrouble(
            f"{folder} held this house's backups and is empty now: the disk behind it is not there.",
            "Plug it in or mount it; backups go on by themselves. If it is another disk, put the file "
            f"{MARKER} of the old one into it, or name another folder.",
        )
    if not noted:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        marker.write_text("Backups of a honey house are kept here. Leave this file: it shows that the right disk is there.\n", "utf-8")
        with house.records.write():
            house.records.set_meta(known, "yes")
