"""Orders that every device has forgotten: the house still has them, page by page."""

from __future__ import annotations

from typing import Any, Final

from honeyhold.operations.errors import NoSuchThing
from honeyhold.records.models import Adjustment, Line, Order, Parcel, Payment
from honeyhold.records.people import all_same
from honeyhold.records.store import Records

PAGE: Final = 20
PAGE_MAX: Final = 100
FIRST: Final = 2**53 - 1


def past_orders(records: Records, person: str, before: int = FIRST, limit: int = PAGE) -> dict[str, Any]:
    """`{"orders", "lines", "parcels", "payments", "adjustments", "handed", "before"}`: a person's closed orders, the latest taken first.

    `before` in the answer is what the next page is asked with, or null when this was the last. Raises `NoSuchThing` for a
    person the house does not know.
    """
    with records.view():
        if records.sql("SELECT 1 FROM person WHERE id = ?", person).fetchone() is None:
            raise NoSuchThing(f"The main computer knows no person {person:.80}.", "Choose one from the Book.")
        closed = Order.person.in_(all_same(records, person)) & Order.state.in_(("gone", "let_go")) & (Order.position < before)
        found = records.dicts(Order.select(Order.id, Order.position).where(closed).order_by(Order.position.desc()).limit(limit + 1))
        page = [order["id"] for order in found[:limit]]
        lines = records.shared_rows("line", Line, Line.order.in_(page))
        sums = {line["id"]: line for line in records.dicts(Line.select(Line.id, Line.good, Line.handed).where(Line.order.in_(page)))}
        orders = {row["id"]: row for row in records.shared_rows("order", Order, Order.id.in_(page))}
        return {
            "orders": [orders[order_id] for order_id in page],
            "lines": lines,
            "parcels": records.shared_rows("parcel", Parcel, Parcel.order.in_(page)),
            "payments": records.shared_rows("payment", Payment, Payment.order.in_(page)),
            "adjustments": records.shared_rows("adjustment", Adjustment, Adjustment.order.in_(page)),
            "handed": [{"line": one["id"], "good": one["good"], "units": one["handed"]} for one in sums.values() if one["handed"]],
            "before": found[limit - 1]["position"] if len(found) > limit else None,
        }
