"""A year month by month, for its summary: what left by good, what went by mail and over the counter, what came in, what was put right."""

from __future__ import annotations

from typing import Any

from honeyhold.records.store import Records

Json = dict[str, Any]
LEFT = ("sold", "gone")


def year_sums(records: Records, year: int) -> Json:
    """`{"year", "goods": [{"good", "units", "months": [12]}], "months": [{"mailed", "picked_up", "income_cents"}], "replaced": [{"why",
    "count"}], "taken_off": [{"why", "cents"}]}`; an order counts in the month it left, a payment in the month it came."""
    like = f"{year:04d}-%"
    with records.read():
        goods: dict[str, list[int]] = {}
        for good, month, units in records.sql(_MOVED, *LEFT, like).fetchall():
            goods.setdefault(good, [0] * 12)[_place(month)] -= units
        ways = records.sql(_WAYS, like).fetchall()
        income = {_place(month): cents for month, cents in records.sql(_INCOME, like).fetchall()}
        replaced = records.sql(_REPLACED, like).fetchall()
        taken_off = records.sql(_TAKEN_OFF, like).fetchall()
    counts = {(_place(month), way == "post"): 0 for month, way, _ in ways}
    for month, way, count in ways:
        counts[_place(month), way == "post"] += count
    return {
        "year": year,
        "goods": [{"good": good, "units": sum(months), "months": months} for good, months in sorted(goods.items()) if any(months)],
        "months": [
            {"mailed": counts.get((place, True), 0), "picked_up": counts.get((place, False), 0), "income_cents": income.get(place, 0)}
            for place in range(12)
        ],
        "replaced": [{"why": why, "count": count} for why, count in replaced],
        "taken_off": [{"why": why, "cents": -cents} for why, cents in taken_off if cents],
    }


def _place(month: str) -> int:
    return int(month) - 1


_MOVED = """SELECT good, substr("on", 6, 2), sum(units) FROM movement WHERE reason IN (?, ?) AND "on" LIKE ? GROUP BY 1, 2"""
_WAYS = """SELECT substr(gone_on, 6, 2), way, count(*) FROM "order" WHERE state = 'gone' AND gone_on LIKE ? GROUP BY 1, 2"""
_INCOME = """SELECT substr("on", 6, 2), sum(cents) FROM payment WHERE "on" LIKE ? GROUP BY 1"""
_REPLACED = """SELECT free_for, count(*) FROM "order"
WHERE free_for <> '' AND state <> 'let_go' AND taken_on LIKE ? GROUP BY 1 ORDER BY 1"""
_TAKEN_OFF = """SELECT why, sum(cents) FROM adjustment WHERE "on" LIKE ? GROUP BY 1 ORDER BY 1"""
