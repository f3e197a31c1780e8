"""I5: a device's operations land in its own order, without a hole, each chained to the one before."""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation


def check_in_order(world: Any) -> None:
    """Walks every chain."""
    records = world.house.records
    with records.read():
        rows = records.database.execute_sql(
            "SELECT device, seq, hash, json_extract(body, '$.before'), position FROM operation ORDER BY device, seq"
        ).fetchall()
    chain: dict[str, tuple[int, str, int]] = {}
    for device, seq, own_hash, before, position in rows:
        last_seq, last_hash, last_position = chain.get(device, (0, "", 0))
        if seq != last_seq + 1 or before != last_hash:
            raise Violation("in_order", f"{device}: entry {seq} follows {last_seq}, its chain is broken")
        if position is not None and position <= last_position:
            raise Violation("in_order", f"{device}: entry {seq} landed before the one before it")
        chain[device] = (seq, own_hash, position or last_position)
