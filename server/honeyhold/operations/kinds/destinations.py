"""Every order by mail keeps the address it was promised to: whichever app wrote it, and whatever becomes of its person."""

from __future__ import annotations

from typing import Any

from honeyhold.operations.context import OPEN_STATES, OperationContext
from honeyhold.records.models import Order, Person
from honeyhold.stock.destination import NOTHING_COPIED, PARTS, copied, has_address

Row = dict[str, Any]

KEPT_AS_SAID = ("bring_in", "forget_person")


def stay_where_promised(context: OperationContext) -> None:
    """Before the rows are written: an order by mail that says no address gets a copy of its person's as this entry leaves it, and open
    orders of a person who moves (or turns out to be another) get a copy of the address they had. The rows that land say
    so, so every device hears of it.
    """
    if context.kind in KEPT_AS_SAID:
        return
    for row in context.of("person"):
        _keep_the_old(context, row)
    for row in context.of("order"):
        _copy_into(context, row)


def _keep_the_old(context: OperationContext, row: Row) -> None:
    known = context.records.row(Person, row["id"])
    if known is None or not has_address(known) or (
        not row.get("same_as") and all(row.get(part, known[part]) == known[part] for part in PARTS)
    ):
        return
    said = {one["id"] for one in context.of("order")}
    for order in context.records.rows_of(Order, "person", row["id"]):
        if order["id"] not in said and _follows(order):
            context.rows.append({"table": "order", "id": order["id"], **copied(known)})


def _follows(order: Row) -> bool:
    return order["way"] == "post" and order["state"] in OPEN_STATES and not order["goes_to"]


def _copy_into(context: OperationContext, row: Row) -> None:
    if "goes_to" in row or row.get("way", "post") != "post":
        return
    known = context.records.row(Order, row["id"]) or {"state": "", "way": "post", "person": None, "goes_to": ""}
    now = {**known, **row}
    if now["way"] != "post" or now["state"] not in OPEN_STATES or now["goes_to"] == "other":
        return
    # An older app that was told an address writes it to the person, in the entry that takes or changes the order.
    told = any(part in one for one in context.of("person") if one["id"] == now["person"] for part in PARTS)
    if told or not now["goes_to"] or now["person"] != known["person"]:
        row.update(copied(_person_after(context, now["person"])) or (NOTHING_COPIED if now["goes_to"] else {}))


def _person_after(context: OperationContext, person: str | None) -> Row | None:
    if person is None:
        return None
    known = context.records.row(Person, person) or {}
    return next(({**known, **row} for row in context.of("person") if row["id"] == person), known or None)
