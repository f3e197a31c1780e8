"""Goods that leave: walk-ins, packing, weighing, handing over."""

from __future__ import annotations

from typing import Any

from honeyhold.operations.context import OperationContext, require, sums
from honeyhold.operations.kinds import cartons, together
from honeyhold.operations.kinds.kind import Kind
from honeyhold.operations.kinds.taking import STATE_WORDS, new_lines, payments_of
from honeyhold.records.models import Good, Movement, Order, Parcel


def sell(context: OperationContext) -> None:
    """A walk-in. The goods have left, so it lands even when more left than the share held."""
    order, lines = context.only("order"), {row["id"]: row for row in context.of("line")}
    require(context.records.row(Order, order["id"]) is None, f"The order {order['id']} is there already.", "Nothing to do.")
    require(order.get("way") == "walk_in" and order.get("state") == "gone", "A sale is a walk-in that has gone.", "Enter it again.")
    new_lines(context, order["id"], list(lines.values()))
    for row in context.of("movement"):
        require(row["reason"] == "sold" and row["units"] < 0, "In a sale goods leave, reason sold.", "Enter the sale again.")
        _of_line(row, order["id"], lines)
    left = sums(context.of("movement"), "line", -1)
    for line in lines.values():
        require(
            left.get(line["id"]) == line["units"],
            f"The sale says {line['units']} but {left.get(line['id'], 0)} left the shelf.", "Enter the sale again.",
        )
    _spends_at_most(context, sums(context.of("movement"), "good", -1))
    payments_of(context, order["id"])


def pack(context: OperationContext) -> None:
    """Promised becomes packed; the cartons used leave the shelf."""
    row = context.only("order")
    order = context.order(row["id"])
    require(row.get("state") == "packed", "Packing sets the state packed.", "Pack it again.")
    require(
        order["state"] == "promised" or context.overtaken(order, row),
        f"The order {order['number']} {STATE_WORDS[order['state']]} already.",
        "Look at the order as it is now; cartons used twice are put right by counting them.",
    )
    require(bool(context.of("parcel")) or together.rides_still(context, order), "A packed order has a parcel.", "Say how it was packed.")
    _parcels_of(context, order["id"])
    if order["state"] == "let_go":  # let go since: its cartons lie on the shelf
        context.rows[:] = [one for one in context.rows if one["table"] != "movement"]
    for movement in context.of("movement"):
        good = context.records.row(Good, movement["good"])
        require(
            good is not None and good["kind"] == "carton" and movement["reason"] == "packed" and movement["units"] < 0,
            f"Packing takes cartons only; this takes {movement['units']} {movement['good']}, reason {movement['reason']}.",
            "The goods themselves leave when the parcel is handed over.",
        )


def unpack(context: OperationContext) -> None:
    """A packing undone: the order is promised again, the cartons lie on the shelf, its parcels are packed on no day."""
    row = context.only("order")
    order = context.order(row["id"])
    require(row.get("state") == "promised", "Undoing a packing sets the state promised.", "Undo it again.")
    require(
        order["state"] == "packed" or context.overtaken(order, row),
        f"The order {order['number']} {STATE_WORDS[order['state']]}: there is no packing to undo.",
        "Look at the order as it is now.",
    )
    _parcels_of(context, order["id"])
    for parcel in context.of("parcel"):
        known = context.records.row(Parcel, parcel["id"])
        require(known is not None, f"The main computer knows no parcel {parcel['id']}.", "Nothing to undo.")
        only = set(parcel) - {"was", "order"} == {"table", "id", "packed_on"} and parcel["packed_on"] is None
        require(only, "Undoing a packing takes away the day a parcel was packed and nothing else.", "Undo it again.")
    for movement in context.of("movement"):
        undone = context.records.row(Movement, movement.get("undoes") or "")
        require(undone is not None, "What it takes back never came into the records.", "Nothing to do: the cartons are on the shelf.")
        assert undone is not None
        require(
            undone["order"] == order["id"] and undone["reason"] == "packed" and undone["undoes"] is None,
            f"The movement {undone['id']} is no carton of this order's packing.", "Count the cartons instead.",
        )
        require(not context.records.has(Movement, Movement.undoes == undone["id"]), "It was undone already.", "Nothing to do.")
        require(
            movement["good"] == undone["good"] and movement["units"] == -undone["units"],
            f"It takes back {movement['units']} {movement['good']}; packed were {-undone['units']} {undone['good']}.",
            "Count the cartons instead.",
        )
        movement.update({name: undone[name] for name in ("lot", "reason", "on", "order", "line")})


def weigh(context: OperationContext) -> None:
    """What the scale said."""
    row = context.only("parcel")
    require(context.records.row(Parcel, row["id"]) is not None, f"The main computer knows no parcel {row['id']}.", "Pack it first.")
    require(set(row) - {"was"} == {"table", "id", "scale_g"}, "Weighing sets the scale's reading and nothing else.", "Weigh it again.")


def track(context: OperationContext) -> None:
    """The number under which a carrier follows a parcel."""
    for row in context.of("parcel"):
        there = context.records.row(Parcel, row["id"]) is not None
        require(there, f"The main computer knows no parcel {row['id']}.", "Open the order in the Book and enter it there.")
        only = set(row) - {"was"} == {"table", "id", "tracking"}
        require(only, "Tracking sets the number of a parcel and nothing else.", "Enter it again.")


def arrive(context: OperationContext) -> None:
    """How parcels came, as the receiver tells it; told again, the newest word stands."""
    for row in context.of("parcel"):
        parcel = context.records.row(Parcel, row["id"])
        require(parcel is not None, f"The main computer knows no parcel {row['id']}.", "Open the order in the Book and enter it there.")
        assert parcel is not None
        order = context.order(parcel["order"])
        require(order["state"] == "gone", f"The order {order['number']} has not left yet.", "Hand it over first.")
        require(
            set(row) - {"was"} == {"table", "id", "arrived", "arrived_on"},
            "An arrival says how a parcel came and when it was heard, and nothing else.", "Enter it again.",
        )


def hand_over(context: OperationContext) -> None:
    """The parcel or the bag has left. Goods gone win: it lands even if the order was let go meanwhile."""
    row = context.only("order")
    order = context.order(row["id"])
    require(row.get("state") == "gone", "Handing over sets the state gone.", "Hand it over again.")
    require(
        order["state"] != "gone",
        f"The order {order['number']} has left already.",
        "If it is the same parcel there is nothing to do; if more left the shelf, count the shelf.",
    )
    lines = context.lines_of(order["id"])
    for movement in context.of("movement"):
        require(movement["reason"] == "gone" and movement["units"] < 0, "Handing over: goods leave, reason gone.", "Enter it again.")
        if movement.get("line") not in lines and not context.may_wait:
            # The line came with an amendment that was refused; the goods left all the same.
            movement["line"] = None
            movement["order"] = order["id"]
        else:
            _of_line(movement, order["id"], lines)
    for reservation in context.of("reservation"):
        require(reservation["units"] < 0, "Handing over frees reservations.", "Enter it again.")
        if reservation["line"] not in lines:
            require(not context.may_wait, f"The line {reservation['line']} has not come yet.", "Hand it over again.")
            context.rows.remove(reservation)
        else:
            # A line taken out of another order's promises would break that promise.
            require(lines[reservation["line"]]["good"] == reservation["good"], "A reservation of another good.", "Enter it again.")
            reservation["order"] = order["id"]
    _spends_at_most(context, sums(context.of("movement"), "good", -1))
    _parcels_of(context, order["id"])
    payments_of(context, order["id"])
    if order["state"] == "let_go":
        cartons.take_again(context, order["id"])


def _of_line(row: dict[str, Any], order_id: str, lines: dict[str, dict[str, Any]]) -> None:
    line = lines.get(row.get("line") or "")
    require(
        row.get("order") == order_id and line is not None and line["good"] == row["good"],
        f"The movement {row['id']} does not belong to a line of this order and its good.", "Enter it again.",
    )


def _spends_at_most(context: OperationContext, left: dict[str, int]) -> None:
    for good, units in context.spent.items():
        require(
            units <= left.get(good, 0), f"It takes {units} {good} of what was set aside but {left.get(good, 0)} left.", "Enter it again."
        )


def _parcels_of(context: OperationContext, order_id: str) -> None:
    for row in context.of("parcel"):
        known = context.records.row(Parcel, row["id"])
        belongs_to = known["order"] if known else row.get("order")
        require(
            belongs_to == order_id and row.get("order", order_id) == order_id,
            f"The parcel {row['id']} belongs to another order.", "Pack the order again.",
        )


KINDS = (
    Kind("sell", {"person": (0, 1), "order": (1, 1), "line": (1, 40), "movement": (1, 80), "payment": (0, 1)},
         sell, may_spend=True, fact=True, words="A walk-in sale."),
    Kind("pack", {"order": (1, 1), "parcel": (0, 20), "movement": (0, 40)}, pack, fact=True, words="An order packed."),
    Kind("unpack", {"order": (1, 1), "parcel": (0, 20), "movement": (0, 40)}, unpack, words="A packing undone."),
    Kind("weigh", {"parcel": (1, 1)}, weigh, words="A parcel weighed."),
    Kind("track", {"parcel": (1, 20)}, track, fact=True, words="The numbers under which a carrier follows parcels."),
    Kind("arrive", {"parcel": (1, 20)}, arrive, words="How parcels came."),
    Kind("hand_over", {"order": (1, 1), "movement": (1, 80), "reservation": (0, 80), "parcel": (0, 20), "payment": (0, 1)},
         hand_over, may_spend=True, fact=True, words="A parcel or bag handed over."),
)
