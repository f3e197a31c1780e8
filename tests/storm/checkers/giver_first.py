"""The giver debits first: no device ever knows of a grant that the house has not taken from the pool."""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation


def check_giver_first(world: Any) -> None:
    """Compares what each device was told with what the house has put down (after a restore: once it has reported)."""
    if world.restored and world.house.recovering():
        return
    records = world.house.records
    with records.read():
        granted = {
            (device, good): units for device, good, units in records.database.execute_sql("SELECT device, good, granted FROM share")
        }
    for phone in world.phones:
        if world.restored and phone.identity["device"] in world.copied:
            continue  # one of two copies has reported to the restored house; what the other was granted it cannot know
        for good, units in phone.share_held.granted.items():
            known = granted.get((phone.identity["device"], good), 0)
            if units > known:
                raise Violation("giver_first", f"a device holds {units} {good} granted, the house gave {known}")
