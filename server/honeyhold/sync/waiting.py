"""Waiting lines get what becomes free, first come first served, before any device is granted more."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from honeyhold.records.models import Line
from honeyhold.records.store import Records
from honeyhold.sync.shares import pools

ROWS_MAX = 200


def rows_to_fill(records: Records, new_id: Callable[[], str]) -> list[dict[str, Any]]:
    """Reservation rows for the lines that have waited longest, as far as the pools reach; none if none.

    Longest means: the line that reached the house first. No device's clock has a say.
    """
    waiting = records.dicts(Line.select(Line.good).where(Line.waits > 0).distinct())
    rows: list[dict[str, Any]] = []
    for good, pool in sorted(pools(records, [row["good"] for row in waiting]).items()):
        left = pool
        query = Line.select().where((Line.good == good) & (Line.waits > 0)).order_by(Line.position, Line.id)
        for line in records.dicts(query.limit(ROWS_MAX)) if left > 0 else []:
            units = min(left, line["waits"])
            if units <= 0 or len(rows) >= ROWS_MAX:
                break
            left -= units
            rows.append(
                {"table": "reservation", "id": new_id(), "order": line["order"], "line": line["id"], "good": good, "units": units}
            )
    return rows
