"""Who is connected, and who has to make room: counts by address, and the bytes of large bodies on their way."""

from __future__ import annotations

from collections import Counter

from honeyhold.app.web_server.connection import WAITING, Connection
from honeyhold.app.web_server.limits import Limits


class Crowd:
    """All open connections, the oldest first."""

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._all: dict[Connection, None] = {}
        self._by_address: Counter[str] = Counter()

    def connections(self) -> list[Connection]:
        """Those that are open now."""
        return list(self._all)

    def let_in(self, newcomer: Connection) -> bool:
        """Whether there is room for it, made if need be: the oldest connection goes that has asked for nothing, of whoever has most."""
        if self._by_address[newcomer.client] >= self._limits.connections_per_address and not self._make_room(newcomer.client):
            return False
        if len(self._all) >= self._limits.connections and not self._make_room(self._by_address.most_common(1)[0][0]):
            return False
        self._all[newcomer] = None
        self._by_address[newcomer.client] += 1
        return True

    def leave(self, one: Connection) -> None:
        """It is closed; once more does nothing."""
        if one in self._all:
            del self._all[one]
            self._by_address[one.client] -= 1
            if not self._by_address[one.client]:
                del self._by_address[one.client]

    def _make_room(self, address: str) -> bool:
        for one in self._all:
            if one.client == address and one.state == WAITING and one.task is not None:
                one.task.cancel()
                self.leave(one)
                return True
        return False


class Room:
    """Bytes of large bodies that are held at the same time, of all and of each address."""

    def __init__(self, limits: Limits) -> None:
        self._limits = limits
        self._by_address: Counter[str] = Counter()

    def take(self, address: str, length: int) -> bool:
        """Whether there was so much left."""
        if self._by_address[address] + length > self._limits.waiting_bytes_per_address:
            return False
        if self._by_address.total() + length > self._limits.waiting_bytes:
            return False
        self._by_address[address] += length
        return True

    def leave(self, address: str, length: int) -> None:
        """So much is free again."""
        self._by_address[address] -= length
        if self._by_address[address] <= 0:
            del self._by_address[address]
