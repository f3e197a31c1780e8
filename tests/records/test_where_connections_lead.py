"""To which server each connection leads, by servers that only say who they are: what is taken, closed, tried next and noted."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import psycopg
import pytest

from honeyhold.records.one_server import WHERE, OneServer, OtherServer
from honeyhold.records.timelines import OlderServer, Place, Timelines

BOTH = {"host": "first,second", "dbname": "houses"}
OLD, LATER, STANDBY = ("7", "00000001", "100.5"), ("7", "00000002", "200.5"), ("7", "00000000", "300.5")


class Connection:
    """One to the server that answers; `where` is what it says of itself, or how it fails."""

    def __init__(self, where: tuple[str, ...] | Exception) -> None:
        self.where, self.closed = where, False

    def execute(self, words: str) -> Any:
        assert words == WHERE
        if isinstance(self.where, Exception):
            raise self.where
        return SimpleNamespace(fetchone=lambda: self.where)

    def close(self) -> None:
        self.closed = True


class Servers:
    """Who answers at which host; a connection to several comes to the first that does."""

    def __init__(self, **at: tuple[str, ...] | Exception) -> None:
        self.at: dict[str, tuple[str, ...] | Exception] = at
        self.asked: list[dict[str, Any]] = []
        self.made: list[Connection] = []

    def connect(self, **parts: Any) -> Connection:
        self.asked.append(parts)
        for host in parts["host"].split(","):
            if host in self.at:
                self.made.append(Connection(self.at[host]))
                return self.made[-1]
        raise psycopg.OperationalError("nobody answers")

    def hosts(self) -> list[str]:
        """Where was asked since the last look; each time for single statements that are committed at once."""
        assert all(parts["autocommit"] is True and parts["dbname"] == "houses" for parts in self.asked)
        found = [parts["host"] for parts in self.asked]
        self.asked.clear()
        return found


@pytest.fixture
def servers(monkeypatch: pytest.MonkeyPatch) -> Iterator[Servers]:
    """Nobody answers yet."""
    made = Servers()
    monkeypatch.setattr(psycopg, "connect", made.connect)
    yield made


def noted(folder: Path, *places: tuple[str, ...]) -> Path:
    """A folder whose houses were served from these servers."""
    for place in places:
        Timelines(folder).note(Place(*place))
    return folder


@pytest.mark.parametrize(
    ("keeps_notes", "serves", "notes"), [(True, True, True), (True, False, False), (False, True, True), (False, False, True)]
)
def test_a_server_is_noted_by_who_serves_and_remembered_where_there_is_no_folder(
    servers: Servers, tmp_path: Path, keeps_notes: bool, serves: bool, notes: bool
) -> None:
    """Whoever only looks at a copy on purpose must not stop the others: he notes nothing in their folder."""
    here = OneServer(BOTH, tmp_path if keeps_notes else None, serves)
    servers.at = {"first": LATER}
    here.anchored()
    assert Timelines(tmp_path).newest("7") == ("00000002" if keeps_notes and serves else "")
    servers.at = {"first": OLD}
    if notes:
        with pytest.raises(OlderServer):
            here.anchored()
        assert servers.made[-1].closed
    else:
        assert not here.anchored().closed


def test_a_standby_is_neither_noted_nor_taken_for_one_that_was_left(servers: Servers, tmp_path: Path) -> None:
    """What it lacks is told in other words."""
    servers.at = {"first": STANDBY}
    assert not OneServer(BOTH, noted(tmp_path, LATER), serves=True).anchored().closed
    assert OneServer(BOTH, tmp_path, serves=True).place is None and Timelines(tmp_path).newest("7") == "00000002"


def test_the_address_leads_to_the_one_that_was_left_and_the_other_is_found(servers: Servers, tmp_path: Path) -> None:
    servers.at = {"first": OLD, "second": LATER}
    here = OneServer(BOTH, noted(tmp_path, LATER), serves=True)
    anchor = here.anchored()
    assert servers.hosts() == ["first,second", "first", "second"]
    assert [one.closed for one in servers.made] == [True, True, False] and anchor is servers.made[-1]
    assert here.place == Place(*LATER) and here.place.started == LATER[2]
    assert here.joined() is servers.made[-1] and servers.hosts() == ["second"], "the next one goes there at once"


@pytest.mark.parametrize("second", [None, OLD, psycopg.OperationalError("it broke off")])
def test_while_nobody_but_the_one_that_was_left_answers_there_is_no_anchor(
    servers: Servers, tmp_path: Path, second: tuple[str, ...] | Exception | None
) -> None:
    servers.at = {"first": OLD} if second is None else {"first": OLD, "second": second}
    here = OneServer(BOTH, noted(tmp_path, LATER), serves=True)
    with pytest.raises(OlderServer):
        here.anchored()
    assert servers.hosts() == ["first,second", "first", "second"] and all(one.closed for one in servers.made) and here.place is None
    servers.at["second"] = LATER
    here.anchored()
    assert here.place == Place(*LATER)


def test_a_server_that_does_not_say_where_it_is_is_let_go(servers: Servers, tmp_path: Path) -> None:
    servers.at = {"first": psycopg.OperationalError("it broke off")}
    here = OneServer(BOTH, tmp_path)
    for take in (here.anchored, here.joined):
        with pytest.raises(psycopg.OperationalError, match="broke off"):
            take()
        assert servers.made[-1].closed
    assert servers.hosts() == ["first,second"] * 2, "the others are tried after one that was left, and after no other trouble"


def test_before_there_is_an_anchor_any_server_is_taken(servers: Servers, tmp_path: Path) -> None:
    servers.at = {"first": OLD}
    assert not OneServer(BOTH, tmp_path).joined().closed


@pytest.mark.parametrize("other", [LATER, ("8", "00000001", "100.5"), ("7", "00000001", "100.6")])
def test_a_connection_to_another_server_is_closed_and_the_anchor_is_doubted(
    servers: Servers, tmp_path: Path, other: tuple[str, ...]
) -> None:
    """On a later timeline, of another origin, or started at another moment: two promoted from one primary say the same of their log."""
    servers.at = {"first": OLD}
    here = OneServer(BOTH, tmp_path, serves=True)
    here.anchored()
    assert not here.joined().closed and not here.doubted()
    servers.at = {"first": other}
    with pytest.raises(OtherServer, match="^another server than before answers: whether one took over is looked at first$"):
        here.joined()
    assert servers.made[-1].closed and here.doubted()
    assert servers.hosts() == ["first,second"] * 3, "nobody else is tried before it is known who took over"
    anchor = here.anchored()
    assert not here.doubted() and here.joined().where == anchor.where == other  # type: ignore[attr-defined]


def test_a_connection_to_one_that_was_left_goes_on_to_the_anchors_and_the_next_goes_there_at_once(servers: Servers, tmp_path: Path) -> None:
    servers.at = {"second": LATER}
    here = OneServer(BOTH, tmp_path, serves=True)
    here.anchored()
    servers.at = {"first": OLD, "second": LATER}
    servers.hosts()
    servers.made.clear()
    assert here.joined() is servers.made[-1] and not here.doubted()
    assert servers.hosts() == ["first,second", "first", "second"] and [one.closed for one in servers.made] == [True, True, False]
    here.joined()
    assert servers.hosts() == ["second"]


@pytest.mark.parametrize("second", [None, OLD, ("7", "00000002", "200.6"), psycopg.OperationalError("it broke off")])
def test_where_only_others_than_the_anchors_answer_nobody_is_taken(
    servers: Servers, tmp_path: Path, second: tuple[str, ...] | Exception | None
) -> None:
    servers.at = {"second": LATER}
    here = OneServer(BOTH, tmp_path, serves=True)
    here.anchored()
    servers.made.clear()
    servers.at = {"first": OLD} if second is None else {"first": OLD, "second": second}
    with pytest.raises(OtherServer, match="^only a server answers that another took over from$"):
        here.joined()
    assert all(one.closed for one in servers.made) and not here.doubted()
    servers.at = {"first": OLD, "second": LATER}
    assert here.joined().where == LATER  # type: ignore[attr-defined]
