"""The one connection that stays open to a database of many houses: when it is made anew, who hears what meanwhile, whose locks it has."""

from __future__ import annotations

import logging
from collections.abc import Callable
from contextlib import nullcontext
from types import SimpleNamespace
from typing import Any

import psycopg
import pytest

from honeyhold.records import shared_database
from honeyhold.records.errors import HistoryWentBack, RecordsSilent, RecordsTrouble
from honeyhold.records.one_server import OtherServer
from honeyhold.records.shared_database import FAILED_S, FAILED_S_LEAST, WARNED_EACH_S, HostedRecords, SharedDatabase
from honeyhold.records.timelines import OlderServer, Place

WAS, NEXT = Place("7", "00000001"), Place("7", "00000002")
TAKEN_OVER = "Another database server took over; every house looks what it holds."


class Anchor:
    """What is asked of one; `free` is whether a lock that it asks for is."""

    def __init__(self) -> None:
        self.closed, self.free, self.told = False, True, list[str]()

    def execute(self, words: str, values: Any = ()) -> Any:
        if self.closed:
            raise psycopg.OperationalError("the connection is closed")
        self.told.append(words)
        return SimpleNamespace(fetchone=lambda: (self.free,), fetchall=lambda: [(words, values)])

    def close(self) -> None:
        self.closed = True


class Server:
    """Who makes anchors: each try takes its while, and comes to a place or to nothing."""

    def __init__(self, now: list[float]) -> None:
        self.now, self.takes_s, self.leads_to = now, 0.0, WAS
        self.place: Place | None = None
        self.fails: Exception | None = None
        self.tries, self.doubts = 0, False
        self.made: list[Anchor] = []

    def anchored(self) -> Anchor:
        self.tries += 1
        self.now[0] += self.takes_s
        if self.fails is not None:
            raise self.fails
        self.place, self.doubts = self.leads_to, False
        self.made.append(Anchor())
        return self.made[-1]

    def doubted(self) -> bool:
        return self.doubts


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The time, as the process has it."""
    made = [0.0]
    monkeypatch.setattr(shared_database, "time", SimpleNamespace(monotonic=lambda: made[0]))
    return made


@pytest.fixture
def server(now: list[float]) -> Server:
    return Server(now)


@pytest.fixture
def shared(monkeypatch: pytest.MonkeyPatch, server: Server) -> SharedDatabase:
    """A database whose settings are good, and no anchor yet."""
    monkeypatch.setattr(shared_database, "assert_settings", lambda answer: None)
    monkeypatch.setattr(shared_database, "hung_up", lambda connection: connection.closed)
    made = SharedDatabase("host=nowhere")
    made._server = server  # type: ignore[assignment]
    return made


@pytest.mark.parametrize(
    ("took_s", "waits_s"),
    [(0.0, FAILED_S_LEAST), (0.125, FAILED_S_LEAST), (1.0, 1.0), (FAILED_S, FAILED_S), (5.0, FAILED_S)],
)
def test_after_a_try_that_failed_nobody_tries_for_as_long_as_it_took_within_bounds(
    shared: SharedDatabase, server: Server, now: list[float], took_s: float, waits_s: float
) -> None:
    """Whoever asks meanwhile hears at once how it ended; when the time is up the next one tries."""
    now[0] = -took_s
    server.takes_s, server.fails = took_s, psycopg.OperationalError("nobody answers")
    for at, tries in ((-took_s, 1), (0.0, 1), (waits_s / 2, 1), (waits_s - 0.001, 1), (waits_s, 2)):
        now[0] = at
        with pytest.raises(psycopg.OperationalError, match=r"^nobody answers$"):
            shared.anchor_number()
        assert server.tries == tries, at
    server.fails, server.takes_s = None, 0.0
    now[0] += waits_s
    assert shared.anchor_number() == 1 and shared.anchor_number() == 1 and server.tries == 3


def end(shared: SharedDatabase, server: Server) -> None:
    server.made[-1].closed = True


def doubt(shared: SharedDatabase, server: Server) -> None:
    server.doubts = True


@pytest.mark.parametrize("happens", [end, doubt])
@pytest.mark.parametrize(("leads_to", "told"), [(WAS, []), (NEXT, [TAKEN_OVER])])
def test_an_anchor_that_was_lost_is_made_anew_and_another_server_is_told_once(
    shared: SharedDatabase, server: Server, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture,
    happens: Callable[[SharedDatabase, Server], None], leads_to: Place, told: list[str],
) -> None:  # fmt: skip
    """A server that was only started again is no other: what is lent goes on."""
    moved: list[bool] = []
    monkeypatch.setattr(shared.lender, "move", lambda: moved.append(True))
    assert shared.anchor_number() == 1 and shared.is_here(WAS) and not shared.is_here(NEXT)
    happens(shared, server)
    server.leads_to = leads_to
    assert [shared.anchor_number() for _ in range(3)] == [2, 2, 2]
    assert server.made[0].closed and not server.made[1].closed and shared.is_here(leads_to)
    assert [one.message for one in caplog.records] == told and len(moved) == len(told)


def test_only_a_server_that_was_left_answers(
    shared: SharedDatabase, server: Server, now: list[float], caplog: pytest.LogCaptureFixture
) -> None:
    """Who begins is told what to do; who runs already takes it for a database that is away, and the log has it."""
    server.fails = OlderServer(WAS, NEXT.timeline, None)
    with pytest.raises(OlderServer):
        shared.anchor_number()
    assert not caplog.records
    server.fails = None
    now[0] += FAILED_S
    shared.anchor_number()
    server.fails, server.made[0].closed = OlderServer(WAS, NEXT.timeline, None), True
    with pytest.raises(OtherServer, match="took over from this PostgreSQL"):
        shared.anchor_number()
    assert [(one.levelno, one.message) for one in caplog.records] == [(logging.WARNING, str(server.fails))]


@pytest.mark.parametrize(("later_s", "told"), [(0.0, 1), (WARNED_EACH_S, 1), (WARNED_EACH_S + 0.25, 2)])
def test_the_same_is_not_told_again_within_its_while(
    shared: SharedDatabase, now: list[float], caplog: pytest.LogCaptureFixture, later_s: float, told: int
) -> None:
    now[0] = 1024.0
    shared._warn("100% one")
    now[0] += later_s
    shared._warn("100% one")
    assert [one.message for one in caplog.records] == ["100% one"] * told
    shared._warn("other")
    assert caplog.records[-1].message == "other"


def test_a_lock_is_of_the_anchor_that_took_it(shared: SharedDatabase, server: Server) -> None:
    """The number of a lost one gives back nothing: its locks went with it, and the new one's are others'."""
    assert shared.take("(1, 2)") == 1 and server.made[0].told == ["SELECT pg_try_advisory_lock(1, 2)"]
    server.made[0].free = False
    assert shared.take("_shared(1, 2)") == 0 and server.made[0].told[-1] == "SELECT pg_try_advisory_lock_shared(1, 2)"
    end(shared, server)
    shared.give_back("(1, 2)", 1)
    assert shared.take("(1, 2)") == 2
    server.made[1].told.clear()
    for number, told in ((0, []), (1, []), (2, ["SELECT pg_advisory_unlock(1, 2)"])):
        shared.give_back("(1, 2)", number)
        assert server.made[1].told == told


def test_what_is_let_go_gives_its_locks_back_at_once_and_may_have_been_nothing(shared: SharedDatabase, server: Server) -> None:
    """A server notices only a little later that a connection was closed."""
    shared.close()
    shared.give_back("(1, 2)", 0)
    assert shared.rows("SELECT 7", 8) == [("SELECT 7", (8,))]
    shared.close()
    assert server.made[0].told == ["SELECT 7", "SELECT pg_advisory_unlock_all()"] and server.made[0].closed
    shared.close()


@pytest.mark.parametrize("other", [False, True])
def test_a_database_that_is_not_taken_leaves_no_connection(monkeypatch: pytest.MonkeyPatch, other: bool) -> None:
    """It breaks off while it is asked, or its settings are no good."""
    anchor = Anchor()

    def asks(answer: Callable[[str], Any]) -> None:
        assert answer("SHOW fsync") == "SHOW fsync"
        raise RecordsTrouble("PostgreSQL answers fsync = off.", "Set it.") if other else psycopg.OperationalError("it broke off\nDETAIL: x")

    monkeypatch.setattr(shared_database, "assert_settings", asks)
    monkeypatch.setattr(shared_database.OneServer, "anchored", lambda _: anchor)
    words = "PostgreSQL answers fsync = off." if other else "The database does not answer: it broke off"
    with pytest.raises(RecordsTrouble) as trouble:
        SharedDatabase("host=nowhere")
    assert str(trouble.value) == words and anchor.closed
    assert trouble.value.remedy == ("Set it." if other else "Look whether PostgreSQL runs, and at the address.")


@pytest.mark.parametrize(
    ("held_by", "trouble", "same"),
    [(1, None, True), (1, HistoryWentBack(), True), (0, None, True), (0, HistoryWentBack(), False), (0, psycopg.OperationalError(), None)],
)
def test_a_house_is_looked_at_anew_where_its_lock_is_of_an_earlier_anchor(
    shared: SharedDatabase, monkeypatch: pytest.MonkeyPatch, held_by: int, trouble: Exception | None, same: bool | None
) -> None:
    """One that a newer server moved to its own schema is no longer the same, wherever the anchor is."""
    records = HostedRecords.__new__(HostedRecords)
    records._shared, records._held_by, records._moved_on = shared, held_by, False
    looked: list[bool] = []

    def hold() -> None:
        looked.append(True)
        if trouble is not None:
            raise trouble

    monkeypatch.setattr(records, "read", nullcontext)
    monkeypatch.setattr(records, "_hold", hold)
    if same is None:
        with pytest.raises(RecordsSilent):
            records.still_the_same()
    else:
        assert records.still_the_same() is same
    assert len(looked) == (held_by != 1)
    records._moved_on = True
    assert records.still_the_same() is False and len(looked) == (held_by != 1)
