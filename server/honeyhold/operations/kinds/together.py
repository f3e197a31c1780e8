"""Two orders in one parcel: the rider goes in the parcel of its host, for as long as both go by mail to one address."""

from __future__ import annotations

from typing import Any, Final

from honeyhold.operations.context import OperationContext, require
from honeyhold.records.models import Order, Person
from honeyhold.records.people import first_of
from honeyhold.stock.destination import FIELDS, destination, same_address

Row = dict[str, Any]

AGAIN: Final = "Look at both as they are now."
WHERE: Final = ("way", "person", *FIELDS)
ALLOWED: Final = {"goes_with": ("amend", "undo", "bring_in"), "standing": ("promise", "bring_in"), "standing_on": ("promise", "bring_in")}
"""Which kinds of entry may say of an order that it goes with another, and what it came of."""


def goes_with(context: OperationContext, order: Row, row: Row) -> None:
    """Two promised orders by mail to one address go in one parcel: the one in the parcel of the other, which goes in nobody's."""
    host_id = row.get("goes_with", order["goes_with"])
    if host_id == order["goes_with"]:
        return
    require(order["state"] == "promised", "They are packed together by now.", "Undo the packing first.")
    if host_id is None:
        return
    host = context.order(host_id)
    rider = {**order, **row}
    to_pack = all(one["state"] == "promised" and one["way"] == "post" for one in (rider, host))
    require(to_pack, "Only parcels that are still to be packed go together.", AGAIN)
    rides = bool(context.records.rows_of(Order, "goes_with", order["id"]))
    require(host_id != order["id"] and not host["goes_with"] and not rides, f"{host['number']} goes in another parcel already.", AGAIN)
    require(_same_address(context, rider, host), "They go to two addresses.", AGAIN)


def parts_ways(context: OperationContext, order: Row, row: Row) -> None:
    """Who goes elsewhere, or another way, goes in a parcel of its own; what is packed together already stays."""
    if row.get("goes_with", order["goes_with"]) != order["goes_with"] or not _goes_elsewhere(context, order, row):
        return
    riders = [one for one in context.records.rows_of(Order, "goes_with", order["id"]) if one["state"] in ("promised", "packed")]
    if not riders and not order["goes_with"]:
        return
    packed = any(one["state"] == "packed" for one in (order, *riders))
    require(not packed, "They are packed together by now.", "Undo the packing first.")
    if order["goes_with"]:
        row["goes_with"] = None
    context.rows += [{"table": "order", "id": one["id"], "goes_with": None} for one in riders]


def _goes_elsewhere(context: OperationContext, order: Row, row: Row) -> bool:
    after = {**order, **row}
    changed = any(after[name] != order[name] for name in WHERE)
    return changed and (after["way"] != order["way"] or not _same_address(context, after, order))


def _same_address(context: OperationContext, one: Row, other: Row) -> bool:
    """By the rule of `stock.destination`, the one that devices offer one parcel by; people who were joined are one."""
    return same_address(*(destination(order, _person(context, order)) for order in (one, other)))


def _person(context: OperationContext, order: Row) -> Row | None:
    return context.records.row(Person, first_of(context.records, order["person"])) if order["person"] else None


def rides_still(context: OperationContext, order: Row) -> bool:
    """Whether it goes in the parcel of an order that was not canceled."""
    host = context.records.row(Order, order["goes_with"]) if order["goes_with"] else None
    return host is not None and host["state"] != "let_go"


def said_by_its_kind(context: OperationContext) -> None:
    """No other entry says in passing that an order goes with another, or what it came of."""
    for row in context.of("order"):
        for name, kinds in ALLOWED.items():
            said = row.get(name) is not None and context.kind not in kinds
            require(not said, f"An entry of kind {context.kind} does not say {name} of an order.", "Enter it by itself.")
