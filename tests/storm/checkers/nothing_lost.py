"""I2: whatever a device wrote down is landed, refused with a reason, or kept apart for the keeper; never silently gone."""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation


def check_nothing_lost(world: Any) -> None:
    """Looks for every entry of every device in the house."""
    records = world.house.records
    with records.read():
        known = {one for (one,) in records.database.execute_sql("SELECT hash FROM operation")}
        apart = {one for (one,) in records.database.execute_sql("SELECT hash FROM late_entry UNION SELECT hash FROM pending_entry")}
        silent = records.database.execute_sql("SELECT COUNT(*) FROM operation WHERE why = '' OR remedy = ''").fetchone()[0]
    if silent:
        raise Violation("nothing_lost", f"{silent} refusals say no reason or no remedy")
    for phone in [*world.phones, *world.lost]:
        for entry in phone.log:
            if entry["hash"] not in known and entry["hash"] not in apart:
                raise Violation("nothing_lost", f"entry {entry['seq']} ({entry['kind']}) of {phone.identity['name']} is nowhere")
