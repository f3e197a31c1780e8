"""What landed once lands again: after a restore nothing is refused only because devices returned in some order.

Held to kinds that no later entry of another device can rightly overtake, and to runs in which every device came back as itself.
"""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation

KINDS = ("promise", "pay", "sell", "make", "buy", "count", "note_person")


def check_returned(world: Any) -> None:
    """Looks for every entry that had landed before a restore among those that have landed now, its lots with it."""
    if not world.restored or world.lost or world.emptied or world.copied:
        return
    records = world.house.records
    with records.read():
        answers = {one: (position, why) for one, position, why in records.database.execute_sql("SELECT id, position, why FROM operation")}
        lots = dict(records.database.execute_sql("SELECT id, lot FROM movement").fetchall())
    for phone in world.phones:
        for entry in phone.log:
            if entry["id"] not in getattr(phone, "places", {}) or entry["kind"] not in KINDS:
                continue
            position, why = answers.get(entry["id"], (None, "nothing"))
            if position is None:
                raise Violation("returned", f"a {entry['kind']} of {phone.identity['name']} landed once, and now: {why}")
            gone = [row["lot"] for row in entry["rows"] if row["table"] == "movement" and row["lot"] and not lots.get(row["id"])]
            if gone:
                raise Violation("returned", f"the lot {gone[0]} of a {entry['kind']} is forgotten")
