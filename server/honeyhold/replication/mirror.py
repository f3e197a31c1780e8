"""Where a new or emptied device starts from: the records as they are, without the history behind them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any, Final

from honeyhold.operations.allocations import counters
from honeyhold.operations.apply import next_position
from honeyhold.records.models import (
    ROWS,
    Adjustment,
    DeviceState,
    Line,
    Lot,
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
ARRIVAL_COLUMNS: Final = ", ".join(f'"{name}"' for name in ARRIVAL_FIELDS)
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

PAID: Final = """SELECT "on", how, SUM(cents) FROM payment WHERE "on" >= ? GROUP BY 1, 2"""

MOVED: Final = """SELECT good, reason, substr("on", 1, 4), SUM(units) FROM movement GROUP BY 1, 2, 3"""

WHOLE_TABLES = ("setting", "device", "good", "carton", "person", "standing", "forecast")


def mirror_of(records: Records, device: str, today: date) -> dict[str, Any]:
    """Everything of `GET /api/mirror` but protocol, epoch and time: one consistent view, inside a read transaction."""
    state = records.row(DeviceState, device)
    assert state is not None
    recent, kept = records.one_of(_kept_orders(records, keep_since(today)))
    paid = records.sql(f'SELECT id, paid_cents FROM "order" WHERE id IN {recent}', kept).fetchall()
    lines = records.rows_where(Line, f'"order" IN {recent}', kept)
    held = counters(records, device)
    balances = records.sql("SELECT good, lot, units FROM lot_balance WHERE units <> 0").fetchall()
    rows = [row for table in WHOLE_TABLES for row in records.shared_rows(table, ROWS[table])]
    took_since = (today - timedelta(days=TOOK_DAYS)).isoformat()
    rows += records.shared_rows("lot", Lot)
    rows += records.shared_where("order", Order, f"id IN {recent}", kept)
    rows += records.shared_where("line", Line, f'"order" IN {recent}', kept)
    rows += records.shared_where("parcel", Parcel, f'"order" IN {recent}', kept)
    rows += _arrivals(records, recent, kept)
    return {
        "house": identity_of(records),
        "cursor": next_position(records) - 1,
        "rows": rows,
        "balances": [{"good": good, "lot": lot or None, "units": units} for good, lot, units in balances],
        "sure": [{"line": row["id"], "good": row["good"], "units": row["sure"]} for row in lines if row["sure"]],
        "handed": [{"line": row["id"], "good": row["good"], "units": row["handed"]} for row in lines if row["handed"]],
        "paid": [{"order": order, "cents": cents} for order, cents in paid if cents],
        "ledgers": _ledgers(records, recent, kept),
        "money": money_sums(records, took_since),
        "moved": moved_sums(records),
        "took": _took(records, took_since),
        "gone": _gone(records, took_since, recent, kept),
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


def _ledgers(records: Records, recent: str, kept: Any) -> list[dict[str, Any]]:
    """Rows of money that a device shows one by one: payments of the orders it carries, all that was taken off, and the till."""
    payments = records.shared_where("payment", Payment, f'"order" IN {recent}', kept)
    return [*payments, *records.shared_rows("adjustment", Adjustment), *records.shared_rows("till", Till)]


def money_sums(records: Records, since: str) -> list[dict[str, Any]]:
    """`{"on", "how", "cents"}`: what came in less what was paid back, by day and way; what the till is worked out from."""
    found = records.sql(PAID, since).fetchall()
    return [{"cents": cents, "on": on, "how": how} for on, how, cents in found if cents]


def _took(records: Records, since: str) -> list[dict[str, Any]]:
    """`{"order", "lot", "good", "units"}`: what each order took of each lot."""
    found = records.sql(TOOK, since).fetchall()
    return [{"order": order, "lot": lot, "good": good, "units": -units} for order, lot, good, units in found if units]


def _gone(records: Records, since: str, recent: str, kept: Any) -> list[dict[str, Any]]:
    """Orders closed too long ago to be among the rows: number, whose, when; enough to ring them."""
    old = f"state = 'gone' AND closed_on >= ? AND NOT (id IN {recent})"
    found = records.sql(f'SELECT id, number, person, gone_on FROM "order" WHERE {old}', since, kept).fetchall()
    return [{"id": order, "number": number, "person": person, "gone_on": gone_on} for order, number, person, gone_on in found]


def _arrivals(records: Records, recent: str, kept: Any) -> list[dict[str, Any]]:
    """How older parcels came and what chance had been told, without their plans: from these a house learns what its word is worth."""
    old = f"arrived <> '' AND \"order\" NOT IN {recent} ORDER BY arrived_on DESC NULLS LAST, id LIMIT ?"
    found = records.sql(f"SELECT {ARRIVAL_COLUMNS} FROM parcel WHERE {old}", kept, ARRIVALS_MAX).fetchall()
    return [{"table": "parcel", **dict(zip(ARRIVAL_FIELDS, row, strict=True))} for row in found]
