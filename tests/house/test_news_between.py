"""What a process makes of its news and of others': one letter a house, nothing of its own heard again, nothing of houses not open here."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from honeyhold.house.between_processes import AGAIN_AFTER, LOOK_S, BetweenProcesses, Letter
from honeyhold.records.house_register import CHANGED
from honeyhold.replication.sessions import Session
from replication.houses import MONDAY


class Here:
    """The houses of a process, of which one is open; what it heard, in order."""

    def __init__(self, position: int = 9) -> None:
        self.heard: list[Any] = []
        self.house = SimpleNamespace(
            news=SimpleNamespace(ring_here=self.heard.append, tell=None), position=lambda: position,
            sessions=SimpleNamespace(hear_elsewhere=lambda *said: self.heard.append(said), tell=None),
        )  # fmt: skip
        self.names = ["willow"]

    def open_here(self, name: str) -> Any:
        return self.house if name == "willow" else None

    def open_now(self) -> list[str]:
        return self.names

    def read_register(self) -> None:
        self.heard.append("register")


class Database:
    """One whose anchor is made anew after so many looks, and whose notices come one by one."""

    def __init__(self, looks: int, *notices: tuple[str, str]) -> None:
        self.looks, self.waiting, self.told = looks, list(notices), list[Any]()

    def anchor_number(self) -> int:
        self.looks -= 1
        return 1 if self.looks >= 0 else 2

    def notifies(self, timeout: float, stop_after: int) -> Iterator[tuple[str, str, int]]:
        assert (timeout, stop_after) == (LOOK_S, 1)
        if self.waiting:
            yield (*self.waiting.pop(0), 7)

    @contextmanager
    def alone(self, autocommit: bool = False) -> Iterator[Any]:
        yield self

    def execute(self, text: str, values: Any = ()) -> None:
        self.told.append((text, *values) if values else text)


def between(here: Here, database: Database | None = None) -> BetweenProcesses:
    return BetweenProcesses(database or Database(0), here)  # type: ignore[arg-type]


def test_of_what_happens_in_a_house_the_last_goes_in_one_letter() -> None:
    here = Here()
    hears = between(here)
    hears.join("willow", here.house)  # type: ignore[arg-type]
    for position in (3, 5, 4):
        here.house.news.tell(position)
    early, late = Session(MONDAY, {"bar": 1}, {}), Session(MONDAY, {"bar": 2}, {})
    for said in (early, late):
        here.house.sessions.tell("d1", said, MONDAY)
    here.house.sessions.tell("d1", {"bar": 7}, MONDAY)
    here.house.sessions.tell("d2", {"bar": 1}, MONDAY)
    assert hears._gathered() == {"willow": Letter(5, {"d1": late}, [("d1", {"bar": 7}, MONDAY), ("d2", {"bar": 1}, MONDAY)])}
    assert hears._gathered() == {}


@pytest.mark.parametrize(
    ("later", "wants", "told"), [(AGAIN_AFTER / 2, {"bar": 1}, False), (AGAIN_AFTER, {"bar": 1}, True), (timedelta(0), {"bar": 2}, True)]
)
def test_what_a_device_says_again_is_told_again_after_its_while(later: timedelta, wants: dict[str, int], told: bool) -> None:
    """Counted from what was told last, of that device."""
    here = Here()
    hears = between(here)
    hears.join("willow", here.house)  # type: ignore[arg-type]
    here.house.sessions.tell("d1", Session(MONDAY, {"bar": 1}, {}), MONDAY)
    hears._gathered()
    again = Session(MONDAY + later, wants, {})
    here.house.sessions.tell("d1", again, MONDAY + later)
    assert hears._gathered() == ({"willow": Letter(None, {"d1": again})} if told else {})
    here.house.sessions.tell("d2", Session(MONDAY + later, wants, {}), MONDAY + later)
    assert "d2" in hears._gathered()["willow"].sessions
    other = Here()
    hears.join("maple", other.house)  # type: ignore[arg-type]
    other.house.sessions.tell("d1", again, MONDAY)
    assert list(hears._gathered()) == ["maple"], "another house has other devices"


MOMENT = MONDAY.isoformat()
SAID = {"sessions": [["d1", MOMENT, {"bar": 1}, {"jar": 2}]], "returned": [["d2", {"bar": 7}, MOMENT]]}
HEARD = [("d1", Session(MONDAY, {"bar": 1}, {"jar": 2}), MONDAY), ("d2", {"bar": 7}, MONDAY)]


@pytest.mark.parametrize(
    ("told", "heard"),
    [
        ({"position": 5, **SAID}, [*HEARD, 5]), ({"position": None, **SAID}, HEARD), ({"position": 5}, [5]), ({"position": 0}, [0]),
        ({"position": 5, "house": "maple", **SAID}, []), ({"position": None}, []),
    ],
)  # fmt: skip
def test_what_another_process_tells_is_taken_in_where_the_house_is_open(told: dict[str, Any], heard: list[Any]) -> None:
    """What was too long to go along is missing; what devices said comes before the bell, so that whoever wakes knows it."""
    here = Here()
    between(here)._take({"from": "another", "house": "willow", **told})
    assert here.heard == heard


def test_a_process_does_not_hear_itself() -> None:
    here = Here()
    hears = between(here)
    hears._take({"from": hears._sender, "house": "willow", "position": 5, **SAID})
    assert here.heard == [] and hears._sender != between(here)._sender


def test_a_letter_comes_as_it_went() -> None:
    here, sent = Here(), Letter(5, {"d1": HEARD[0][1]}, [("d2", {"bar": 7}, MONDAY)])  # type: ignore[dict-item]
    between(here)._take(json.loads(sent.written("another", "willow")))
    assert here.heard == [*HEARD, 5]


def test_the_register_is_read_when_it_has_changed_and_notices_are_heard_until_the_anchor_is_another() -> None:
    notice = Letter(5).written("another", "willow")
    for looks, heard in ((0, []), (1, ["register"]), (2, ["register", 5]), (9, ["register", 5])):
        here = Here()
        database = Database(looks, (CHANGED, ""), ("honeyhold_news", notice))
        between(here, database)._hear(database, 1)  # type: ignore[arg-type]
        assert here.heard == heard
    here = Here()
    hears = between(here, database := Database(9, (CHANGED, "")))
    hears.stop()
    hears._hear(database, 1)  # type: ignore[arg-type]
    assert here.heard == []


def test_who_begins_to_listen_looks_again_at_every_house_that_is_open() -> None:
    here = Here(position=12)
    here.names = ["gone", "willow"]
    between(here)._catch_up()
    assert here.heard == ["register", 12]

    def away() -> int:
        raise OSError("the database is away again")

    here.house.position = away
    here.heard.clear()
    between(here)._catch_up()
    assert here.heard == ["register"]


def test_all_letters_go_in_one_statement() -> None:
    database = Database(0)
    tells = between(Here(), database)
    with tells._changed:
        for name, position in (("willow", 5), ("maple", 6)):
            tells._letter(name).position = position
    tells._send_all(database)  # type: ignore[arg-type]
    ((_, about, told),) = database.told
    assert about == "honeyhold_news" and [one["house"] for one in map(json.loads, told)] == ["willow", "maple"]
    assert tells._letters == {}
