"""Carries a file of any older schema to this one, step by numbered step, each in its own transaction."""

from __future__ import annotations

from importlib import resources

from peewee import SqliteDatabase

from honeyhold.records.errors import NewerRecords


def steps() -> list[tuple[int, str]]:
    """The numbered steps as (version reached, SQL), from the first."""
    folder = resources.files("honeyhold.records.migrations")
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".sql"))
    found = [(int(name.split("_")[0]), (folder / name).read_text("utf-8")) for name in names]
    assert [number for number, _ in found] == list(range(1, len(found) + 1)), f"steps have a hole: {names}"
    return found


def schema_version(database: SqliteDatabase) -> int:
    """The version that a file says it has; 0 for an empty one."""
    if not database.table_exists("meta"):
        return 0
    found = database.execute_sql("SELECT value FROM meta WHERE key = 'schema_version'").fetchone()
    return int(found[0]) if found else 0


def move_forward(database: SqliteDatabase) -> int:
    """Brings the file to the newest schema and returns its version.

    Raises `NewerRecords` when a newer Honeyhold wrote it. A step that fails leaves the file at the step before.
    """
    known = steps()
    version = schema_version(database)
    if version > known[-1][0]:
        raise NewerRecords(
            f"These records have schema {version}; this Honeyhold knows {known[-1][0]}.",
            "Start the newer Honeyhold, or restore a backup made by this one.",
        )
    for number, sql in known[version:]:
        _take(database, number, sql)
    return known[-1][0]


def _take(database: SqliteDatabase, number: int, sql: str) -> None:
    with database.atomic("IMMEDIATE"):
        for statement in statements(sql):
            database.execute_sql(statement)
        database.execute_sql(
            "INSERT OR REPLACE INTO meta (key, value) VALUES ('schema_version', ?)", (str(number),)
        )


def statements(sql: str) -> list[str]:
    """Splits a step into its statements; comments go, and no step holds a semicolon inside a text."""
    plain = "\n".join(line.split("--")[0] for line in sql.splitlines())
    return [part.strip() for part in plain.split(";") if part.strip()]
