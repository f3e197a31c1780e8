"""Connections that are lent, while the process goes over to another server: none of the server that was left is lent again."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable, Iterator
from types import SimpleNamespace
from typing import Any

import psycopg
import pytest
from playhouse.pool import MaxConnectionsExceeded
from psycopg.pq import TransactionStatus

from honeyhold.records import lending
from honeyhold.records.lending import Lender, Owner

WILLOW, MAPLE = Owner("willow", "willow_role"), Owner("maple", "maple_role")
LONG_S = 60.0


class Connection:
    """What a lender asks of one."""

    def __init__(self) -> None:
        self.closed = False
        self.told: list[str] = []
        self.pgconn = SimpleNamespace(transaction_status=TransactionStatus.IDLE)
        self._here, self._there = socket.socketpair()

    def fileno(self) -> int:
        return self._here.fileno()

    def execute(self, words: str) -> None:
        self.told.append(words)

    def close(self) -> None:
        self.closed = True
        self._here.close()
        self._there.close()


@pytest.fixture
def lender(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., Lender]]:
    """Makes one of such connections; they are closed at the end."""
    monkeypatch.setattr(lending, "as_expected", lambda connection: connection)
    made: list[Connection] = []

    def new() -> Connection:
        made.append(Connection())
        return made[-1]

    yield lambda most=2, connected=new: Lender("host=nowhere", most=most, connected=connected)
    for connection in made:
        connection.close()


def test_who_opens_one_while_the_process_moves_is_told_so_and_has_none(lender: Callable[..., Lender]) -> None:
    opened: list[Connection] = []

    def opening() -> Connection:
        opened.append(Connection())
        if len(opened) == 1:
            lends.move()
        return opened[-1]

    lends = lender(most=1, connected=opening)
    with pytest.raises(psycopg.OperationalError, match="another server"):
        lends.lend(WILLOW)
    assert opened[0].closed and lends.open() == 0
    again = lends.lend(WILLOW)
    assert again is opened[1] and lends.open() == 1, "its place is free again"
    lends.take_back(again)
    lends.close()
    assert again.closed


def test_one_that_fails_before_it_is_lent_leaves_its_place_after_a_move_too(lender: Callable[..., Lender]) -> None:
    def refused() -> Any:
        raise psycopg.OperationalError("nobody answers")

    lends = lender(most=1, connected=refused)
    lends.move()
    for _ in range(3):
        with pytest.raises(psycopg.OperationalError, match="nobody answers"):
            lends.lend(WILLOW)
    assert lends.open() == 0


@pytest.mark.parametrize(("lent", "back", "waits"), [(0, False, False), (1, False, False), (2, False, True), (2, True, False)])
def test_nobody_waits_while_one_is_free_or_may_be_opened(
    lender: Callable[..., Lender], monkeypatch: pytest.MonkeyPatch, lent: int, back: bool, waits: bool
) -> None:
    lends, waited = lender(most=2), list[float]()
    given = [lends.lend(WILLOW) for _ in range(lent)]
    if back:
        lends.take_back(given[0])
    monkeypatch.setattr(lends._changed, "wait", waited.append)
    lends.wait(LONG_S)
    assert waited == [LONG_S] * waits


def test_whoever_waits_hears_that_one_could_not_be_opened(lender: Callable[..., Lender]) -> None:
    """Its place is free: there is no need to wait until the time is up."""
    begun, fail = threading.Event(), threading.Event()

    def slow() -> Any:
        begun.set()
        fail.wait(LONG_S)
        raise psycopg.OperationalError("nobody answers")

    lends = lender(most=1, connected=slow)

    def tries() -> None:
        with pytest.raises(psycopg.OperationalError):
            lends.lend(WILLOW)

    trying = threading.Thread(target=tries)
    trying.start()
    begun.wait(LONG_S)
    with pytest.raises(MaxConnectionsExceeded):
        lends.lend(MAPLE)
    waiting = threading.Thread(target=lends.wait, args=(LONG_S,))
    waiting.start()
    fail.set()
    waiting.join(LONG_S / 2)
    assert not waiting.is_alive(), "it waited on for a place that is free"
    trying.join()


def test_what_lies_idle_and_what_is_lent_ends_with_a_move(lender: Callable[..., Lender]) -> None:
    lends = lender()
    idle, lent = lends.lend(WILLOW), lends.lend(MAPLE)
    lends.take_back(idle)
    lends.move()
    assert idle.closed and not lent.closed, "whoever has one is through with it first"
    lends.take_back(lent)
    assert lent.closed and lends.open() == 0
    fresh = lends.lend(MAPLE)
    assert fresh not in (idle, lent) and fresh.told == [MAPLE.becoming]
    lends.take_back(fresh)
    assert lends.lend(MAPLE) is fresh and fresh.told == [MAPLE.becoming], "its own is not told anew"
