"""I6: what a device told to be sure is sure. Only a copied, lost, emptied or restored store may break that, and says so."""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation

OUT_OF_BARS = "more than there are to promise"
"""How the house words a refusal for want of units (`operations/apply.py`); a changed order is another matter and is the keeper's to see."""


def check_honesty(world: Any) -> None:
    """No entry made from a share was refused for want of units, and no good is short unless something happened that may make it so."""
    _told_is_kept(world)
    _short_only_with_cause(world)


def _told_is_kept(world: Any) -> None:
    if world.restored:
        return
    records = world.house.records
    outside = world.copied | {phone.identity["device"] for phone in [*world.lost, *world.emptied]}
    with records.read():
        answers = {op: (position, why) for op, position, why in records.database.execute_sql("SELECT id, position, why FROM operation")}
        kinds = dict(records.database.execute_sql("SELECT id, kind FROM operation"))
    for told in world.told:
        if told.device in outside:
            continue
        position, why = answers.get(told.operation, (None, "nothing"))
        if position is None and (kinds.get(told.operation) not in ("amend", "undo") or OUT_OF_BARS in why):
            raise Violation("honesty", f"{told.sure} were told to be sure; the house said {why}")


def _short_only_with_cause(world: Any) -> None:
    records = world.house.records
    with records.read():
        sums = records.database.execute_sql("SELECT good, on_hand, promised FROM balance").fetchall()
    for good, on_hand, promised in sums:
        if promised > max(0, on_hand) and good not in world.excused:
            raise Violation("honesty", f"{promised} {good} are promised, {on_hand} are here, and nothing happened that may explain it")
