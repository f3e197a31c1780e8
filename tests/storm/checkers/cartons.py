"""A canceled order holds no carton: what its packing took lies on the shelf again, once."""

from __future__ import annotations

from typing import Any

from storm.checkers.violation import Violation

STILL_OUT = """
    SELECT o.number, SUM(m.units) FROM "order" o JOIN movement m ON m."order" = o.id AND m.reason = 'packed'
    WHERE o.state = 'let_go' GROUP BY o.id HAVING SUM(m.units) <> 0"""


def check_cartons(world: Any) -> None:
    """Adds up what packing moved for each canceled order."""
    records = world.house.records
    with records.read():
        for number, units in records.database.execute_sql(STILL_OUT).fetchall():
            raise Violation("cartons", f"the canceled order {number} left {units} cartons behind")
