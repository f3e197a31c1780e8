"""The house's clock: the machine's, moved by an offset that is kept in the records."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from honeyhold.records.models import Setting
from honeyhold.records.store import Records

OFFSET_KEY = "clock_offset_s"
ZONE_OTHERWISE = "America/Chicago"


def machine_time() -> datetime:
    """The machine's time, aware, in UTC."""
    return datetime.now(UTC)


class Clock:
    """Tells the house's time. A demo sets it back to its season, and it goes on from there after a restart."""

    def __init__(self, records: Records, source: Callable[[], datetime] = machine_time) -> None:
        self._records = records
        self._source = source
        with records.read():
            self._offset = timedelta(seconds=int(records.meta(OFFSET_KEY, "0")))

    def now(self) -> datetime:
        """The house's time, aware, in UTC."""
        return self._source() + self._offset

    def zone(self) -> ZoneInfo:
        """The house's time zone, from the setting `time_zone`."""
        with self._records.read():
            row = self._records.row(Setting, "time_zone")
        return ZoneInfo(str(row["value"]) if row else ZONE_OTHERWISE)

    def today(self) -> date:
        """The day where the house stands."""
        return self.now().astimezone(self.zone()).date()

    def set(self, moment: datetime) -> None:
        """Moves the house's time to `moment` (aware); it runs on from there. Raises ValueError if it has no zone."""
        if moment.tzinfo is None:
            raise ValueError(f"{moment!r} says no time zone; give a moment in UTC.")
        self._offset = timedelta(seconds=round((moment - self._source()).total_seconds()))
        with self._records.write():
            self._records.set_meta(OFFSET_KEY, str(int(self._offset.total_seconds())))
