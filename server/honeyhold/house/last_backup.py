"""How the backups that are made by themselves stand: what an owner must be able to see from any room."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class LastBackup:
    """The newest backup, and whether the last one that was due could not be made."""

    made_at: datetime | None
    failing: bool

    def age_s(self, now: datetime) -> float | None:
        """Seconds since it was made; None where there is none."""
        return (now - self.made_at).total_seconds() if self.made_at else None
