"""A bounded number of connections to one PostgreSQL, lent to whichever of its houses needs one just now.

A house has no connections of its own: a thousand houses need as many as are at work at the same time. A connection that is lent works as
the house's role in the house's schema, and finds nothing in any other: what a wrong query names elsewhere the database refuses. One that
the house itself had last is lent first, for it needs no change and its statements are still prepared. One that went from house to house for
long is closed: PostgreSQL's process behind it remembers every table that it met, some 100 kB a house.
"""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

import psycopg
from peewee import DataError, IntegrityError, PostgresqlDatabase
from playhouse.pool import MaxConnectionsExceeded
from psycopg.pq import TransactionStatus

from honeyhold.records.postgresql_records import CONNECTIONS_MOST, WAITS_S, as_expected, hung_up, patience_with

NAME: Final = re.compile(r"[a-z][a-z0-9_]{0,62}")
CHANGES_MOST: Final = 300
"""After so many changes of house a connection is closed when it comes back."""


@dataclass(frozen=True)
class Owner:
    """Whose a connection is while it is lent: a role, and the one schema in which it has rights."""

    schema: str
    role: str

    def __post_init__(self) -> None:
        assert NAME.fullmatch(self.schema) and NAME.fullmatch(self.role), self

    @property
    def becoming(self) -> str:
        """What a connection is told before it is lent. Temporary tables are looked for last: they hide none of the house's."""
        return f'RESET ROLE; SET ROLE "{self.role}"; SET search_path = "{self.schema}", pg_temp'


class Lender:
    """The connections of one process. Safe among threads."""

    def __init__(
        self, address: str, most: int = CONNECTIONS_MOST, waits_s: float = WAITS_S, connected: Callable[[], Any] | None = None
    ) -> None:
        """`connected` makes a connection, if not by the address alone."""
        patience = patience_with(address)
        self._connected = connected or (lambda: psycopg.connect(address, **patience))
        self.most, self.waits_s = most, waits_s
        self._changed = threading.Condition()
        self._free: list[tuple[Owner, Any]] = []
        """Those that lie idle and whose they were, the longest idle first."""
        self._lent: dict[int, Owner] = {}
        self._opening = 0
        self._doubtful: set[int] = set()
        self._changes: dict[int, int] = {}
        """How often each has become another house's."""
        self._moves = 0
        """How often the process went over to another server."""

    def lend(self, owner: Owner) -> Any:
        """A connection that is this owner's until it is taken back. Raises `MaxConnectionsExceeded` at once where none is free."""
        moves = self._moves
        found, was = self._found(owner)
        try:
            if found is None:
                found = as_expected(self._connected())
            if was != owner:
                found.execute(owner.becoming)
                self._changes[id(found)] = self._changes.get(id(found), 0) + 1
            self._settled(found, owner, moves)
        except BaseException:
            if found is not None:
                self._end(found)
            self._settled()
            raise
        return found

    def doubt(self, connection: Any) -> None:
        """Something failed on it that may have left it otherwise than it was: it is closed when it comes back."""
        with self._changed:
            self._doubtful.add(id(connection))

    def take_back(self, connection: Any) -> None:
        """It is free for others; or it is closed, where nobody knows in what state it is."""
        with self._changed:
            owner = self._lent.pop(id(connection))
            doubtful = id(connection) in self._doubtful
            self._doubtful.discard(id(connection))
            tired = self._changes.get(id(connection), 0) >= CHANGES_MOST
            if connection.closed or doubtful or tired or connection.pgconn.transaction_status != TransactionStatus.IDLE:
                self._end(connection)
            else:
                self._free.append((owner, connection))
            self._changed.notify()

    def open(self) -> int:
        """How many connections there are, idle or lent."""
        with self._changed:
            return len(self._free) + len(self._lent) + self._opening

    def move(self) -> None:
        """The process went over to another server: no connection that there was is lent again."""
        with self._changed:
            self._moves += 1
            self._doubtful |= self._lent.keys()
        self.close()

    def close(self) -> None:
        """Those that lie idle are closed; those that are lent, by whoever has them."""
        with self._changed:
            for _, connection in self._free:
                self._end(connection)
            self._free.clear()

    def wait(self, seconds: float) -> None:
        """Until one comes back, or the time is up."""
        with self._changed:
            if not self._free and len(self._lent) + self._opening >= self.most:
                self._changed.wait(seconds)

    def _found(self, owner: Owner) -> tuple[Any, Owner | None]:
        """An idle one of the owner's own; or nothing, and the right to open one; or, where there are enough, the one idle for longest.

        A statement that is prepared for one house is read anew for the next, which takes the database four times as long as the exchange.
        """
        with self._changed:
            own = [place for place, (was, _) in enumerate(self._free) if was == owner]
            while self._free and (own or len(self._free) + len(self._lent) + self._opening >= self.most):
                was, connection = self._free.pop(own.pop() if own else 0)
                if not hung_up(connection):
                    self._opening += 1
                    return connection, was
                self._end(connection)
            if len(self._free) + len(self._lent) + self._opening >= self.most:
                raise MaxConnectionsExceeded(f"All {self.most} connections to the database are in use.")
            self._opening += 1
            return None, None

    def _end(self, connection: Any) -> None:
        self._changes.pop(id(connection), None)
        connection.close()

    def _settled(self, connection: Any = None, owner: Owner | None = None, moves: int = 0) -> None:
        with self._changed:
            if owner is not None and moves != self._moves:
                raise psycopg.OperationalError("the process went over to another server meanwhile")
            self._opening -= 1
            if owner is None:
                self._changed.notify()
            else:
                self._lent[id(connection)] = owner


class LentDatabase(PostgresqlDatabase):
    """What Peewee takes for a house's database: its connections are the lender's."""

    def __init__(self, lender: Lender, owner: Owner) -> None:
        self._lender, self._owner = lender, owner
        super().__init__(owner.schema, prefer_psycopg3=True)

    def connect(self, reuse_if_open: bool = False) -> bool:
        """As everywhere; waits for a connection to come back, and holds up nobody of this house who would give one back."""
        until = time.monotonic() + self._lender.waits_s
        while True:
            try:
                return bool(super().connect(reuse_if_open))
            except MaxConnectionsExceeded:
                left_s = until - time.monotonic()
                if left_s <= 0:
                    raise
                self._lender.wait(min(left_s, 1.0))

    def _connect(self) -> Any:
        return self._lender.lend(self._owner)

    def _close(self, conn: Any) -> None:
        self._lender.take_back(conn)

    def execute_sql(self, sql: Any, params: Any = None) -> Any:
        """As everywhere; whatever fails for another reason than the values that were given leaves the connection in doubt."""
        try:
            return super().execute_sql(sql, params)  # type: ignore[no-untyped-call]
        except (IntegrityError, DataError):
            raise
        except Exception:
            if not self.is_closed():
                self._lender.doubt(self.connection())  # type: ignore[no-untyped-call]
            raise
