"""Orders taken, changed and let go."""

from __future__ import annotations

from typing import Any

from honeyhold.operations.context import OPEN_STATES, OperationContext, require, sums
from honeyhold.operations.kinds import cartons, money, standing, together
from honeyhold.operations.kinds.kind import Kind
from honeyhold.records.models import Line, Order
from honeyhold.stock.pricing import line_cents, order_tax

STATE_WORDS = {"promised": "is promised", "packed": "is packed", "gone": "has left", "let_go": "was canceled"}


def promise(context: OperationContext) -> None:
    """A new order; what is reserved comes from the device's share, what is not reserved waits."""
    order, lines = context.only("order"), {row["id"]: row for row in context.of("line")}
    standing.promised_once(context, order)
    require(context.records.row(Order, order["id"]) is None, f"The order {order['id']} is there already.", "Nothing to do.")
    require(order.get("state") == "promised", "A new order is promised.", "Take the order again.")
    require(order.get("way") in ("post", "pick_up"), "A promised order goes by mail or is picked up.", "Choose how it leaves.")
    require(bool(order.get("person")), "A promised order needs a person.", "Choose who it is for.")
    new_lines(context, order["id"], list(lines.values()))
    for row in context.of("reservation"):
        belongs(row, order["id"], lines)
        require(row["units"] > 0, f"A promise reserves {row['units']} units.", "Reserve one or more.")
    reserved = sums(context.of("reservation"), "line")
    for line_id, units in reserved.items():
        require(units <= lines[line_id]["units"], f"{units} reserved for a line of {lines[line_id]['units']}.", "Take it again.")
    spends_what_it_reserves(context)
    payments_of(context, order["id"])
    money.replaced(context)


def amend(context: OperationContext) -> None:
    """More, less, other texts. Units fall freely; they rise from the device's share or wait."""
    order = _order_amended(context)
    said = context.of("order")
    require(
        order["state"] in OPEN_STATES or context.overtaken(order, said[0] if said else {}),
        f"The order {order['number']} {STATE_WORDS[order['state']]}: it cannot be changed.",
        "Take a new order for what is wanted now.",
    )
    known = context.lines_of(order["id"])
    for row in context.of("order"):
        require(row.get("state", order["state"]) == order["state"], "An amendment does not change the state.", "Pack or hand over.")
        require(row.get("way") != "walk_in", "A promised order does not become a walk-in.", "Choose mail or pick up.")
        require("standing" not in row and "standing_on" not in row, "An order keeps the standing order it came of.", "Take a new order.")
        require(row.get("person", "kept") is not None, "A promised order needs a person.", "Choose who it is for.")
        together.goes_with(context, order, row)
        together.parts_ways(context, order, row)
    for row in context.of("line"):
        if row["id"] in known:
            _line_changed(row, known[row["id"]])
    new_lines(context, order["id"], [row for row in context.of("line") if row["id"] not in known])
    lines = {**{row["id"]: row for row in context.of("line")}, **known}
    for row in context.of("reservation"):
        belongs(row, order["id"], lines)
    spends_what_it_reserves(context)
    _sums_by_what_was_told(context, order, known)


def _sums_by_what_was_told(context: OperationContext, order: dict[str, Any], known: dict[str, dict[str, Any]]) -> None:
    """Totals and tax of a changed order follow from what it was told and what stands in it by now.

    An older app says neither, and of two devices that change one order at once neither knows what the other did to its sum.
    """
    after = dict(known)
    for row in context.of("line"):
        line = after[row["id"]] = {**known.get(row["id"], {}), **row}
        if row["id"] in known and "units" in row and line.get("total_cents") is not None:
            row["total_cents"] = line["total_cents"] = line_cents(line["units"], line["price_cents"], line["steps"])
    own = [row for row in context.of("order") if row["id"] == order["id"]]  # riders that are parted from it stand beside it
    (said,) = own or [{"table": "order", "id": order["id"]}]
    cents = order_tax({**order, **said}, list(after.values()))
    if cents != order["tax_cents"] and len(said) == 2:
        context.rows.append(said)
    if cents != order["tax_cents"] or "tax_cents" in said:
        said["tax_cents"] = cents


def let_go(context: OperationContext) -> None:
    """The order is given up; whatever its lines hold by now is freed, once, also when two devices let it go."""
    row = context.only("order")
    order = context.order(row["id"])
    require(row.get("state") == "let_go", "Letting go sets the state let_go.", "Cancel it again.")
    require(
        order["state"] != "gone" or context.overtaken(order, row, "gone"),
        f"The order {order['number']} has left already: it cannot be canceled.",
        "If it came back, count what came back on the Shelf and settle the money in the Book.",
    )
    lines = context.lines_of(order["id"])
    for reservation in context.of("reservation"):
        belongs(reservation, order["id"], lines)
        require(reservation["units"] < 0, "Letting go only frees.", "Cancel it again.")
    if "state" in row:
        cartons.give_back(context, order["id"])


def new_lines(context: OperationContext, order_id: str, lines: list[dict[str, Any]]) -> None:
    """Lines that were not there before: they belong to the order and want at least one unit."""
    for row in lines:
        require(row.get("order") == order_id, f"The line {row['id']} belongs to another order.", "Take the order again.")
        require(row.get("units", 0) > 0, f"A new line wants {row.get('units')} units.", "Enter one or more.")
        require("good" in row, f"The line {row['id']} names no good.", "Choose what is wanted.")


def belongs(row: dict[str, Any], order_id: str, lines: dict[str, dict[str, Any]]) -> None:
    """A reservation names a line of this order and that line's good."""
    line = lines.get(row["line"])
    require(row["order"] == order_id and line is not None, f"The row {row['id']} points at another order's line.", "Enter it again.")
    assert line is not None
    require(
        line["good"] == row["good"], f"The row {row['id']} reserves {row['good']} for a line of {line['good']}.", "Enter it again."
    )


def spends_what_it_reserves(context: OperationContext) -> None:
    """Per good, what is newly reserved equals what the entry takes from the share."""
    reserved = sums([row for row in context.of("reservation") if row["units"] > 0])
    if context.device != "house":
        require(
            reserved == context.spent,
            f"It reserves {reserved} but takes {context.spent} from the share.",
            "Take the order again; if it keeps happening, update the app.",
        )


def payments_of(context: OperationContext, order_id: str) -> None:
    """A payment in the same entry is for the same order."""
    for row in context.of("payment"):
        require(row["order"] == order_id, "The payment is for another order.", "Enter the payment by itself.")
        money.change_given(row)


def _order_amended(context: OperationContext) -> dict[str, Any]:
    rows = context.of("order")
    named = {row["id"] for row in rows}
    named |= {row["order"] for row in context.of("line") + context.of("reservation") if "order" in row}
    # A line that is there already need not say again whose it is.
    known = [context.records.row(Line, row["id"]) for row in context.of("line") if "order" not in row]
    named |= {line["order"] for line in known if line is not None}
    require(len(named) == 1, f"An amendment changes one order; this names {len(named)}.", "Change them one by one.")
    return context.order(named.pop())


def _line_changed(row: dict[str, Any], known: dict[str, Any]) -> None:
    for fixed in ("order", "good"):
        require(row.get(fixed, known[fixed]) == known[fixed], f"A line keeps its {fixed}.", "Add a line for another good.")
    if row.get("units", known["units"]) != known["units"]:
        require(
            "units" in row.get("was", {}),
            f"The line is changed to {row['units']} without saying what it was (the main computer has {known['units']}).",
            "Look at the order as it is now and change it again.",
        )


KINDS = (
    Kind("promise", {"person": (0, 1), "order": (1, 1), "line": (1, 40), "reservation": (0, 40), "payment": (0, 1)},
         promise, may_spend=True, words="An order taken from a caller."),
    Kind("amend", {"person": (0, 1), "order": (0, 1), "line": (0, 40), "reservation": (0, 80)},
         amend, may_spend=True, words="An order changed."),
    Kind("let_go", {"order": (1, 1), "reservation": (0, 80)}, let_go, words="An order given up; its goods are free again."),
)
