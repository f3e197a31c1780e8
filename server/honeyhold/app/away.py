"""Sealed copies of the backups in another place: a stick, another machine's disk. It may be away for days; then the newest is brought."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from honeyhold.app.backup_ages import own_backups, thin_out
from honeyhold.app.sealed_backup import ENDING, seal
from honeyhold.records.errors import RecordsTrouble


class Away:
    """One such place. `trouble`: why the last copy could not be brought, empty when it was."""

    def __init__(self, folder: Path, passphrase: str) -> None:
        self.folder = folder
        self.trouble = ""
        self._passphrase = passphrase

    def bring(self, backups: Path, must_be_there: Callable[[Path], None]) -> Path | None:
        """Seals the newest backup into the place if it is not there yet; None when there is nothing to bring, or it failed."""
        try:
            made = own_backups(backups)
            newest = max(made, default=None)
            if newest is None:
                return None
            must_be_there(self.folder)
            brought = None if newest in own_backups(self.folder, ENDING) else seal(made[newest], self.folder, self._passphrase)
            thin_out(self.folder, ENDING)
        except (RecordsTrouble, OSError) as trouble:
            self.trouble = str(trouble)
            return None
        self.trouble = ""
        return brought
