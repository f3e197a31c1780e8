"""Liveness: once nothing goes wrong any more, every entry of a device in good standing is answered; both sides agree on its share."""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation


def check_at_rest(world: Any) -> None:
    """Looks at what each device still has in hand, and at both its counters."""
    records = world.house.records
    with records.read():
        held = {
            (device, good): (granted, spent)
            for device, good, granted, spent in records.database.execute_sql("SELECT device, good, granted, spent FROM share")
        }
    for phone in world.phones:
        device = phone.identity["device"]
        if device in world.copied:
            continue
        if phone.in_hand:
            raise Violation("at_rest", f"{len(phone.in_hand)} entries of {phone.identity['name']} are still in hand")
        for good, granted in phone.share_held.granted.items():
            theirs = held.get((device, good), (0, 0))
            if theirs != (granted, phone.share_held.spent.get(good, 0)):
                raise Violation("at_rest", f"the share of {good} of {phone.identity['name']} is {theirs} to the house, not {granted}")
