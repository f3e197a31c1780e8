"""Adds every sum up again and compares it with the running balances."""

from __future__ import annotations

import json
from typing import Any, Final

from honeyhold.records.store import Records

CHECKS: dict[str, str] = {
    "on hand": """
        SELECT b.good, b.on_hand, COALESCE((SELECT SUM(units) FROM movement m WHERE m.good = b.good), 0) FROM balance b""",
    "promised": """
        SELECT b.good, b.promised, COALESCE((SELECT SUM(units) FROM reservation r WHERE r.good = b.good), 0) FROM balance b""",
    "out with devices": """
        SELECT b.good, b.out, COALESCE((SELECT SUM(granted - spent) FROM share s WHERE s.good = b.good), 0) FROM balance b""",
    "on hand by lot": """
        SELECT b.good, b.on_hand, COALESCE((SELECT SUM(units) FROM lot_balance l WHERE l.good = b.good), 0) FROM balance b""",
    "units of a lot": """
        SELECT l.good || ' of lot ' || l.lot, l.units,
          COALESCE((SELECT SUM(units) FROM movement m WHERE m.good = l.good AND COALESCE(m.lot, '') = l.lot), 0)
        FROM lot_balance l""",
    "sure of a line": """
        SELECT l.id, l.sure, COALESCE((SELECT SUM(units) FROM reservation r WHERE r.line = l.id), 0) FROM line l""",
    "handed of a line": """
        SELECT l.id, l.handed, -COALESCE((SELECT SUM(units) FROM movement m WHERE m.line = l.id), 0) FROM line l""",
    "waiting of a line": """
        SELECT l.id, l.waits,
          CASE WHEN o.state IN ('promised', 'packed') AND l.units > l.sure + l.handed THEN l.units - l.sure - l.handed ELSE 0 END
        FROM line l JOIN "order" o ON o.id = l."order" """,
    "held by a closed order": """
        SELECT l.id, l.sure, 0 FROM line l JOIN "order" o ON o.id = l."order" WHERE o.state IN ('gone', 'let_go')""",
    "paid of an order": """
        SELECT o.id, o.paid_cents, COALESCE((SELECT SUM(cents) FROM payment p WHERE p."order" = o.id), 0) FROM "order" o""",
    "taken off an order": """
        SELECT o.id, o.adjusted_cents, COALESCE((SELECT SUM(cents) FROM adjustment a WHERE a."order" = o.id), 0) FROM "order" o""",
    "last entry of a device": """
        SELECT d.id, d.last_seq, COALESCE((SELECT MAX(seq) FROM (
          SELECT device, seq FROM operation UNION ALL SELECT device, seq FROM pending_entry) o WHERE o.device = d.id), 0)
        FROM device_state d""",
    "entries of a device without a hole": """
        SELECT device, COUNT(*), MAX(seq) FROM (
          SELECT device, seq FROM operation UNION ALL SELECT device, seq FROM pending_entry) o GROUP BY device""",
    "positions without a hole": """
        SELECT 'positions', COUNT(position), COALESCE(MAX(position), 0) FROM operation""",
}
"""What is compared: for each check, rows of (which, running, added up)."""

IN_THE_QUEUE: Final = "places of a line in the queue"
"""Compared besides: the places stand in a text of JSON, which is read here."""


LOTS_BELOW_ZERO = """
    SELECT l.good, l.lot, l.units, COALESCE(g.unit, '') FROM lot_balance l LEFT JOIN good g ON g.id = l.good
    WHERE l.units < 0 AND l.lot <> '' ORDER BY l.good, l.lot"""


def lots_below_zero(records: Records) -> list[str]:
    """Every known lot from which more has left than ever came, in words.

    The sums agree all the same: a phone out of reach sold bars of a pour that was undone meanwhile, or two sold the same last bar of a lot.
    """
    with records.read():
        rows = records.sql(LOTS_BELOW_ZERO).fetchall()
    return [
        f"lot {lot} of {good} is {-units}{' g' if unit == 'g' else ''} below zero: more left it than came; count what is there of each lot"
        for good, lot, units, unit in rows
    ]


def disagreements(records: Records) -> list[str]:
    """Every running balance that is not its sum, in words; empty when all agree."""
    found: list[str] = []
    with records.read():
        for name, sql in CHECKS.items():
            found += _unequal(name, records.sql(sql).fetchall())
        places = records.sql("SELECT id, waits, queue FROM line WHERE waits <> 0 OR queue <> '[]'").fetchall()
        added_up = [(line, waits, sum(units for _, units in json.loads(queue))) for line, waits, queue in places]
        return found + _unequal(IN_THE_QUEUE, added_up) + records.faults()


def _unequal(name: str, rows: list[tuple[Any, Any, Any]]) -> list[str]:
    return [f"{name}: {which} is kept as {kept}, adds up to {total}" for which, kept, total in rows if kept != total]
