"""I3: every operation counted once: the records are what the log adds up to, and every running balance its sum."""

from __future__ import annotations

import json
from collections import Counter
from typing import Any

from demo_seed.client.replica import Mirror

from honeyhold.records.check import disagreements
from storm.checkers.violation import Violation


def check_once(world: Any) -> None:
    """Plays the landed log again, row by row, and compares; then adds up what each device spent."""
    wrong = disagreements(world.house.records)  # a lot below zero is no wrong sum: it happens where a phone sells what was undone meanwhile
    if wrong:
        raise Violation("once", "; ".join(wrong))
    records = world.house.records
    again = Mirror()
    spent: Counter[tuple[str, str]] = Counter()
    with records.read():
        for (rows,) in records.database.execute_sql("SELECT rows FROM operation WHERE position IS NOT NULL ORDER BY position"):
            for row in json.loads(rows):
                again.lay(row)
        for device, body in records.database.execute_sql("SELECT device, body FROM operation WHERE device <> 'house'"):
            for good, units in json.loads(body).get("spent", {}).items():
                spent[device, good] += units
        lots = records.database.execute_sql("SELECT good, lot, units FROM lot_balance WHERE units <> 0").fetchall()
        lines = records.database.execute_sql("SELECT id, sure, handed FROM line").fetchall()
        shares = records.database.execute_sql(
            "SELECT s.device, s.good, s.spent, s.granted, d.lost FROM share s JOIN device d ON d.id = s.device"
        ).fetchall()
    _same("lots", {(good, lot or None): units for good, lot, units in lots}, again.lots)
    _same("sure", {line: sure for line, sure, _ in lines}, again.sure)
    _same("handed", {line: handed for line, _, handed in lines}, again.handed)
    for device, good, units, granted, lost in shares:
        expected = granted if lost else spent[device, good]
        if units != expected:
            raise Violation("once", f"{device} spent {expected} {good} by its entries, {units} by the books")


def _same(what: str, kept: dict[Any, int], again: dict[Any, int]) -> None:
    keys = {key for key in [*kept, *again] if kept.get(key, 0) != again.get(key, 0)}
    if keys:
        key = sorted(keys, key=str)[0]
        raise Violation("once", f"{what} of {key}: kept {kept.get(key, 0)}, by the log {again.get(key, 0)}")
