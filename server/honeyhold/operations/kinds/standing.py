"""Standing orders, and the orders that come of them: one a day of each, whichever devices confirm it."""

from __future__ import annotations

from typing import Any

from honeyhold.operations.context import OperationContext, require
from honeyhold.operations.errors import ALREADY_PROMISED
from honeyhold.operations.kinds.kind import Kind
from honeyhold.operations.standing_names import order_id
from honeyhold.records.models import Good, Order


def note_standing(context: OperationContext) -> None:
    """What is wanted is sold here."""
    for row in context.of("standing"):
        for wanted in row.get("wanted", []):
            there = context.is_there("good", Good, wanted["good"])
            require(there, f"The main computer knows no good {wanted['good']}.", "Choose one of what you sell.")


def promised_once(context: OperationContext, order: dict[str, Any]) -> None:
    """An order that comes of a standing order is the only one of its day that stands; its id says so on every device."""
    standing, on = order.get("standing"), order.get("standing_on")
    require((standing is None) == (on is None), "A standing order and its day belong together.", "Take the order again.")
    if standing is None:
        return
    before = [row for row in context.records.rows_of(Order, "standing", standing) if row["standing_on"] == on]
    stands = next((row for row in before if row["state"] != "let_go"), None)
    number = stands["number"] if stands else ""
    require(stands is None, f"{ALREADY_PROMISED}: it is the order {number}, from another device.", "Nothing to do.")
    canceled = next((row["number"] for row in before if row["id"] == order["id"]), None)
    again = "If they want it all the same, confirm it again in the day's list."
    require(canceled is None, f"The order of that day was canceled meanwhile, as {canceled}, on another device.", again)
    named = order_id(standing, str(on), len(before))
    require(order["id"] == named, f"An order of {on} that is called otherwise than {named}.", again)


KINDS = (Kind("note_standing", {"standing": (1, 1)}, note_standing, words="What a person wants again and again."),)
