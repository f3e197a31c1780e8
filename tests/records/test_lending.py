"""Connections that are lent: to whom which, how long one is waited for, when one is closed, and what a move to another server ends."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable, Iterator
from types import SimpleNamespace
from typing import Any

import psycopg
import pytest
from peewee import DataError, IntegrityError, OperationalError, PostgresqlDatabase, ProgrammingError
from playhouse.pool import MaxConnectionsExceeded
from psycopg.pq import TransactionStatus

from honeyhold.records import lending
from honeyhold.records.lending import CHANGES_MOST, Lender, LentDatabase, Owner

WILLOW, MAPLE = Owner("willow", "willow_role"), Owner("maple", "maple_role")
LONG_S = 60.0


class Connection:
    """What a lender asks of one."""

    def __init__(self) -> None:
        self.closed = False
        self.told: list[str] = []
        self.pgconn = SimpleNamespace(transaction_status=TransactionStatus.IDLE, server_version=150000)
        self._here, self._there = socket.socketpair()

    def fileno(self) -> int:
        return self._here.fileno()

    def execute(self, words: str) -> None:
        self.told.append(words)

    def close(self) -> None:
        self.closed = True
        self._here.close()
        self._there.close()

    def hang_up(self) -> None:
        """The server ends it."""
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


def test_its_own_that_came_back_last_is_lent_first_and_of_others_the_longest_idle(lender: Callable[..., Lender]) -> None:
    lends = lender(most=4)
    first, second, third, fourth = (lends.lend(owner) for owner in (MAPLE, WILLOW, WILLOW, MAPLE))
    for one in (first, second, third):
        lends.take_back(one)
    assert lends.lend(WILLOW) is third and lends.lend(WILLOW) is second, "its own, and nothing is told anew"
    assert second.told == third.told == [WILLOW.becoming]
    assert lends.lend(WILLOW) is first and first.told == [MAPLE.becoming, WILLOW.becoming], "there are as many as there may be"
    with pytest.raises(MaxConnectionsExceeded, match=r"^All 4 connections to the database are in use\.$"):
        lends.lend(WILLOW)
    for one in (third, fourth, second):
        lends.take_back(one)
    assert lends.lend(Owner("rowan", "rowan_role")) is third


def test_while_more_may_be_opened_nobody_gets_what_was_anothers(lender: Callable[..., Lender]) -> None:
    lends = lender(most=2)
    was = lends.lend(WILLOW)
    lends.take_back(was)
    assert lends.lend(MAPLE) is not was and lends.lend(WILLOW) is was and lends.open() == 2


def test_one_that_the_server_ended_while_it_lay_idle_is_passed_over(lender: Callable[..., Lender]) -> None:
    lends = lender(most=3)
    ended, other, kept = (lends.lend(WILLOW) for _ in range(3))
    for one in (kept, other, ended):
        lends.take_back(one)
    for one in (ended, other):
        one.hang_up()
    assert lends.lend(WILLOW) is kept and ended.closed and other.closed and lends.open() == 1
    lends.take_back(kept)
    kept.hang_up()
    assert lends.lend(WILLOW) not in (ended, other, kept) and kept.closed and lends.open() == 1
    full = lender(most=1)
    was = full.lend(WILLOW)
    full.take_back(was)
    was.hang_up()
    assert full.lend(MAPLE).told == [MAPLE.becoming] and was.closed and full.open() == 1


def in_state(status: TransactionStatus) -> Callable[[Lender, Connection], None]:
    def become(lends: Lender, connection: Connection) -> None:
        connection.pgconn.transaction_status = status

    return become


@pytest.mark.parametrize(
    ("happens", "kept"),
    [
        (lambda lends, connection: None, True), (lambda lends, connection: lends.doubt(connection), False),
        (lambda lends, connection: connection.close(), False), (in_state(TransactionStatus.INTRANS), False),
        (in_state(TransactionStatus.INERROR), False), (in_state(TransactionStatus.ACTIVE), False),
        (in_state(TransactionStatus.UNKNOWN), False),
    ],
)  # fmt: skip
def test_what_comes_back_is_lent_again_only_if_it_is_known_to_be_as_it_was(
    lender: Callable[..., Lender], happens: Callable[[Lender, Connection], None], kept: bool
) -> None:
    lends = lender()
    one = lends.lend(WILLOW)
    happens(lends, one)
    lends.take_back(one)
    assert one.closed is not kept and lends.open() == kept and (lends.lend(WILLOW) is one) is kept


def test_a_doubt_is_of_one_loan_and_of_one_connection(lender: Callable[..., Lender]) -> None:
    lends = lender()
    doubted, other = lends.lend(WILLOW), lends.lend(WILLOW)
    lends.doubt(doubted)
    lends.take_back(other)
    lends.take_back(doubted)
    assert doubted.closed and not other.closed and lends._doubtful == set(), "another may stand in its place in memory"


def test_one_that_was_of_as_many_houses_as_it_bears_is_closed(lender: Callable[..., Lender]) -> None:
    """To be lent to the same house again is no change."""
    lends = lender(most=1)
    one, owners = lends.lend(WILLOW), [MAPLE, WILLOW]
    for turn in range(CHANGES_MOST - 1):
        lends.take_back(one)
        assert lends.lend(owners[turn % 2]) is one and not one.closed
        if turn < 3:
            lends.take_back(one)
            assert lends.lend(owners[turn % 2]) is one
    assert len(one.told) == CHANGES_MOST
    lends.take_back(one)
    assert one.closed and lends.open() == 0 and lends._changes == {}
    lends.take_back(lends.lend(WILLOW))
    assert lends.open() == 1, "the next one begins anew"


@pytest.mark.parametrize(("waits_s", "waited"), [(0.0, []), (0.5, [0.5]), (1.0, [1.0]), (2.5, [1.0, 1.0, 0.5])])
def test_a_house_waits_for_a_connection_as_long_as_it_may(
    lender: Callable[..., Lender], monkeypatch: pytest.MonkeyPatch, waits_s: float, waited: list[float]
) -> None:
    """A second at a time; then it is told that all are in use. One that comes back meanwhile is taken."""
    lends, now, waits = lender(most=1), [64.0], list[float]()
    lends.waits_s = waits_s
    has = lends.lend(MAPLE)

    def wait(seconds: float) -> None:
        assert seconds > 0, "the time is up"
        waits.append(seconds)
        now[0] += seconds
        if back and now[0] == 64.0 + waits_s:
            lends.take_back(has)

    monkeypatch.setattr(lending, "time", SimpleNamespace(monotonic=lambda: now[0]))
    monkeypatch.setattr(lends, "wait", wait)
    back = False
    with pytest.raises(MaxConnectionsExceeded):
        LentDatabase(lends, WILLOW).connect()
    assert waits == waited
    back, now[0] = True, 64.0
    waits.clear()
    if waited:
        willow = LentDatabase(lends, WILLOW)
        assert willow.connect() is True and willow.connection() is has and waits == waited
        assert willow.connect(reuse_if_open=True) is False
        with pytest.raises(OperationalError):
            willow.connect()
        willow.close()
        assert lends.open() == 1 and not has.closed


@pytest.mark.parametrize(
    ("trouble", "doubted"),
    [(IntegrityError, False), (DataError, False), (OperationalError, True), (ProgrammingError, True), (ValueError, True)],
)
def test_only_values_that_were_refused_leave_no_doubt(
    lender: Callable[..., Lender], monkeypatch: pytest.MonkeyPatch, trouble: type[Exception], doubted: bool
) -> None:
    def refused(*_: Any, **__: Any) -> Any:
        raise trouble("no")

    monkeypatch.setattr(PostgresqlDatabase, "execute_sql", refused)
    lends = lender()
    willow = LentDatabase(lends, WILLOW)
    with pytest.raises(trouble):
        willow.execute_sql("SELECT 1")
    assert lends.open() == 0, "where there is no connection there is none to doubt"
    willow.connect()
    one: Any = willow.connection()
    with pytest.raises(trouble):
        willow.execute_sql("SELECT 1")
    willow.close()
    assert one.closed is doubted


@pytest.mark.parametrize("name", ["a", "house_7", "h" * 63])
def test_a_role_and_a_schema_are_called_so(name: str) -> None:
    assert Owner(name, name).becoming == f'RESET ROLE; SET ROLE "{name}"; SET search_path = "{name}", pg_temp'


@pytest.mark.parametrize("name", ["", "House", "7house", "_house", 'a"; DROP', "a-b", "h" * 64, "house\n"])
def test_nothing_else_comes_into_what_a_connection_is_told(name: str) -> None:
    for schema, role in ((name, "role"), ("schema", name)):
        with pytest.raises(AssertionError):
            Owner(schema, role)
