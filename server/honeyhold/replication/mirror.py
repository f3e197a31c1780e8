"""Where a new or emptied device starts from: the records as they are, without the history behind them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any, Final

from peewee import Expression, fn

from honeyhold.operations.allocations import counters
from honeyhold.operations.apply import next_position
from honeyhold.records.models import (
    ROWS,
    Adjustment,
    DeviceState,
    Line,
    Lot,
    LotBalance,
    Order,
    Parcel,
    Payment,
    Till,
)
from honeyhold.records.store import Records

CLOSED_DAYS = 30
TOOK_DAYS = 731
"""How far back a device knows who took which lot: two years of closed orders, without their lines."""
ARRIVALS_MAX = 500
ARRIVAL_FIELDS = ("id", "order", "part", "dressing", "packed_on", "told_permille", "arrived", "arrived_on")
KEPT_ORDERS: Final = """
SELECT id FROM "order" AS o WHERE state IN ('promised', 'packed') OR closed_on >= ? OR paid_cents <> CASE
  WHEN state = 'gone' AND EXISTS (SELECT 1 FROM line WHERE "order" = o.id AND units > 0 AND handed > 0)
  THEN posting_cents + tax_cents + adjusted_cents
    + (SELECT SUM(COALESCE(total_cents, units * price_cents)) FROM line WHERE "order" = o.id) ELSE 0 END
  OR free_for <> ''"""
"""Owed is what left, its posting and its tax, less what was taken off and paid; an order let go or undone is owed back what was paid.
What cost nothing is carried for good: the season counts it."""

TOOK: Final = """
SELECT m."order", m.lot, m.good, SUM(m.units) FROM movement AS m JOIN "order" AS o ON o.id = m."order"
WHERE m.lot IS NOT NULL AND m.reason <> 'packed' AND (o.closed_on IS NULL OR o.closed_on >= ?) GROUP BY 1, 2, 3"""

MOVED: Final = """SELECT good, reason, substr("on", 1, 4), SUM(units) FROM movement GROUP BY 1, 2, 3"""

WHOLE_TABLES = ("setting", "device", "good", "carton", "person", "standing", "forecast")


def mirror_of(records: Records, device: str, today: date) -> dict[str, Any]:
    """Everything of `GET /api/mirror` but protocol, epoch and time: one consistent view, inside a read transaction."""
    state = records.first(DeviceState.select().where(DeviceState.id == device))
    assert state is not None
    recent = Order.id.in_(records.these(_kept_orders(records, keep_since(today))))
    orders = records.dicts(Order.select(Order.id, Order.paid_cents).where(recent))
    lines = records.dicts(Line.select().where(Line.order.in_(_ids(recent))))
    held = counters(records, device)
    balances = records.dicts(LotBalance.select().where(LotBalance.units != 0))
    rows = [row for table in WHOLE_TABLES for row in records.shared_rows(table, ROWS[table])]
    took_since = (today - timedelta(days=TOOK_DAYS)).isoformat()
    rows += records.shared_rows("lot", Lot)
    rows += records.shared_rows("order", Order, recent)
    rows += records.shared_rows("line", Line, Line.order.in_(_ids(recent)))
    rows += records.shared_rows("parcel", Parcel, Parcel.order.in_(_ids(recent)))
    rows += _arrivals(records, recent)
    return {
        "house": identity_of(records),
        "cursor": next_position(records) - 1,
        "rows": rows,
        "balances": [{"good": row["good"], "lot": row["lot"] or None, "units": row["units"]} for row in balances],
        "sure": [{"line": row["id"], "good": row["good"], "units": row["sure"]} for row in lines if row["sure"]],
        "handed": [{"line": row["id"], "good": row["good"], "units": row["handed"]} for row in lines if row["handed"]],
        "paid": [{"order": row["id"], "cents": row["paid_cents"]} for row in orders if row["paid_cents"]],
        "ledgers": _ledgers(records, recent),
        "money": money_sums(records, took_since),
        "moved": moved_sums(records),
        "took": _took(records, took_since),
        "gone": _gone(records, took_since, recent),
        "took_since": took_since,
        "keep_since": keep_since(today),
        "granted": {good: granted for good, (granted, _) in held.items()},
        "spent": {good: spent for good, (_, spent) in held.items()},
        "last_seq": state["last_seq"],
        "last_hash": state["last_hash"],
    }


def identity_of(records: Records) -> str:
    """Which records these are: the hash of their first entry, which every backup of them holds; empty before there is one."""
    found = records.sql("SELECT hash FROM operation WHERE position = 1").fetchone()
    return str(found[0]) if found else ""


def keep_since(today: date) -> str:
    """The day from which on closed orders are carried by every device."""
    return (today - timedelta(days=CLOSED_DAYS)).isoformat()


def _kept_orders(records: Records, since: str) -> list[str]:
    """Open orders, those closed since that day, and whatever is not settled: money does not fall due by being forgotten."""
    return [row[0] for row in records.sql(KEPT_ORDERS, since).fetchall()]


def moved_sums(records: Records) -> list[dict[str, Any]]:
    """`{"good", "reason", "year", "units"}`: all that ever moved, added up by year; what the season's sums are made from."""
    found = records.sql(MOVED).fetchall()
    return [{"good": good, "reason": reason, "year": int(year), "units": units} for good, reason, year, units in found if units]


def _ledgers(records: Records, recent: Expression) -> list[dict[str, Any]]:
    """Rows of money that a device shows one by one: payments of the orders it carries, all that was taken off, and the till."""
    payments = records.shared_rows("payment", Payment, Payment.order.in_(_ids(recent)))
    return [*payments, *records.shared_rows("adjustment", Adjustment), *records.shared_rows("till", Till)]


def money_sums(records: Records, since: str) -> list[dict[str, Any]]:
    """`{"on", "how", "cents"}`: what came in less what was paid back, by day and way; what the till is worked out from."""
    query = Payment.select(Payment.on, Payment.how, fn.SUM(Payment.cents).alias("cents")).where(Payment.on >= since)
    return [row for row in records.dicts(query.group_by(Payment.on, Payment.how)) if row["cents"]]


def _took(records: Records, since: str) -> list[dict[str, Any]]:
    """`{"order", "lot", "good", "units"}`: what each order took of each lot."""
    found = records.sql(TOOK, since).fetchall()
    return [{"order": order, "lot": lot, "good": good, "units": -units} for order, lot, good, units in found if units]


def _gone(records: Records, since: str, recent: Expression) -> list[dict[str, Any]]:
    """Orders closed too long ago to be among the rows: number, whose, when; enough to ring them."""
    old = (Order.state == "gone") & (Order.closed_on >= since) & ~recent
    return records.dicts(Order.select(Order.id, Order.number, Order.person, Order.gone_on).where(old))


def _arrivals(records: Records, recent: Expression) -> list[dict[str, Any]]:
    """How older parcels came and what chance had been told, without their plans: from these a house learns what its word is worth."""
    query = Parcel.select(*(getattr(Parcel, name) for name in ARRIVAL_FIELDS)).where(
        (Parcel.arrived != "") & Parcel.order.not_in(_ids(recent))
    )
    found = records.dicts(query.order_by(Parcel.arrived_on.desc(nulls="LAST"), Parcel.id).limit(ARRIVALS_MAX))
    return [{"table": "parcel", **row} for row in found]


def _ids(recent: Expression) -> Any:
    return Order.select(Order.id).where(recent)
