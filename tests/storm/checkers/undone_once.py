"""I8: an act is undone at most once, whoever says it, and then whole: what came of both together is nothing."""

from __future__ import annotations

import json
from collections import Counter
from typing import Any

from honeyhold.operations.kinds.cartons import CANCELED
from storm.checkers.violation import Violation


def check_undone_once(world: Any) -> None:
    """Reads the entries as they were said: at most one that landed names each act, and its units and cents are the act's, taken away."""
    records = world.house.records
    with records.read():
        landed = records.database.execute_sql(
            "SELECT body, rows FROM operation WHERE kind = 'undo' AND position IS NOT NULL ORDER BY position"
        ).fetchall()
        undone: set[str] = set()
        for body, rows in landed:
            (act,) = [row["id"] for row in json.loads(body)["rows"] if row["table"] == "undoing"]
            if act in undone:
                raise Violation("undone_once", f"the act {act} was undone twice")
            undone.add(act)
            found = records.sql("SELECT rows FROM operation WHERE id = ? AND position IS NOT NULL", act).fetchone()
            if found is None:
                raise Violation("undone_once", f"the act {act} was undone and never landed")
            left = {key: sum for key, sum in _sums([*json.loads(found[0]), *json.loads(rows)]).items() if sum}
            if left:
                raise Violation("undone_once", f"of the act {act} and its undoing there is left {left}")


def _sums(rows: list[dict[str, Any]]) -> Counter[tuple[str, ...]]:
    """Cartons that a cancellation gave back are the order's, not the act's: two may cancel it, and undoing either takes them again."""
    sums: Counter[tuple[str, ...]] = Counter()
    for row in rows:
        if row["table"] == "movement" and row.get("note") != CANCELED:
            sums["units", row["good"], str(row.get("lot")), str(row.get("line"))] += row["units"]
        elif row["table"] == "payment":
            sums["cents", row["order"], row["how"]] += row["cents"]
    return sums
