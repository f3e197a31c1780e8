"""Waiting lines get what becomes free, first come first served, before any device is granted more."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from honeyhold.operations.allocations import pools
from honeyhold.records.models import Line
from honeyhold.records.store import Records

ROWS_MAX = 200


def places_in_queue(places: list[list[int]], more: int, place: int, filled: bool) -> list[list[int]]:
    """A line's `[[place, units], ...]` when it waits for so many units more (or fewer, below nothing).

    Units added to an order stand where they were added, behind everybody who waited by then; what is filled goes from
    the front, what is no longer wanted from the back.
    """
    left = [[at, units] for at, units in places]
    if more > 0:
        return sorted([*left, [place, more]])
    fewer = -more
    while fewer > 0 and left:
        last = left[0 if filled else -1]
        taken = min(fewer, last[1])
        last[1] -= taken
        fewer -= taken
        left = [one for one in left if one[1] > 0]
    return left


def rows_to_fill(records: Records, new_id: Callable[[], str]) -> list[dict[str, Any]]:
    """Reservation rows for the lines that have waited longest, as far as the pools reach; none if none.

    Longest means: what reached the house first, before it was put back from a backup too (`replication/recovery.py`). No device's clock
    has a say.
    """
    waiting = [good for (good,) in records.sql("SELECT DISTINCT good FROM line WHERE waits > 0").fetchall()]
    first = f"good = ? AND waits > 0 ORDER BY {records.whole_at('queue', 0, 0).sql}, id LIMIT ?"
    rows: list[dict[str, Any]] = []
    for good, pool in sorted(pools(records, waiting).items()):
        lines = records.rows_where(Line, first, good, ROWS_MAX + 1) if pool > 0 else []
        orders = {line["id"]: line["order"] for line in lines}
        for line_id, units in _shared_out(lines, pool).items():
            if len(rows) < ROWS_MAX:
                row = {"table": "reservation", "id": new_id(), "order": orders[line_id], "line": line_id, "good": good, "units": units}
                rows.append(row)
    return rows


def _shared_out(lines: list[dict[str, Any]], pool: int) -> dict[str, int]:
    """`{line: units}` for those in front; lines beyond the first page come first before what was added after them."""
    horizon = lines[ROWS_MAX]["queue"][0][0] if len(lines) > ROWS_MAX else None
    places = sorted(
        (at, line["id"], units) for line in lines[:ROWS_MAX] for at, units in line["queue"] if horizon is None or at <= horizon
    )
    given: dict[str, int] = {}
    left = pool
    for _, line_id, wanted in places:
        units = min(left, wanted)
        if units <= 0:
            break
        given[line_id] = given.get(line_id, 0) + units
        left -= units
    return given
