"""One PostgreSQL database that keeps many houses: what a process has of it besides the connections that it lends.

A process has one connection that stays open, the anchor. It holds the locks by which others see that a house is being served: shared ones,
for any number of processes may serve a house side by side. Whoever needs a house alone (to delete it, or to put a backup in its place)
asks for the same lock for itself and gets it when every process has let the house go. When the server was away the anchor was lost, and all
locks with it; each house notices by the number of the anchor, takes its lock again and looks whether its records are still those it knew.
"""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Final

import psycopg

from honeyhold.records.errors import HistoryWentBack, RecordsMovedOn, RecordsSilent, RecordsTrouble, SecondHouse, first_line
from honeyhold.records.lending import Lender, LentDatabase, Owner
from honeyhold.records.migrations import steps as migrations
from honeyhold.records.one_server import WHERE, OneServer, OtherServer
from honeyhold.records.postgresql_records import (
    CONNECTIONS_MOST,
    SERVING,
    PostgresqlRecords,
    assert_settings,
    hung_up,
    parts_of,
    patience_with,
)
from honeyhold.records.store import Records
from honeyhold.records.timelines import OlderServer, Place

WORKING, ASKING = 0x486F6E34, 0x486F6E35
"""The first halves of the keys of two locks: who makes a house's backups, who asks for its forecasts; the second half is the schema's."""
FAILED_S_LEAST: Final = 0.2
FAILED_S: Final = 2.0
"""A database that could not be reached is not tried again for as long as the try took, at most so long: a silent one keeps whoever tries
waiting for five seconds."""
WARNED_EACH_S: Final = 60.0

log = logging.getLogger("honeyhold")


class SharedDatabase:
    """The database as one process has it. Safe among threads."""

    def __init__(
        self, address: str, connections_most: int = CONNECTIONS_MOST, folder: Path | None = None, serves: bool = False
    ) -> None:
        """Connects and looks at the server's settings. `folder`: where it is noted which servers its houses were served from.

        `serves`: they are from now on; a command that only looks notes nothing, unless it opens a house. Raises `RecordsTrouble`.
        """
        self.address = address
        self._server = OneServer({**parts_of(address), **patience_with(address)}, folder, serves)
        self.lender = Lender(address, connections_most, connected=self._joined)
        self._holding = threading.Lock()
        self._anchor: psycopg.Connection[Any] | None = None
        self._failed: tuple[float, float, Exception] | None = None
        """When the last try for an anchor failed, how long it took, and how it failed."""
        self._anchored = 0
        """How many anchors there were: a house whose lock is of an earlier one has lost it."""
        self._said: tuple[str, float] = "", 0.0
        """What was warned of last, and when."""
        try:
            assert_settings(lambda asked: self.rows(asked)[0][0])
        except psycopg.Error as trouble:
            self.close()
            raise RecordsTrouble(
                f"The database does not answer: {first_line(trouble)}", "Look whether PostgreSQL runs, and at the address."
            ) from None
        except BaseException:
            self.close()
            raise

    def rows(self, text: str, *values: Any) -> list[Any]:
        """What one statement answers, by the anchor and the rights of whoever keeps the server. Raises what psycopg raises."""
        with self._holding:  # nobody looks whether it still lives while an answer is on its way
            return self._anchor_now().execute(text, values).fetchall()

    @contextmanager
    def alone(self, autocommit: bool = False) -> Iterator[psycopg.Connection[Any]]:
        """A connection of its own with those rights; without `autocommit` for one change that lands whole or not at all."""
        with self._joined() as connection:
            connection.autocommit = autocommit
            yield connection

    def _joined(self) -> psycopg.Connection[Any]:
        """The anchor is looked at first: a server that was only started again is not taken for another."""
        self.anchor_number()
        return self._server.joined()

    def anchor_number(self) -> int:
        """Which anchor there is now, made anew where the server ended the one before. Raises what psycopg raises."""
        with self._holding:
            self._anchor_now()
            return self._anchored

    def take(self, lock: str) -> int:
        """Tries for a lock by the anchor; its number, or 0 where somebody else has the lock."""
        with self._holding:
            taken = self._anchor_now().execute(f"SELECT pg_try_advisory_lock{lock}").fetchone()
            return self._anchored if taken and taken[0] else 0

    def give_back(self, lock: str, number: int) -> None:
        """Lets a lock go that this anchor has taken; one that is gone took its locks with it."""
        with self._holding, suppress(psycopg.Error):
            if number == self._anchored and self._anchor is not None:
                self._anchor.execute(f"SELECT pg_advisory_unlock{lock}")

    def _anchor_now(self) -> psycopg.Connection[Any]:
        if self._anchor is not None and (hung_up(self._anchor) or self._server.doubted()):
            self._anchor.close()
            self._anchor = None
        if self._anchor is None:
            before = self._server.place
            self._anchor = self._connected()
            self._anchored += 1
            if before not in (None, self._server.place):
                log.warning("Another database server took over; every house looks what it holds.")
                self.lender.move()
        return self._anchor

    def _connected(self) -> psycopg.Connection[Any]:
        """All who ask wait behind one try; those that waited hear how it ended, and do not each wait for one of their own."""
        began_s = time.monotonic()
        if self._failed is not None and began_s - self._failed[0] < min(FAILED_S, max(FAILED_S_LEAST, self._failed[1])):
            raise psycopg.OperationalError(str(self._failed[2]))
        try:
            connection = self._server.anchored()
        except (psycopg.Error, OlderServer) as trouble:
            ended_s = time.monotonic()
            self._failed = ended_s, ended_s - began_s, trouble
            if isinstance(trouble, OlderServer) and self._anchored:
                self._warn(str(trouble))
                raise OtherServer(str(trouble)) from trouble  # who asks hears what he hears of a database that is away
            raise
        self._failed = None
        return connection

    def _warn(self, words: str) -> None:
        """At each change, else once a minute: whoever asks tries again several times a second."""
        now_s = time.monotonic()
        if words != self._said[0] or now_s - self._said[1] > WARNED_EACH_S:
            self._said = words, now_s
            log.warning("%s", words)

    def is_here(self, place: Place) -> bool:
        """Whether the anchor is on that server."""
        return place == self._server.place

    def close(self) -> None:
        """Lets go of everything."""
        self.lender.close()
        with self._holding, suppress(psycopg.Error):
            if self._anchor is not None:
                self._anchor.execute("SELECT pg_advisory_unlock_all()")
                self._anchor.close()


class HostedRecords(PostgresqlRecords):
    """The records of one of the houses: a schema and a role of its own, connections lent by the process."""

    def __init__(self, shared: SharedDatabase, owner: Owner, alone: bool = False) -> None:
        """Moves the records to this version's schema. `alone`: nobody else may have the house open.

        Raises `SecondHouse`, `NewerRecords`, `RecordsTrouble`, `RecordsSilent`.
        """
        Records.__init__(self)
        self._shared, self._alone_here = shared, alone
        self.database = LentDatabase(shared.lender, owner)
        self._holding = threading.Lock()
        self._held_by = self._schema_key = 0
        self._kept_to: tuple[str, str] | None = None
        self._version = ""
        """Of the schema, once it is this program's; empty while it is being moved."""
        self._moved_on = False
        try:
            with self.read():
                self._schema_key = int(self.sql("SELECT hashtext(?)", owner.schema).fetchone()[0])
                self._hold()
                self._version = str(migrations.move_forward(self, migrations.postgresql_steps()))
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Lets go of the house."""
        if not self.database.is_closed() and not self.database.in_transaction():
            self.database.close()
        with self._holding:
            self._shared.give_back(self._lock, self._held_by)
            self._held_by = 0

    def _open(self) -> None:
        """The lender looks itself where its connections lead."""
        Records._open(self)

    def still_the_same(self) -> bool:
        """Whether this is still the house as it was opened: looked at anew where the server was away, or a newer one moved its schema.

        Raises `RecordsSilent`, `SecondHouse`.
        """
        if self._moved_on:
            return False
        try:
            if self._held_by != self._shared.anchor_number():
                with self.read():
                    self._hold()
        except HistoryWentBack:
            return False
        except psycopg.Error as trouble:
            raise RecordsSilent from trouble
        return True

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """A write; a server that is being replaced by a newer one writes nothing into the newer one's tables. Raises `RecordsMovedOn`."""
        with super()._alone():
            if self._version and self.meta("schema_version") != self._version:
                self._moved_on = True
                raise RecordsMovedOn
            yield

    @contextmanager
    def working_alone(self, what: int = WORKING) -> Iterator[bool]:
        """Whether this process alone does this for the house until the end; another that already does so goes on.

        A lost anchor lets a second one begin: what is done so must bear to be done twice.
        """
        lock = f"({what}, {self._schema_key})"
        number = self._shared.take(lock)
        try:
            yield bool(number)
        finally:
            self._shared.give_back(lock, number)

    @property
    def _lock(self) -> str:
        return f"{'' if self._alone_here else '_shared'}({SERVING}, {self._schema_key})"

    def _hold(self) -> None:
        """This process has the house, as long as its anchor lives; a new anchor takes the lock again. Inside a read."""
        with self._holding:
            if self._held_by == self._shared.anchor_number():
                return
            number = self._shared.take(self._lock)
            if not number:
                raise SecondHouse(
                    "This house is in use elsewhere in a way that lets nobody else in.",
                    "Freeze it and wait until every server has let it go (honeyhold houses list), then do this again.",
                )
            try:
                if not self._shared.is_here(Place(*self.sql(WHERE).fetchone())):
                    raise RecordsSilent  # this connection is still to a server that was left just now
                if self._kept_to is not None and (self.history(), self.meta("epoch")) != self._kept_to:
                    raise HistoryWentBack
            except BaseException:
                self._shared.give_back(self._lock, number)
                raise
            self._held_by = number
