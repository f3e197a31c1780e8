"""Money: paid, paid back, put right by another entry, taken off a price; and the till. Never an edit: all of it only adds up."""

from __future__ import annotations

from typing import Any

from honeyhold.operations.context import OperationContext, require
from honeyhold.operations.kinds.kind import Kind
from honeyhold.records.models import Line, Order, Payment
from honeyhold.stock.pricing import order_total


def pay(context: OperationContext) -> None:
    """Money for an order that is there; what puts an earlier payment right names it, and counts on its day."""
    for row in context.of("payment"):
        context.order(row["order"])
        require(row["cents"] != 0, "A payment of nothing.", "Enter the amount.")
        change_given(row)
        if row.get("corrects"):
            _corrects(context, row)


def change_given(row: dict[str, Any]) -> None:
    """Only of cash is more handed over than is paid."""
    given = row.get("given_cents")
    if given is not None:
        require(row["how"] == "cash" and given >= row["cents"], f"Handed over were {given} cents for {row['cents']}.", "Enter it again.")


def _corrects(context: OperationContext, row: dict[str, Any]) -> None:
    known = context.records.row(Payment, row["corrects"])
    require(known is not None, "The payment it puts right never came into the records.", "Enter what was paid by itself.")
    assert known is not None
    same = (known["order"], known["how"], known["on"]) == (row["order"], row["how"], row["on"])
    require(same, "It puts a payment right of another order, way or day.", "Enter it again.")
    require(known["corrects"] is None, "It puts a correction right.", "Name the payment itself.")


def adjust(context: OperationContext) -> None:
    """Something taken off an order's price, or put back on; no order comes to less than nothing by it."""
    for row in context.of("adjustment"):
        order = context.order(row["order"])
        require(row["cents"] != 0, "Nothing is taken off.", "Enter the amount.")
        total = _total(context, order) + sum(one["cents"] for one in context.of("adjustment") if one["order"] == order["id"])
        require(
            row["cents"] > 0 or total >= 0,
            f"The order {order['number']} would come to {-total} cents less than nothing.",
            "Look at what was taken off already; take off less.",
        )


def _total(context: OperationContext, order: dict[str, Any]) -> int:
    return order_total(order, context.records.rows_of(Line, "order", order["id"]))


def till(context: OperationContext) -> None:
    """Cash put in, taken out or counted."""
    for row in context.of("till"):
        require(not row.get("undoes"), "It undoes another entry of the till.", "Undo that entry instead.")


def replaced(context: OperationContext) -> None:
    """What is sent again or given away costs nothing, and says why; what it stands for is an order that is there."""
    for row in context.of("order"):
        if row.get("replaces"):
            require(bool(row.get("free_for")), "It is sent again without saying why.", "Say why: heat, breakage or loss.")
            there = context.is_there("order", Order, row["replaces"])
            require(there, "What it stands for never came into the records.", "Take the order again.")


KINDS = (
    Kind("pay", {"payment": (1, 4)}, pay, words="Money taken in, paid back, or put right."),
    Kind("adjust", {"adjustment": (1, 4)}, adjust, words="Something taken off an order's price."),
    Kind("note_till", {"till": (1, 2)}, till, words="Cash put into the till, taken out or counted."),
)
