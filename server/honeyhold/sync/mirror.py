"""Where a new or emptied device starts from: the records as they are, without the history behind them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from peewee import Expression

from honeyhold.records.models import (
    ROWS,
    DeviceState,
    Line,
    Lot,
    LotBalance,
    Order,
    Parcel,
)
from honeyhold.records.store import Records
from honeyhold.sync.apply import next_position
from honeyhold.sync.landing import OPEN_STATES
from honeyhold.sync.shares import counters

CLOSED_DAYS = 30
WHOLE_TABLES = ("setting", "device", "good", "carton", "person")


def mirror_of(records: Records, device: str, today: date) -> dict[str, Any]:
    """Everything of `GET /api/mirror` but protocol, epoch and time: one consistent view, inside a read transaction."""
    state = records.first(DeviceState.select().where(DeviceState.id == device))
    assert state is not None
    since = (today - timedelta(days=CLOSED_DAYS)).isoformat()
    recent = Order.state.in_(OPEN_STATES) | (Order.closed_on >= since)
    orders = records.dicts(Order.select(Order.id, Order.paid_cents).where(recent))
    lines = records.dicts(Line.select().where(Line.order.in_(_ids(recent))))
    held = counters(records, device)
    balances = records.dicts(LotBalance.select().where(LotBalance.units != 0))
    rows = [row for table in WHOLE_TABLES for row in records.shared_rows(table, ROWS[table])]
    rows += records.shared_rows("lot", Lot, Lot.id.in_(LotBalance.select(LotBalance.lot).where(LotBalance.units != 0)))
    rows += records.shared_rows("order", Order, recent)
    rows += records.shared_rows("line", Line, Line.order.in_(_ids(recent)))
    rows += records.shared_rows("parcel", Parcel, Parcel.order.in_(_ids(recent)))
    return {
        "cursor": next_position(records) - 1,
        "rows": rows,
        "balances": [{"good": row["good"], "lot": row["lot"] or None, "units": row["units"]} for row in balances],
        "sure": [{"line": row["id"], "good": row["good"], "units": row["sure"]} for row in lines if row["sure"]],
        "handed": [{"line": row["id"], "good": row["good"], "units": row["handed"]} for row in lines if row["handed"]],
        "paid": [{"order": row["id"], "cents": row["paid_cents"]} for row in orders if row["paid_cents"]],
        "granted": {good: granted for good, (granted, _) in held.items()},
        "spent": {good: spent for good, (_, spent) in held.items()},
        "last_seq": state["last_seq"],
        "last_hash": state["last_hash"],
    }


def _ids(recent: Expression) -> Any:
    return Order.select(Order.id).where(recent)
