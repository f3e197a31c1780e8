"""What stands in the few rows that records keep of themselves: the epoch, where they went, what they were put back to."""

from __future__ import annotations

from honeyhold.records.sqlite_records import SqliteRecords


def say(records: SqliteRecords, **values: str) -> None:
    """They say this and nothing else, but for their schema."""
    with records.write():
        records.sql("DELETE FROM meta WHERE key <> 'schema_version'")
        for key, value in values.items():
            records.set_meta(key, value)


def said(records: SqliteRecords) -> dict[str, str]:
    """All that they say, but for their schema."""
    with records.read():
        return dict(records.sql("SELECT key, value FROM meta WHERE key <> 'schema_version'").fetchall())
