"""Carries records of any older schema to this one, step by numbered step, each in its own transaction.

A step is written once for SQLite, and once more in the folder `postgresql` under the same number: the two name their types and what they
add to a table each in its own way. PostgreSQL came late and begins with the whole schema of `POSTGRESQL_FIRST`.
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import Final

from honeyhold.records.errors import NewerRecords
from honeyhold.records.store import Records

Steps = list[tuple[int, str]]
POSTGRESQL_FIRST: Final = 20


def steps() -> Steps:
    """The numbered steps of SQLite as (version reached, SQL), from the first."""
    return _read("", 1)


@cache
def postgresql_steps() -> Steps:
    """The same of PostgreSQL, from its first on; it ends where SQLite's ends."""
    found = _read("postgresql", POSTGRESQL_FIRST)
    assert found[-1][0] == steps()[-1][0], "a step is missing in migrations/postgresql"
    return found


def _read(folder: str, first: int) -> Steps:
    place = resources.files("honeyhold.records.migrations") / folder if folder else resources.files("honeyhold.records.migrations")
    names = sorted(entry.name for entry in place.iterdir() if entry.name.endswith(".sql"))
    found = [(int(name.split("_")[0]), (place / name).read_text("utf-8")) for name in names]
    assert [number for number, _ in found] == list(range(first, first + len(found))), f"steps have a hole: {names}"
    return found


def schema_version(records: Records) -> int:
    """The version that the records say they have; 0 for empty ones. Inside a read."""
    if not records.database.table_exists("meta"):
        return 0
    return int(records.meta("schema_version", "0"))


def move_forward(records: Records, known: Steps) -> int:
    """Brings the records to the newest schema of those known and returns its version.

    Raises `NewerRecords` when a newer Honeyhold wrote them. A step that fails leaves them at the step before.
    """
    version = schema_version(records)
    must_be_known(version, known)
    for number, sql in known:
        if number > version:
            _take(records, number, sql)
    return known[-1][0]


def must_be_known(version: int, known: Steps) -> None:
    """Records of this schema can be read. Raises `NewerRecords` when a newer Honeyhold wrote them."""
    if version > known[-1][0]:
        raise NewerRecords(
            f"These records have schema {version}; this Honeyhold knows {known[-1][0]}.",
            "Start the newer Honeyhold, or restore a backup made by this one.",
        )


def _take(records: Records, number: int, sql: str) -> None:
    with records.write():
        if schema_version(records) >= number:
            return  # another process took it in the meantime
        for statement in statements(sql):
            records.sql(statement)
        records.set_meta("schema_version", str(number))


def statements(sql: str) -> list[str]:
    """Splits a step into its statements; comments go, and no step holds a semicolon inside a text."""
    plain = "\n".join(line.split("--")[0] for line in sql.splitlines())
    return [part.strip() for part in plain.split(";") if part.strip()]
