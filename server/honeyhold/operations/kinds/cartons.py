"""The cartons of a packed order that is let go lie on the shelf again; when it stands again, or leaves after all, they are in use again."""

from __future__ import annotations

from uuid import NAMESPACE_URL, uuid5

from honeyhold.operations.context import OperationContext

CANCELED = "the order was canceled"
"""The note of a carton that came back this way."""


def give_back(context: OperationContext, order_id: str) -> None:
    """Every carton that this order's packing has taken comes back, once."""
    _move(context, order_id, {key: -units for key, units in _taken(context, order_id).items() if units < 0}, CANCELED)


def take_again(context: OperationContext, order_id: str) -> None:
    """What came back when the order was let go is in use again."""
    _move(context, order_id, {key: -units for key, units in _taken(context, order_id, CANCELED).items() if units > 0}, CANCELED)


def _taken(context: OperationContext, order_id: str, note: str | None = None) -> dict[tuple[str, str | None], int]:
    """Units by good and lot that packing moved for an order; only movements of this note where one is given."""
    only, noted = ("", ()) if note is None else ("AND note = ?", (note,))
    found = context.records.sql(
        f'SELECT good, lot, SUM(units) FROM movement WHERE "order" = ? AND reason = ? {only} GROUP BY good, lot',
        order_id, "packed", *noted,
    ).fetchall()  # fmt: skip
    return {(good, lot): units for good, lot, units in found}


def _move(context: OperationContext, order_id: str, units: dict[tuple[str, str | None], int], note: str) -> None:
    for (good, lot), moved in units.items():
        context.rows.append({
            "table": "movement", "id": str(uuid5(NAMESPACE_URL, f"{context.id} carton {good} {lot}")), "good": good, "lot": lot,
            "units": moved, "reason": "packed", "order": order_id, "line": None, "on": context.today, "note": note,
        })  # fmt: skip
