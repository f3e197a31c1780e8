"""How records come to the newest schema: each step once, in order, never back; two processes that both find an old schema take it once."""

from __future__ import annotations

import pytest

from honeyhold.records.errors import NewerRecords
from honeyhold.records.migrations.steps import _take, move_forward, must_be_known, schema_version, statements
from honeyhold.records.sqlite_records import SqliteRecords

STEPS = [(1, "CREATE TABLE one (id TEXT)"), (2, "CREATE TABLE two (id TEXT)"), (3, "CREATE TABLE three (id TEXT)")]


def at(records: SqliteRecords, version: int) -> None:
    """The records say that they have this schema; the tables of `STEPS` are gone. What they say is all that is known of them."""
    with records.write():
        for table in ("one", "two", "three"):
            records.sql(f"DROP TABLE IF EXISTS {table}")
        records.set_meta("schema_version", str(version))


def made(records: SqliteRecords) -> set[str]:
    with records.read():
        return {table for table in ("one", "two", "three") if records.database.table_exists(table)}


@pytest.mark.parametrize(("version", "taken"), [(0, {"one", "two", "three"}), (1, {"two", "three"}), (2, {"three"}), (3, set())])
def test_the_steps_that_are_missing_are_taken(records: SqliteRecords, version: int, taken: set[str]) -> None:
    at(records, version)
    with records.read():
        assert move_forward(records, STEPS) == 3 and schema_version(records) == 3
    assert made(records) == taken


@pytest.mark.parametrize(("version", "taken"), [(0, True), (1, True), (2, False), (3, False)])
def test_a_step_that_another_process_took_in_the_meantime_is_not_taken_again(records: SqliteRecords, version: int, taken: bool) -> None:
    """Whoever waited for the write finds that it was done, or that others went on from there: nothing goes back."""
    at(records, version)
    _take(records, *STEPS[1])
    assert made(records) == ({"two"} if taken else set())
    with records.read():
        assert schema_version(records) == (2 if taken else version)


@pytest.mark.parametrize(("version", "known"), [(0, True), (3, True), (4, False)])
def test_only_a_newer_schema_cannot_be_read(version: int, known: bool) -> None:
    if known:
        must_be_known(version, STEPS)
        return
    with pytest.raises(NewerRecords, match=r"^These records have schema 4; this Honeyhold knows 3\.$") as trouble:
        must_be_known(version, STEPS)
    assert trouble.value.remedy == "Start the newer Honeyhold, or restore a backup made by this one."


def test_a_step_is_read_statement_by_statement_without_its_comments() -> None:
    step = "-- why; and what for\nCREATE TABLE one (\n  id TEXT -- whose; it is\n);\n\nDROP TABLE two;\n;  \n-- the end"
    assert statements(step) == ["CREATE TABLE one (\n  id TEXT \n)", "DROP TABLE two"]
    assert statements("") == statements(" ;\n-- ; ") == []
