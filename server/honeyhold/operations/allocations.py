"""What each device was granted and has spent: two counters that only grow, and the pool that pays for them."""

from __future__ import annotations

from honeyhold.operations.context import HOUSE
from honeyhold.operations.errors import Refused
from honeyhold.records.models import Good
from honeyhold.records.store import Records
from honeyhold.stock.words import count_words


def pools(records: Records, goods: list[str] | None = None) -> dict[str, int]:
    """The pool of each good (of all goods if none are named)."""
    asked = "SELECT good, on_hand - promised - out FROM balance"
    if goods is None:
        return dict(records.sql(asked).fetchall())
    if not goods:
        return {}
    return dict(records.sql(f"{asked} WHERE good IN ({', '.join('?' for _ in goods)})", *goods).fetchall())


def counters(records: Records, device: str) -> dict[str, tuple[int, int]]:
    """`{good: (granted, spent)}` of one device."""
    found = records.sql("SELECT good, granted, spent FROM share WHERE device = ?", device).fetchall()
    return {good: (granted, spent) for good, granted, spent in found}


def grant(records: Records, device: str, good: str, units: int) -> None:
    """Raises what the device was granted; the pool pays in the same transaction (the giver debits first)."""
    assert units > 0, f"a grant of {units}"
    records.sql(
        "INSERT INTO share (device, good, granted, spent) VALUES (?, ?, ?, 0) "
        "ON CONFLICT (device, good) DO UPDATE SET granted = share.granted + excluded.granted",
        device, good, units,
    )  # fmt: skip
    records.sql("UPDATE balance SET out = out + ? WHERE good = ?", units, good)


def spend(records: Records, device: str, spent: dict[str, int]) -> None:
    """Counts what an entry took from its device's share.

    A device that took more than it was ever granted (only a restored house or a fault can bring that about) is granted
    the rest on the spot, so that both counters stay equal on both sides; the pool pays, and whoever called decides
    whether the pool could afford it.
    """
    if device == HOUSE or not spent:
        return
    held = counters(records, device)
    for good, units in spent.items():
        if records.sql("SELECT 1 FROM balance WHERE good = ?", good).fetchone() is None:
            continue
        granted, before = held.get(good, (0, 0))
        if units > granted - before:
            grant(records, device, good, units - (granted - before))
        records.sql("UPDATE share SET spent = spent + ? WHERE device = ? AND good = ?", units, device, good)
        records.sql("UPDATE balance SET out = out - ? WHERE good = ?", units, good)


def write_off(records: Records, device: str) -> None:
    """A lost device's unspent share returns to the pool: the house counts it as spent."""
    for good, (granted, spent) in counters(records, device).items():
        if granted > spent:
            spend(records, device, {good: granted - spent})


def note_demand(records: Records, device: str, today: str, wanted: dict[str, int]) -> None:
    """Remembers that one caller wanted so many units of each good of this device today."""
    for good, units in wanted.items():
        records.sql(
            'INSERT INTO demand (device, good, "on", units, callers) VALUES (?, ?, ?, ?, 1) '
            'ON CONFLICT (device, good, "on") DO UPDATE SET units = demand.units + excluded.units, callers = demand.callers + 1',
            device, good, today, units,
        )  # fmt: skip


def too_few(records: Records, good: str, units: int) -> Refused:
    """What is missing by its own name, and what to do: cartons are packed with, never promised to a caller."""
    row = records.row(Good, good) or {"name": good, "plural": good, "kind": "wax"}
    words = count_words(units, row["name"], row["plural"] or row["name"])
    if row["kind"] == "carton":
        return Refused(
            f"It takes {words} more than there are on the shelf.",
            "Count the cartons. If they are in use, take the order again and pack it in one that is here.",
        )
    return Refused(f"It promises {words} more than there are to promise.", "Call the customer back: take the order again, and those wait.")
