"""Two seasons of orders and money, with what the log alone remembers: who had to wait, and which parcels were kept for a cool spell."""

from __future__ import annotations

import json
from collections import defaultdict
from typing import Any, Final

from peewee import SQL

from honeyhold.records.models import ROWS, Good, LostSale
from honeyhold.records.store import Records
from honeyhold.stock.looking_back import BOOKED, looking_back
from honeyhold.stock.pricing import line_cents
from honeyhold.stock.till import standing

Json = dict[str, Any]

ORDERS: Final = """
SELECT id FROM "order" WHERE taken_on BETWEEN ? AND ? OR gone_on BETWEEN ? AND ?
UNION SELECT replaces FROM "order" WHERE taken_on BETWEEN ? AND ? AND replaces IS NOT NULL
UNION SELECT "order" FROM payment WHERE "on" BETWEEN ? AND ?
UNION SELECT "order" FROM adjustment WHERE "on" BETWEEN ? AND ?"""
"""Whatever was taken, left, was paid or taken off in the two seasons, and what was sent again for."""
TAKEN: Final = "SELECT rows FROM operation WHERE position IS NOT NULL AND kind = 'promise' AND made_at BETWEEN ? AND ?"
HELD: Final = """
SELECT rows FROM operation WHERE position IS NOT NULL AND kind IN ('promise', 'amend') AND made_at BETWEEN ? AND ? AND rows LIKE ?"""
KEPT_FOR_COOL: Final = '%"hold_for_cool":true%'
"""As canonical JSON writes it: few entries hold it, and only these are read."""


def of_season(records: Records, season: int) -> Json:
    """What `stock.looking_back` answers for a season (a calendar year) and the one before, out of the records."""
    days = (f"{season - 1}-01-01", f"{season}-12-31")
    moments = (f"{season - 2}-12-31", f"{season + 1}-01-02")  # clocks of any zone; the day of the order itself decides
    with records.view():
        ids = records.these([row[0] for row in records.sql(ORDERS, *days * ORDERS.count("BETWEEN")).fetchall()])
        tables = {name: _of_orders(records, name, ids) for name in BOOKED}
        taken = [json.loads(row[0]) for row in records.sql(TAKEN, *moments).fetchall()]
        held = _held([json.loads(row[0]) for row in records.sql(HELD, *moments, KEPT_FOR_COOL).fetchall()])
        missed = standing(records.shared_rows("lost_sale", LostSale, LostSale.on.between(*days)))
        goods = records.shared_rows("good", Good)
    return looking_back({"season": season, "goods": goods, **tables, "waited": _waited(taken), "held": held, "went_without": missed})


def _of_orders(records: Records, table: str, ids: SQL) -> list[Json]:
    model = ROWS[table]
    whose: Any = getattr(model, "id" if table == "order" else "order")
    return records.shared_rows(table, model, whose.in_(ids))


def _held(entries: list[list[Json]]) -> list[str]:
    """Orders of which an entry says that they are kept for a cool spell, each once."""
    return sorted({row["id"] for rows in entries for row in rows if row["table"] == "order" and row.get("hold_for_cool")})


def _waited(taken: list[list[Json]]) -> list[Json]:
    """Of every order as it was taken, what nothing was set aside for at once: the caller had to wait for it."""
    found = []
    for rows in taken:
        reserved: dict[str, int] = defaultdict(int)
        for row in rows:
            if row["table"] == "reservation":
                reserved[row["line"]] += row["units"]
        lines = [(row, row["units"] - reserved[row["id"]]) for row in rows if row["table"] == "line"]
        units = sum(rest for _, rest in lines)
        if units > 0:
            cents = sum(line_cents(rest, row.get("price_cents", 0), row.get("steps") or []) for row, rest in lines if rest)
            found.append({"order": lines[0][0]["order"], "units": units, "cents": cents})
    return found
