"""Gathers from the records what the packing slip of one order needs."""

from __future__ import annotations

from datetime import date
from typing import Any

from peewee import JOIN

from honeyhold.operations.errors import NoSuchThing
from honeyhold.records.models import (
    Balance,
    Carton,
    Good,
    Line,
    Lot,
    LotBalance,
    Movement,
    Order,
    Parcel,
    Payment,
    Person,
)
from honeyhold.records.store import Records
from honeyhold.stock.shelf import pick_lots

SUMS = ("posting_cents", "tax_cents", "paid_cents", "adjusted_cents")


def slip_request(records: Records, order_id: str, size: str, today: date, settings: dict[str, Any]) -> dict[str, Any]:
    """`{"house", "order", "person", "lines", "parcels", "paid_cents", "adjusted_cents", "payments", "cartons", "size",
    "today"}`; raises `NoSuchThing`.

    What goes in its parcel is on its slip. A line's lots are those it left from; before it has left, those it will leave
    from, oldest first.
    """
    orders, sums = records.shared_rows("order", Order, Order.id == order_id), records.row(Order, order_id)
    if not orders or sums is None:
        raise NoSuchThing(f"There is no order {order_id}.", "Open the order on the Bench and print it from there.")
    together = [sums, *(row for row in records.rows_of(Order, "goes_with", order_id) if row["state"] != "let_go")]
    added = {name: sum(row[name] for row in together) for name in SUMS}
    people = records.shared_rows("person", Person, Person.id == orders[0]["person"])
    ids = [row["id"] for row in together]
    lines = records.dicts(Line.select().where(Line.order.in_(ids)).order_by(Line.position, Line.id))
    return {
        "house": settings,
        "order": {
            **orders[0], "number": ", ".join(row["number"] for row in together), "posting_cents": added["posting_cents"],
            "tax_cents": added["tax_cents"],
        },
        "person": people[0] if people else None,
        "lines": [_line(records, line) for line in lines if line["units"] > 0],
        "parcels": [_parcel(records, row) for row in records.shared_rows("parcel", Parcel, *_packed(order_id))],
        "paid_cents": added["paid_cents"],
        "adjusted_cents": added["adjusted_cents"],
        "payments": records.shared_rows("payment", Payment, Payment.order.in_(ids)),
        "cartons": _cartons(records),
        "size": size,
        "today": today.isoformat(),
    }


def _packed(order_id: str) -> tuple[Any, Any]:
    """A parcel of an undone packing is packed on no day, and no parcel any more."""
    return Parcel.order == order_id, Parcel.packed_on.is_null(False)


def _line(records: Records, line: dict[str, Any]) -> dict[str, Any]:
    good = records.shared_rows("good", Good, Good.id == line["good"])[0]
    return {
        "good": good, "units": line["units"], "sure": line["sure"] + line["handed"], "price_cents": line["price_cents"],
        "steps": line["steps"], "total_cents": line["total_cents"],
        "lots": _lots_left(records, line) if line["handed"] else _lots_picked(records, line),
    }


def _lots_left(records: Records, line: dict[str, Any]) -> list[dict[str, Any]]:
    """By lot what left and did not come back: a hand-over may have been undone, and done again."""
    left: dict[str | None, int] = {}
    for row in records.dicts(Movement.select().where(Movement.line == line["id"]).order_by(Movement.lot.asc(nulls="FIRST"))):
        left[row["lot"]] = left.get(row["lot"], 0) - row["units"]
    return [{"lot": lot, "units": units} for lot, units in left.items() if units > 0]


def _lots_picked(records: Records, line: dict[str, Any]) -> list[dict[str, Any]]:
    query = LotBalance.select(LotBalance.lot, LotBalance.units, Lot.made_on).join(
        Lot, JOIN.LEFT_OUTER, on=(Lot.id == LotBalance.lot)
    )
    found = records.dicts(query.where((LotBalance.good == line["good"]) & (LotBalance.units > 0)))
    balances = [
        {"lot": row["lot"] or None, "units": row["units"], **({"made_on": row["made_on"]} if row["made_on"] else {})}
        for row in found
    ]
    return list(pick_lots({"balances": balances, "units": line["sure"]})["picks"])


def _cartons(records: Records) -> list[dict[str, Any]]:
    stock = {row["good"]: row["on_hand"] for row in records.dicts(Balance.select(Balance.good, Balance.on_hand))}
    return [{**row, "in_stock": stock.get(row["id"], 0)} for row in records.shared_rows("carton", Carton)]


def _parcel(records: Records, row: dict[str, Any]) -> dict[str, Any]:
    cartons = records.shared_rows("carton", Carton, Carton.id == row["carton"])
    return {**row, "carton_row": cartons[0] if cartons else None}
