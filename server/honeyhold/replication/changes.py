"""What landed after a cursor, page by page."""

from __future__ import annotations

from typing import Any

from honeyhold.records.models import Operation
from honeyhold.records.store import Records

CHANGES_MAX = 500
ROWS_MAX = 5000


def changes_after(records: Records, cursor: int) -> tuple[list[dict[str, Any]], int, bool]:
    """(changes, new cursor, whether there is more): landed operations in order, bounded in number and in rows."""
    found = records.rows_where(Operation, "position > ? ORDER BY position LIMIT ?", cursor, CHANGES_MAX + 1)
    page: list[dict[str, Any]] = []
    rows = 0
    for operation in found[:CHANGES_MAX]:
        rows += len(operation["rows"])
        if page and rows > ROWS_MAX:
            break
        names = ("position", "id", "device", "kind", "made_at", "rows")
        page.append({name: operation[name] for name in names})
    return page, page[-1]["position"] if page else cursor, len(page) < len(found)
