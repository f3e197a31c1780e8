"""Which houses a database keeps: what they may be called, what is asked of the database for it, and what is told if it does not do that."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any

import psycopg
import pytest

from honeyhold.records.errors import RecordsSilent, RecordsTrouble
from honeyhold.records.house_register import (
    ARRIVING,
    CHANGED,
    FROZEN,
    KNOWS_ALL_STATES,
    MAKE,
    MAKING,
    OPEN,
    WIDEN,
    BadHouseName,
    HouseArriving,
    HouseFrozen,
    HouseRegister,
    Kept,
    UnknownHouse,
    checked_name,
)
from honeyhold.records.lending import Owner
from replication.houses import MONDAY

LOCK, TOLD, COMMITTED = f"SELECT pg_advisory_xact_lock({MAKING}, 0)", f"NOTIFY {CHANGED}", "committed"


class Database:
    """What a register asks of one; `told` is all that was said to it, and when a connection was through."""

    def __init__(self, *rows: tuple[str, str], is_there: bool = True, knows_all: bool = True) -> None:
        self.kept = [(name, f"house_{number}", f"role_{number}", state, "2026-07-20") for number, (name, state) in enumerate(rows, 1)]
        self.is_there, self.knows_all = is_there, knows_all
        self.changes, self.fails_at, self.fails = 1, "", psycopg.OperationalError("no")
        self.told: list[str] = []

    def rows(self, text: str, *values: Any) -> list[Any]:
        if text.startswith("SELECT name"):
            if self.fails_at == "all":
                raise self.fails
            return self.kept
        assert text == KNOWS_ALL_STATES or values == ("honeyhold_host.house",)
        return [(self.knows_all if text == KNOWS_ALL_STATES else self.is_there,)]

    @contextmanager
    def alone(self) -> Iterator[Any]:
        yield SimpleNamespace(execute=self.execute)
        self.told.append(COMMITTED)

    def execute(self, text: str, values: Any = ()) -> Any:
        if self.fails_at and text.startswith(self.fails_at):
            raise self.fails
        self.told.append(text)
        return SimpleNamespace(fetchone=lambda: (7, 16384), rowcount=self.changes)


def register(database: Database) -> HouseRegister:
    return HouseRegister(database)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["a", "7", "willow", "old-house-2", "a--b", "a" * 63, "localhost2", "wwwx"])
def test_a_house_can_be_called_so(name: str) -> None:
    assert checked_name(name) == name


@pytest.mark.parametrize(
    "name", ["", "-a", "a-", "a.b", "a_b", "Willow", "w illow", "a" * 64, "zoë", "willow\n", "localhost", "www", "a/b", "'"]
)
def test_no_house_can_be_called_so_and_nothing_is_made(name: str) -> None:
    """It is the first part of the house's address, and the name of its folder."""
    database = Database(("maple", OPEN))
    for refuses in (checked_name, register(database).must_be_new, lambda said: register(database).add(said, MONDAY)):
        with pytest.raises(BadHouseName) as trouble:
            refuses(name)
        assert str(trouble.value) == f"A house cannot be called {name!r}." and "small letters a to z" in trouble.value.remedy
    assert database.told == []


def test_of_a_long_name_only_its_beginning_is_repeated() -> None:
    with pytest.raises(BadHouseName, match=f"^A house cannot be called '{'b' * 80}'\\.$"):
        checked_name("b" * 1000)
    assert str(UnknownHouse("b" * 1000)) == f"No house called '{'b' * 63}' is kept here."


def test_a_house_that_is_there_is_not_made_again() -> None:
    database = Database(("maple", OPEN), ("willow", ARRIVING))
    for name in ("maple", "willow"):
        for refuses in (register(database).must_be_new, lambda said: register(database).add(said, MONDAY)):
            with pytest.raises(RecordsTrouble, match=f"^There is a house called {name} already\\.$"):
                refuses(name)
    assert database.told == []
    register(database).must_be_new("rowan")


@pytest.mark.parametrize(
    ("is_there", "knows_all", "asked"), [(False, False, MAKE), (False, True, MAKE), (True, False, WIDEN), (True, True, None)]
)
def test_the_register_is_made_or_widened_where_it_must_be(is_there: bool, knows_all: bool, asked: str | None) -> None:
    """Each change under the register's lock, and told after it is committed: a notice inside of it would hold up the whole server."""
    database = Database(is_there=is_there, knows_all=knows_all)
    register(database)
    assert database.told == ([LOCK, asked, COMMITTED, TOLD, COMMITTED] if asked else [])


@pytest.mark.parametrize("state", [OPEN, ARRIVING])
def test_a_new_house_has_a_role_and_a_schema_that_nobody_else_has(state: str) -> None:
    """Roles belong to the whole server, so the database's number is in theirs."""
    database = Database()
    made = register(database).add("willow", MONDAY, state)
    assert made == Kept("willow", Owner("house_7", "honeyhold_16384_7"), state, MONDAY.isoformat())
    assert database.told[2:7] == [
        'CREATE ROLE "honeyhold_16384_7" NOLOGIN', 'GRANT "honeyhold_16384_7" TO CURRENT_USER',
        'CREATE SCHEMA "house_7" AUTHORIZATION "honeyhold_16384_7"', 'REVOKE ALL ON SCHEMA "house_7" FROM PUBLIC',
        "INSERT INTO honeyhold_host.house (number, name, schema, role, state, made_at) VALUES (%s, %s, %s, %s, %s, %s)",
    ]  # fmt: skip
    assert database.told[0] == LOCK and database.told[7:] == [COMMITTED, TOLD, COMMITTED]


def test_what_is_kept_is_found_by_its_name() -> None:
    found = register(Database(("maple", OPEN), ("willow", FROZEN)))
    assert list(found.all()) == ["maple", "willow"]
    assert found.one("willow") == Kept("willow", Owner("house_2", "role_2"), FROZEN, "2026-07-20")
    with pytest.raises(UnknownHouse, match=r"^No house called 'rowan' is kept here\.$") as trouble:
        found.one("rowan")
    assert trouble.value.remedy == "Look at the address: the house's name comes first in it."


def test_a_house_that_is_not_whole_is_neither_opened_nor_frozen() -> None:
    database = Database(("maple", OPEN), ("willow", ARRIVING))
    for state in (OPEN, FROZEN):
        with pytest.raises(HouseArriving, match="^The house willow is not whole yet"):
            register(database).set_state("willow", state)
        with pytest.raises(UnknownHouse):
            register(database).set_state("rowan", state)
    assert database.told == []
    register(database).set_state("maple", FROZEN)
    assert database.told[1].startswith("UPDATE honeyhold_host.house SET state = %s") and database.told[2:] == [COMMITTED, TOLD, COMMITTED]


def test_a_house_in_which_somebody_else_did_something_is_not_removed() -> None:
    database = Database(("willow", FROZEN))
    kept = register(database).one("willow")
    database.changes = 0
    with pytest.raises(RecordsTrouble, match=r"^willow is no longer frozen: somebody else did something with it\.$") as trouble:
        register(database).remove(kept)
    assert trouble.value.remedy == "Look at honeyhold houses list." and len(database.told) == 2, "nothing is dropped, nothing committed"
    database.changes = 1
    register(database).remove(kept)
    assert database.told[4:] == [
        'DROP SCHEMA "house_1" CASCADE', 'DROP OWNED BY "role_1"', 'DROP ROLE "role_1"', COMMITTED, TOLD, COMMITTED
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("trouble", "words", "remedy"),
    [
        (
            psycopg.errors.InsufficientPrivilege("permission denied to create role\nDETAIL: x"),
            "The role that logs in may not do that: permission denied to create role.",
            "As the database's administrator: ALTER ROLE name CREATEROLE; GRANT CREATE ON DATABASE name TO name.",
        ),
        (
            psycopg.OperationalError("it went away\nDETAIL: x"), "The database did not do that: it went away",
            "Look whether it runs; try again.",
        ),
    ],
)  # fmt: skip
@pytest.mark.parametrize("at", ["CREATE SCHEMA", "NOTIFY"])
def test_what_the_database_says_against_a_change_is_told(trouble: psycopg.Error, words: str, remedy: str, at: str) -> None:
    database = Database()
    database.fails_at, database.fails = at, trouble  # type: ignore[assignment]
    with pytest.raises(RecordsTrouble) as told:
        register(database).add("willow", MONDAY)
    assert (str(told.value), told.value.remedy) == (words, remedy) and (COMMITTED in database.told) is (at == "NOTIFY")


def test_a_register_that_cannot_be_read_is_silent() -> None:
    database = Database()
    asked = register(database)
    database.fails_at = "all"
    asks: list[Callable[[], Any]] = [asked.all, lambda: asked.one("willow"), lambda: asked.must_be_new("willow")]
    for ask in asks:
        with pytest.raises(RecordsSilent):
            ask()


def test_how_long_a_device_waits_before_it_asks_again() -> None:
    """A house that is frozen stays so for long; one that is arriving is there soon."""
    assert (HouseFrozen("willow").wait_s, HouseArriving("willow").wait_s) == (300, 10)
    assert [error.status for error in (HouseFrozen, HouseArriving, UnknownHouse)] == [503, 503, 404]
    assert "honeyhold houses add willow --from BACKUP" in HouseArriving("willow").remedy
    assert str(HouseFrozen("willow")) == "The house willow is closed for now by whoever keeps the server."
