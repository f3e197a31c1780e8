"""The house's clock: the machine's, moved by an offset that is kept in the records."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from honeyhold.house.demo import SETTING as DEMO
from honeyhold.house.demo import RealClock
from honeyhold.records.models import Setting
from honeyhold.records.store import Records

OFFSET_KEY = "clock_offset_s"
ZONE_OTHERWISE = "America/Chicago"


def machine_time() -> datetime:
    """The machine's time, aware, in UTC."""
    return datetime.now(UTC)


class Clock:
    """Tells the house's time. A demo sets it back to its season, and it goes on from there after a restart; no other house's is moved."""

    def __init__(self, records: Records, source: Callable[[], datetime] = machine_time) -> None:
        self._records = records
        self._source = source
        with records.read():
            kept = timedelta(seconds=int(records.meta(OFFSET_KEY, "0")))
        self._offset = kept if self.may_be_moved() else timedelta()
        self.left_out = kept - self._offset
        """By how much an older start had moved the clock of a real house: no longer heeded."""

    def now(self) -> datetime:
        """The house's time, aware, in UTC."""
        return self._source() + self._offset

    def zone(self) -> ZoneInfo:
        """The house's time zone, from the setting `time_zone`."""
        with self._records.read():
            row = self._records.row(Setting, "time_zone")
        return ZoneInfo(str(row["value"]) if row else ZONE_OTHERWISE)

    def may_be_moved(self) -> bool:
        """Whether these records are the demo's."""
        with self._records.read():
            row = self._records.row(Setting, DEMO)
        return row is not None and row["value"] is True

    def today(self) -> date:
        """The day where the house stands."""
        return self.now().astimezone(self.zone()).date()

    def set(self, moment: datetime) -> None:
        """Moves a demo's time to `moment` (aware); it runs on from there. Raises `RealClock`, and ValueError if it has no zone."""
        if moment.tzinfo is None:
            raise ValueError(f"{moment!r} says no time zone; give a moment in UTC.")
        if not self.may_be_moved():
            raise RealClock(
                "The clock of real records is never moved: every order, payment and allocation would carry a day that was not.",
                "Leave --today out, or look at the demo with --demo --today DAY.",
            )
        self._offset = timedelta(seconds=round((moment - self._source()).total_seconds()))
        with self._records.write():
            self._records.set_meta(OFFSET_KEY, str(int(self._offset.total_seconds())))
