"""I5: a device's entries land in its own order, its numbers without holes, each naming the one before it.

While a house recovers from a restore an entry may wait for its cause; then only what hangs on none that waits goes ahead of it.
"""

from __future__ import annotations

import json
from typing import Any

from storm.checkers.violation import Violation

READ = """
    SELECT device, seq, hash, body, position FROM operation
    UNION ALL SELECT device, seq, hash, body, NULL FROM pending_entry ORDER BY device, seq"""


def check_in_order(world: Any) -> None:
    """Walks every device's chain as the house has read it."""
    records = world.house.records
    with records.read():
        rows = records.database.execute_sql(READ).fetchall()
        waiting = records.database.execute_sql("SELECT COUNT(*) FROM pending_entry").fetchone()[0]
    if waiting and not world.house.recovering():
        raise Violation("in_order", f"{waiting} entries wait for their cause, and no device is awaited any more")
    chain: dict[str, tuple[int, str]] = {}
    landed: dict[str, list[tuple[int, str]]] = {}
    for device, seq, own_hash, body, position in rows:
        before = json.loads(body).get("before")
        last_seq, last_hash = chain.get(device, (0, ""))
        if seq != last_seq + 1 or before != last_hash:
            raise Violation("in_order", f"{device}: entry {seq} follows {last_seq}, its chain is broken")
        chain[device] = (seq, own_hash)
        earlier = landed.setdefault(device, [])
        if position is not None:
            overtaken = [one for one in earlier if one[0] > position] if earlier and max(earlier)[0] > position else []
            if any(not world.restored or _hangs_on(json.loads(body), json.loads(one)) for _, one in overtaken):
                raise Violation("in_order", f"{device}: entry {seq} landed before one that it follows")
            earlier.append((position, body))


def _hangs_on(later: dict[str, Any], earlier: dict[str, Any]) -> bool:
    return bool(_written(later) & _named(earlier) or _named(later) & _written(earlier))


def _written(entry: dict[str, Any]) -> set[str]:
    return {entry["id"], *(row["id"] for row in entry["rows"])}


def _named(entry: dict[str, Any]) -> set[str]:
    return _written(entry) | {row[name] for row in entry["rows"] for name in ("order", "line", "person", "lot", "undoes") if row.get(name)}
