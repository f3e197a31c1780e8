"""The days that a calendar shows: what is mailed and picked up, and by when to melt or bottle. Counts and order numbers, no names."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from honeyhold.records.models import Good, Order
from honeyhold.records.store import Records
from honeyhold.stock import restock

OPEN_ORDERS = "SELECT id FROM \"order\" WHERE state IN ('promised', 'packed') AND leave_on IS NOT NULL ORDER BY leave_on, number"
SALES = """SELECT o.taken_on AS "on", l.units FROM line AS l JOIN "order" AS o ON o.id = l."order"
WHERE l.good = ? AND l.units > 0 AND o.state <> 'let_go' AND o.taken_on BETWEEN ? AND ? ORDER BY o.taken_on"""
YEARS_BACK = 2
USUAL_CHANCE = 20


@dataclass(frozen=True)
class CalendarDay:
    """Something of one whole day; `key` names it for ever."""

    key: str
    on: str
    words: str


def calendar_days(records: Records, today: date, settings: dict[str, Any]) -> list[CalendarDay]:
    """All that is to come, and what is late. One look at the records; inside a read."""
    return [*_mailings(records), *_pick_ups(records), *_melt_by(records, today, settings)]


def _open(records: Records, way: str) -> dict[str, list[str]]:
    """Numbers of open orders by the day they leave; what goes in the parcel of another is no parcel."""
    days: dict[str, list[str]] = {}
    for (order_id,) in records.sql(OPEN_ORDERS).fetchall():
        order = records.row(Order, order_id)
        assert order is not None
        host = records.row(Order, order["goes_with"]) if order["goes_with"] else None
        rides = host is not None and host["state"] in ("promised", "packed")
        if order["way"] == way and not rides:
            days.setdefault(order["leave_on"], []).append(order["number"])
    return days


def _mailings(records: Records) -> list[CalendarDay]:
    counted = {day: f"{len(numbers)} parcel{'' if len(numbers) == 1 else 's'}" for day, numbers in _open(records, "post").items()}
    return [CalendarDay(f"mail-{day}", day, f"Mail {words}") for day, words in counted.items()]


def _pick_ups(records: Records) -> list[CalendarDay]:
    return [CalendarDay(f"pick-up-{day}", day, f"Picked up: {', '.join(numbers)}") for day, numbers in _open(records, "pick_up").items()]


def _melt_by(records: Records, today: date, settings: dict[str, Any]) -> list[CalendarDay]:
    found = []
    for good in records.dicts(Good.select().where(Good.kind.in_(("wax", "honey")) & Good.sold & ~Good.hidden)):
        answer = restock.melt_by(_asked(records, good, today, settings))
        if answer["melt_by"]:
            verb = "Bottle" if good["kind"] == "honey" else "Melt"
            found.append(CalendarDay(f"melt-{good['id']}", answer["melt_by"], f"{verb} by today: {good['plural'] or good['name']}"))
    return found


def _asked(records: Records, good: dict[str, Any], today: date, settings: dict[str, Any]) -> dict[str, Any]:
    since = today.replace(year=today.year - YEARS_BACK, day=min(today.day, 28)).isoformat()
    sales = [{"on": on, "units": units} for on, units in records.sql(SALES, good["id"], since, today.isoformat()).fetchall()]
    here = records.sql("SELECT on_hand - promised FROM balance WHERE good = ?", good["id"]).fetchone()
    waiting = records.sql("SELECT SUM(waits) FROM line WHERE good = ?", good["id"]).fetchone()
    return {
        "good": good, "today": today.isoformat(), "sales": sales, "free_units": here[0] if here else 0,
        "waiting_units": waiting[0] or 0, "pour_units": good["row"] or 10,
        "like_units": (settings.get("shelf_units") or {}).get(good["id"]),
        "service_percent": round(1000 * (1 - 1 / (settings.get("short_one_in") or USUAL_CHANCE))) / 10,
    }  # fmt: skip
