"""All connections of a process are to one server. An address may name several, and after a failover two of them may take writes.

Each new connection is asked where it is. The anchor decides; another that comes to another server is closed at once, and the anchor is
doubted and made anew, so that every house looks whether its records are still those it knew. A server that another took over from is never
served from again (`timelines.py`): where the address leads there first, the others that it names are tried one by one.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

import psycopg

from honeyhold.records.timelines import OlderServer, Place, Timelines

TIMELINE: Final = "substr(pg_walfile_name(pg_current_wal_lsn()), 1, 8)"
"""By the log that is written now: the control file names the timeline before until the first checkpoint after a promotion."""
WHERE: Final = f"""
SELECT system_identifier::text, CASE WHEN pg_is_in_recovery() THEN '00000000' ELSE {TIMELINE} END,
    EXTRACT(epoch FROM pg_postmaster_start_time())::text
FROM pg_control_system()"""
LOOK_S: Final = 1.0
"""So often it is looked whether another process has found a later server."""


class OtherServer(psycopg.OperationalError):
    """A connection came to another server than the anchor's, or to one that was left: for whoever asks, the database does not answer."""


def place_of(connection: psycopg.Connection[Any]) -> Place:
    """Which server is at the other end."""
    found = connection.execute(WHERE).fetchone()
    assert found is not None
    return Place(*found)


def each_alone(parts: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """An address that names several servers as one for each."""
    hosts = {name: str(parts[name]).split(",") for name in ("host", "hostaddr", "port") if parts.get(name)}
    many = max((len(found) for found in hosts.values()), default=1)
    for number in range(many if many > 1 else 0):
        yield {**parts, **{name: found[number if len(found) > 1 else 0] for name, found in hosts.items()}}


class OneServer:
    """Makes the connections of a process. Safe among threads, as far as one alone makes the anchor."""

    def __init__(self, parts: dict[str, Any], folder: Path | None = None, serves: bool = False) -> None:
        """`parts`: the address by libpq's names, with how soon a silent server is given up. `folder`: where servers are noted.

        `serves`: whoever connects is served from here, so it is noted at once; a house that begins notes it in any case.
        """
        self._parts = self._to = parts
        self._serves = serves or folder is None
        self._timelines = Timelines(folder)
        self._doubted = False
        self._looked_at_s = float("-inf")
        self.place: Place | None = None
        """Where the anchor is, or was last."""

    def anchored(self) -> psycopg.Connection[Any]:
        """A new anchor: from now on every other connection must come to its server. Raises `OlderServer`, and what psycopg raises."""
        try:
            return self._anchored(self._parts)
        except OlderServer:
            for alone in each_alone(self._parts):
                try:
                    return self._anchored(alone)
                except (OlderServer, psycopg.Error):
                    continue
            raise

    def joined(self) -> psycopg.Connection[Any]:
        """One more, to the anchor's server. Raises `OtherServer`, and what psycopg raises."""
        connection = psycopg.connect(**self._to, autocommit=True)
        place = self._place_or_closed(connection)
        if self.place is None or self._is_the_anchors(place):
            return connection
        connection.close()
        if not self._timelines.is_left(place):
            self._doubted = True
            raise OtherServer("another server than before answers: whether one took over is looked at first")
        for alone in each_alone(self._parts):
            with suppress(psycopg.Error):
                connection = psycopg.connect(**alone, autocommit=True)
                if self._is_the_anchors(self._place_or_closed(connection)):
                    self._to = alone
                    return connection
                connection.close()
        raise OtherServer("only a server answers that another took over from")

    def doubted(self) -> bool:
        """Whether the anchor is to be made anew though it lives: another server took over from its own, or seems to have."""
        if self._doubted or self.place is None:
            return self._doubted
        now_s = time.monotonic()
        if now_s - self._looked_at_s > LOOK_S:
            self._looked_at_s = now_s
            self._doubted = self._timelines.is_left(self.place)
        return self._doubted

    def _is_the_anchors(self, place: Place) -> bool:
        """`started` too: two standbys that were promoted from one primary say the same of their log."""
        return self.place is not None and place == self.place and place.started == self.place.started

    def _anchored(self, parts: dict[str, Any]) -> psycopg.Connection[Any]:
        connection = psycopg.connect(**parts, autocommit=True)
        place = self._place_or_closed(connection)
        try:
            if int(place.timeline, 16):  # a standby is told in other words
                self._timelines.must_be_the_newest(place, note=self._serves)
        except BaseException:
            connection.close()
            raise
        self.place, self._to, self._doubted = place, parts, False
        return connection

    def _place_or_closed(self, connection: psycopg.Connection[Any]) -> Place:
        try:
            return place_of(connection)
        except BaseException:
            connection.close()
            raise
