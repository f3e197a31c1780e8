"""Looking into the records from outside the exchange: for the command line, reports and tests. Nothing here writes."""

from __future__ import annotations

from honeyhold.operations.allocations import pools
from honeyhold.records.models import Balance, Line, LotBalance, Movement, Order
from honeyhold.records.store import Records
from honeyhold.stock.pricing import order_total


def figures(records: Records, good: str) -> dict[str, int]:
    """`{"on_hand", "promised", "free", "pool"}` of one good, in its units."""
    with records.read():
        row = records.first(Balance.select().where(Balance.good == good)) or {"on_hand": 0, "promised": 0}
        pool = pools(records, [good]).get(good, 0)
    free = row["on_hand"] - row["promised"]
    return {"on_hand": row["on_hand"], "promised": row["promised"], "free": free, "pool": pool}


def lot_balances(records: Records, good: str) -> dict[str, int]:
    """Units of a good by lot, lots that are used up left out."""
    with records.read():
        rows = records.dicts(LotBalance.select().where((LotBalance.good == good) & (LotBalance.units != 0)))
    return {row["lot"]: row["units"] for row in rows}


def lots_of_order(records: Records, order: str, good: str) -> dict[str, int]:
    """Units of a good that left for an order, by lot."""
    with records.read():
        rows = records.dicts(Movement.select().where((Movement.order == order) & (Movement.good == good)))
    left: dict[str, int] = {}
    for row in rows:
        left[row["lot"] or ""] = left.get(row["lot"] or "", 0) - row["units"]
    return {lot: units for lot, units in left.items() if units}


def owed_cents(records: Records, order: str) -> int:
    """What is still owed for an order: for one that was let go or undone, only what it was paid back (below nothing)."""
    with records.read():
        row = records.first(Order.select().where(Order.id == order))
        lines = records.dicts(Line.select().where(Line.order == order))
    assert row is not None
    if row["state"] == "let_go" or (row["state"] == "gone" and not any(line["units"] and line["handed"] > 0 for line in lines)):
        return -int(row["paid_cents"])
    return order_total(row, lines) - int(row["paid_cents"])
