"""Entries that came before their cause: kept by a house that was put back from a backup, neither landed nor refused yet.

Devices return in any order. One says that an order was handed over that another device took and has not said again; it waits here until its
cause has come, or until every device was heard. What hangs on a waiting entry of the same device waits behind it; everything else goes on.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from honeyhold.records.models import PendingEntry
from honeyhold.records.store import Records

REFERENCES: Final = ("order", "line", "person", "lot", "undoes", "carton", "good", "standing", "replaces", "goes_with", "same_as")
Json = dict[str, Any]


def keep(records: Records, given: Json, received_at: str, heard: int, place: int) -> None:
    """Keeps one entry; its device's chain goes on behind it. Inside a write."""
    names = ("device", "seq", "id", "hash")
    row = {name: given[name] for name in names}
    records.run(PendingEntry.insert(**row, received_at=received_at, heard=heard, place=place, body=given))


def all_kept(records: Records) -> list[Json]:
    """Every waiting entry, in the order in which they were entered as far as anybody knows it."""
    return records.dicts(PendingEntry.select().order_by(PendingEntry.place, PendingEntry.number))


def any_kept(records: Records) -> bool:
    """Whether any entry waits."""
    return records.sql("SELECT 1 FROM pending_entry LIMIT 1").fetchone() is not None


def newest(records: Records) -> int:
    """The number of the last that waits; 0 where none does."""
    return int(records.sql("SELECT MAX(number) FROM pending_entry").fetchone()[0] or 0)


def is_kept(records: Records, entry_id: str, entry_hash: str) -> bool:
    """Whether this very entry waits here."""
    return records.sql("SELECT 1 FROM pending_entry WHERE id = ? AND hash = ?", entry_id, entry_hash).fetchone() is not None


def let_go(records: Records, number: int) -> None:
    """It has been judged."""
    records.run(PendingEntry.delete().where(PendingEntry.number == number))


def must_follow(records: Records, device: str, given: Json) -> bool:
    """Whether an entry hangs on one of the same device that still waits: it would overtake its own cause."""
    if not any_kept(records):
        return False
    rows = records.dicts(PendingEntry.select(PendingEntry.body).where(PendingEntry.device == device))
    return any(hangs_on(given, row["body"]) for row in rows)


def hangs_on(later: Json, earlier: Json) -> bool:
    """Whether one entry writes what the other names."""
    return bool(written(later) & named(earlier) or named(later) & written(earlier))


def written(entry: Json) -> set[str]:
    """Ids of what an entry writes, its own among them: an undo names that one."""
    return {entry["id"], *(row["id"] for row in _rows(entry) if isinstance(row.get("id"), str))}


def named(entry: Json) -> set[str]:
    """Ids of all that an entry speaks of."""
    found = written(entry)
    for row in _rows(entry):
        sources = row.get("sources")
        values = [*(row.get(name) for name in REFERENCES), *(sources if isinstance(sources, list) else ())]
        found |= {value for value in values if isinstance(value, str)}
    return found


def _rows(entry: Json) -> Iterator[Json]:
    """Its rows as far as they are any: nobody has read them yet."""
    rows = entry.get("rows")
    return (row for row in rows if isinstance(row, dict)) if isinstance(rows, list) else iter(())
