"""Connections to a house's file that are used again: a new one reads the whole schema first, which takes longer than most answers."""

from __future__ import annotations

import sqlite3
from typing import Any, Final

from peewee import SqliteDatabase

SPARE_MOST: Final = 4
"""So many lie ready at most; more at once are opened, and closed again."""


class KeptConnections(SqliteDatabase):
    """A database whose connections lie ready, once whoever had one is through with it, for the next thread that needs one."""

    def __init__(self, address: str, **more: Any) -> None:
        super().__init__(address, uri=True, check_same_thread=False, **more)
        self._spare: list[sqlite3.Connection] = []
        self._is_over = False

    def end(self) -> None:
        """Closes what lies ready; what is still in use is closed by whoever has it."""
        self._is_over = True
        while self._spare:
            self._spare.pop().close()

    def _connect(self) -> sqlite3.Connection:
        try:
            return self._spare.pop()
        except IndexError:
            made: sqlite3.Connection = super()._connect()  # type: ignore[misc]
            return made

    def _close(self, conn: sqlite3.Connection) -> None:
        if self._is_over or len(self._spare) >= SPARE_MOST or not is_at_rest(conn):
            conn.close()
        else:
            self._spare.append(conn)


def is_at_rest(connection: sqlite3.Connection) -> bool:
    """Whether nothing is under way on it: somebody who broke off while rows were read would have the next one see the records of then.

    What SQLite is told to break off concerns a later statement only while an earlier one is not through.
    """
    if connection.in_transaction:
        return False
    connection.interrupt()
    try:
        connection.execute("SELECT 1").fetchone()
    except sqlite3.OperationalError:
        return False
    return True
