"""One operation on its way into the records: what it says, who says it, and the records it would change."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

from honeyhold.operations.errors import Refused
from honeyhold.records.models import Line, Order, Row
from honeyhold.records.store import Records

HOUSE: Final = "house"
"""The device name under which the house itself writes."""

OPEN_STATES: Final = ("promised", "packed")


@dataclass
class OperationContext:
    """What a rule sees. `rows` may be changed by a rule; what stands there in the end is what lands."""

    records: Records
    id: str
    device: str
    role: str
    kind: str
    spent: dict[str, int]
    rows: list[dict[str, Any]]
    position: int
    today: str
    recovering: bool = False
    fact: bool = False
    may_wait: bool = False
    """A refusal is not the last word: devices may still return with what it lacks. Nothing is read leniently until then."""
    returned: bool = False
    """It landed once, before the house was put back from a backup."""
    place: int = 0
    """Where what it makes wait stands in the queue."""
    lines_touched: dict[str, None] = field(default_factory=dict)
    goods_touched: dict[str, None] = field(default_factory=dict)
    seen: set[tuple[str, str]] = field(default_factory=set)
    """Records known to be there: no record is ever taken away, so they need not be looked for twice."""

    def of(self, table: str) -> list[dict[str, Any]]:
        """The rows of one table."""
        return [row for row in self.rows if row["table"] == table]

    def only(self, table: str) -> dict[str, Any]:
        """The single row of a table of which the kind holds exactly one."""
        return self.of(table)[0]

    def is_there(self, table: str, model: type[Row], row_id: str) -> bool:
        """Whether the records hold this row by now."""
        if (table, row_id) not in self.seen and self.records.there(model, row_id):
            self.seen.add((table, row_id))
        return (table, row_id) in self.seen

    def order(self, order_id: str) -> dict[str, Any]:
        """An order that is in the records; refuses the operation if there is none."""
        found = self.records.row(Order, order_id)
        if found is None:
            raise Refused(
                f"The main computer knows no order {order_id}: the entry that took it was refused or has not come yet.",
                "Take the order again, or enter what left the shelf as a walk-in sale.",
            )
        return found

    def overtaken(self, order: dict[str, Any], row: dict[str, Any], *closed: str) -> bool:
        """Whether an entry that landed once comes back after the order was closed by one that followed it then.

        Its texts, parcels and movements land all the same; the state (taken out of `row`) stays what the later entry made of it.
        """
        if not self.returned or order["state"] not in (closed or ("gone", "let_go")):
            return False
        row.pop("state", None)
        return True

    def lines_of(self, order_id: str) -> dict[str, dict[str, Any]]:
        """The lines of an order as they stand in the records, by id."""
        return {line["id"]: line for line in self.records.rows_of(Line, "order", order_id)}


def require(condition: bool, why: str, remedy: str) -> None:
    """Refuses the operation unless the condition holds."""
    if not condition:
        raise Refused(why, remedy)


def sums(rows: list[dict[str, Any]], by: str = "good", sign: int = 1) -> dict[str, int]:
    """Units added up by good (or line), each times `sign`; zero sums are left out."""
    total: dict[str, int] = {}
    for row in rows:
        total[row[by]] = total.get(row[by], 0) + sign * row["units"]
    return {key: units for key, units in total.items() if units}
