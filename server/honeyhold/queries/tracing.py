"""Gathers from the records what tracing a lot needs: the lots around it, what left of them, and for whom."""

from __future__ import annotations

from typing import Any

from honeyhold.operations.errors import NoSuchThing
from honeyhold.records.models import Lot, Movement, Order, Person
from honeyhold.records.store import Records
from honeyhold.stock.lots import trace


def trace_lot(records: Records, lot: str) -> dict[str, Any]:
    """Who has a lot, what it was made from, what was made of it: the answer of `honeyhold.stock.lots.trace`.

    Raises `NoSuchThing` when no lot has that code.
    """
    with records.read():
        lots = records.shared_rows("lot", Lot)
        if lot not in {row["id"] for row in lots}:
            raise NoSuchThing(f"There is no lot {lot}.", "Read the code on the jar or bar again, such as W26-204-1.")
        around = _made_of(lots, lot)
        touched = Movement.lot.in_(around)
        movements = records.dicts(Movement.select().where(touched))
        theirs = Order.id.in_(Movement.select(Movement.order).where(touched))  # never one variable an order: there may be thousands
        orders = records.dicts(Order.select(Order.id, Order.number, Order.person).where(theirs))
        people = records.dicts(Person.select().where(Person.id.in_(Order.select(Order.person).where(theirs))))
    answer: dict[str, Any] = trace({"lot": lot, "lots": lots, "movements": movements, "orders": orders, "people": people})
    return answer


def _made_of(lots: list[dict[str, Any]], lot: str) -> set[str]:
    """The lot and all that was made of it, at any remove."""
    found = {lot}
    while more := {row["id"] for row in lots if found & set(row["sources"] or [])} - found:
        found |= more
    return found
