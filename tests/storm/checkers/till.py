"""The till closes to the cent: whatever devices paid, undid, put right or paid back, each says the till that the ledgers say."""

from __future__ import annotations

import json
from collections import Counter
from typing import Any

from honeyhold.stock.till import till_of
from storm.checkers.violation import Violation

Row = dict[str, Any]


def check_till(world: Any) -> None:
    """Walks the ledgers day by day, cash alone, and compares; what was undone leaves no cent on any day."""
    records = world.house.records
    with records.read():
        sql = records.database.execute_sql
        paid = [dict(zip(("on", "how", "cents"), row, strict=True)) for row in sql('SELECT "on", how, cents FROM payment').fetchall()]
        names = ("id", "on", "what", "cents", "at", "undoes")
        entries = [dict(zip(names, row, strict=True)) for row in sql('SELECT id, "on", what, cents, "at", undoes FROM till').fetchall()]
        undone = sql("SELECT rows FROM operation WHERE kind = 'undo' AND position IS NOT NULL").fetchall()
        rows_of = {op: json.loads(rows) for op, rows in sql("SELECT id, rows FROM operation WHERE position IS NOT NULL").fetchall()}
    for (text,) in undone:
        _nothing_left(json.loads(text), rows_of)
    closes = _walked(paid, entries)
    for phone in world.phones:
        if phone.identity["device"] in world.copied:
            continue
        money = [{"on": on, "how": how, "cents": cents} for (on, how), cents in phone.mirror.money.items()]
        for day, (expected, counted) in closes.items():
            told = till_of(day, money, phone.mirror.rows["till"].values())
            if (told["expected_cents"], told["counted_cents"]) != (expected, counted):
                said = f"{told['expected_cents']} and {told['counted_cents']}"
                raise Violation("till", f"{phone.identity['name']} says {said} cents on {day}; the ledgers say {expected} and {counted}")


def _walked(paid: list[Row], entries: list[Row]) -> dict[str, tuple[int, int | None]]:
    """By day: the cash that should lie there and what was counted, by going through the days one after the other."""
    gone = {row["undoes"] for row in entries}
    standing = [row for row in entries if row["undoes"] is None and row["id"] not in gone]
    lies, closes = 0, {}
    for day in sorted({row["on"] for row in (*paid, *standing)}):
        lies += sum(row["cents"] for row in paid if row["on"] == day and row["how"] == "cash")
        lies += sum(row["cents"] * {"opening": 1, "taken": -1, "counted": 0}[row["what"]] for row in standing if row["on"] == day)
        counts = sorted((row["at"], row["id"], row["cents"]) for row in standing if row["on"] == day and row["what"] == "counted")
        closes[day] = (lies, counts[-1][2] if counts else None)
        lies = counts[-1][2] if counts else lies
    return closes


def _nothing_left(undo: list[Row], rows_of: dict[str, list[Row]]) -> None:
    act = next(row["id"] for row in undo if row["table"] == "undoing")
    left: Counter[tuple[str, str]] = Counter()
    for row in (*rows_of.get(act, ()), *undo):
        if row["table"] == "payment":
            left[row["on"], row["how"]] += row["cents"]
    wrong = {key: cents for key, cents in left.items() if cents}
    if wrong:
        raise Violation("till", f"what was paid in {act} and undone leaves {wrong}")
