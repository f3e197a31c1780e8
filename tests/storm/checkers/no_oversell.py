"""I1: nothing is promised twice. A pool falls below nothing only by what has already happened, or by a restore."""

from __future__ import annotations

import json
from typing import Any

from storm.checkers.violation import Violation

FACTS = ("sell", "hand_over", "count", "pack", "make", "take_back", "undo make", "undo count", "undo buy", "undo sell")

POOL_FROM_LEDGERS = """
    SELECT g.id,
      COALESCE((SELECT SUM(units) FROM movement m WHERE m.good = g.id), 0)
      - COALESCE((SELECT SUM(units) FROM reservation r WHERE r.good = g.id), 0)
      - COALESCE((SELECT SUM(granted - spent) FROM share s WHERE s.good = g.id), 0)
    FROM good g"""


def _undone_since(records: Any, seen: int) -> set[str]:
    """The kinds of the entries that were undone past a position."""
    undone = records.sql("SELECT rows FROM operation WHERE kind = 'undo' AND position > ?", seen).fetchall()
    acts = [row["id"] for (rows,) in undone for row in json.loads(rows) if row["table"] == "undoing"]
    return {records.sql("SELECT kind FROM operation WHERE id = ?", act).fetchone()[0] for act in acts}


def check_no_oversell(world: Any) -> None:
    """Adds the pool up from the ledgers alone and compares it with the step before."""
    records = world.house.records
    with records.read():
        pools = dict(records.database.execute_sql(POOL_FROM_LEDGERS).fetchall())
        last = records.database.execute_sql("SELECT COALESCE(MAX(position), 0) FROM operation").fetchone()[0]
        seen = world.memory.get("position", 0)
        kinds = {kind for (kind,) in records.sql("SELECT kind FROM operation WHERE position > ?", seen).fetchall()}
        kinds |= {f"undo {kind}" for kind in _undone_since(records, seen)}
        negative = records.database.execute_sql("SELECT device, good FROM share WHERE granted < spent OR spent < 0").fetchall()
    if negative:
        raise Violation("no_oversell", f"a share is below nothing: {negative}")
    before = world.memory.get("pools", {})
    excused = bool(kinds & set(FACTS)) or world.restored
    for good, units in pools.items():
        if units < min(0, before.get(good, 0)) and not excused:
            raise Violation("no_oversell", f"{-units} {good} are promised that are not there")
    world.memory["pools"], world.memory["position"] = pools, last
