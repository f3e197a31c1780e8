"""Undo: one entry that names the entry it undoes, holds the whole inverse of it, and lands at most once for each."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from honeyhold.operations.context import OperationContext, require, sums
from honeyhold.operations.errors import ALREADY
from honeyhold.operations.kinds import cartons, joining, notes, taking
from honeyhold.operations.kinds.kind import Kind
from honeyhold.operations.kinds.shelf import leaves_nothing_below_zero
from honeyhold.records.models import Movement, Operation, Parcel, Payment, Undoing

Rows = list[dict[str, Any]]

NOTHING_TO_DO = "Nothing to do: it was undone once, and only once."
TABLES_OF_UNDO = {
    "undoing": (1, 1), "person": (0, 1), "order": (0, 1), "line": (0, 40), "reservation": (0, 80), "movement": (0, 80), "payment": (0, 4),
    "adjustment": (0, 4), "till": (0, 2), "lost_sale": (0, 8),
    "parcel": (0, 20), "lot": (0, 1), "standing": (0, 1), "good": (0, 40), "carton": (0, 40), "setting": (0, 40),
}  # fmt: skip


def not_undone_yet(context: OperationContext) -> None:
    """No entry undid it before."""
    already = context.records.there(Undoing, context.only("undoing")["id"])
    require(not already, f"{ALREADY}: this act was undone before, perhaps in another window.", NOTHING_TO_DO)


def undo(context: OperationContext) -> None:
    """The entry undone has landed, may be undone, and what stands here is its inverse, whole."""
    undone_id = context.only("undoing")["id"]
    undone = context.records.first(Operation.select().where(Operation.id == undone_id))
    require(
        undone is not None and undone["position"] is not None, "What it undoes never came into the records.",
        "Nothing to do: everything is as it was.",
    )
    assert undone is not None
    inverse = INVERSES.get(undone["kind"])
    require(inverse is not None, f"An entry of kind {undone['kind']} cannot be undone.", "Enter what is right now.")
    assert inverse is not None
    rule, tables, fact = inverse
    for row in context.rows:
        require(
            row["table"] in ("undoing", *tables), f"Undoing a {undone['kind']} changes no {row['table']}.", "Enter what is right now.",
        )
    require(undone["kind"] in SPENDING or not context.spent, "This undo takes nothing of what was set aside.", "Enter it again.")
    context.fact = fact
    rule(context, undone["rows"])


def _promised(context: OperationContext, rows: Rows) -> None:
    """The order is let go with all that it holds by now; what was paid in the same breath is paid back."""
    order = _order_of(context, rows, "promised", "let_go")
    lines = context.lines_of(order["id"])
    for reservation in context.of("reservation"):
        taking.belongs(reservation, order["id"], lines)
        require(reservation["units"] < 0, "Undoing a promise only frees.", "Undo it again.")
    _paid_back(context, rows)


def _let_go(context: OperationContext, rows: Rows) -> None:
    """The order stands again under its number; what this device's share covers is sure, the rest waits."""
    row = _said_of_the_order(context)
    state = "packed" if row.get("state") == "packed" else "promised"
    order = _order_of(context, rows, "let_go", state)
    packed = context.records.has(Parcel, (Parcel.order == order["id"]) & Parcel.packed_on.is_null(False))
    require(state == "promised" or packed or order["goes_with"], "It has no packed parcel.", "Take the order again as promised.")
    lines = context.lines_of(order["id"])
    for reservation in context.of("reservation"):
        taking.belongs(reservation, order["id"], lines)
        require(reservation["units"] > 0, "Taking an order again only reserves.", "Undo it again.")
    for line_id, units in sums(context.of("reservation"), "line").items():
        line = lines[line_id]
        missing = line["units"] - line["handed"] - line["sure"]
        closed = order["state"] != "let_go"  # handed over since: what it reserves is free again at once
        require(units <= missing or closed, f"{units} reserved for a line that misses {missing}.", "Look at the order as it is now.")
    taking.spends_what_it_reserves(context)
    if row.get("state") == "packed":
        cartons.take_again(context, order["id"])


def _amended(context: OperationContext, rows: Rows) -> None:
    """The fields and the units the amendment set are set back, if nobody changed them since."""
    for table in ("order", "person"):
        _same_fields(context, rows, table)
    known = {row["id"] for row in rows if row["table"] == "line"}
    for row in context.of("line"):
        require(row["id"] in known, f"The line {row['id']} was not changed by that amendment.", "Change the order instead.")
    taking.amend(context)


def _sold(context: OperationContext, rows: Rows) -> None:
    """The same units come back to the same lots, the same cents are paid back; the order is let go."""
    _order_of(context, rows, "gone", "let_go")
    _moved_back(context, rows)
    _paid_back(context, rows)


def _packed(context: OperationContext, rows: Rows) -> None:
    """The cartons come back, the order is promised again, its parcels are packed on no day."""
    _order_of(context, rows, "packed", "promised")
    packed = {row["id"] for row in rows if row["table"] == "parcel"}
    given = {row["id"] for row in context.of("parcel")}
    require(given == packed, "Undoing a packing takes away all of its parcels and no other.", "Undo it again.")
    for parcel in context.of("parcel"):
        only = set(parcel) - {"was"} == {"table", "id", "packed_on"} and parcel["packed_on"] is None
        require(only, "Undoing a packing takes away the day a parcel was packed and nothing else.", "Undo it again.")
    _moved_back(context, rows)


def _handed_over(context: OperationContext, rows: Rows) -> None:
    """It has not left after all: the goods are back in their lots, the order holds what it held, what was paid with it is paid back."""
    row = _said_of_the_order(context)
    state = "packed" if row.get("state") == "packed" else "promised"
    require(row.pop("gone_on", None) is None, "What has not left has no day on which it left.", "Undo it again.")
    order = _order_of(context, rows, "gone", state)
    row["gone_on"] = None
    parcels = [one for one in context.records.rows_of(Parcel, "order", order["id"]) if one["packed_on"]]
    own = {one["id"] for one in rows if one["table"] == "parcel"}
    packed = any(one["id"] not in own for one in parcels)
    look = "Look at the order as it is now."
    require(state == "promised" or packed or bool(order["goes_with"]), "It has no packed parcel.", look)
    require(state == "packed" or not packed, "It was packed when it left: its cartons are used, its parcels closed.", look)
    heard = any(one["arrived"] for one in parcels)
    require(not heard, "It has arrived: it cannot be undone any more.", "Enter what is right now.")
    freed = sums([one for one in rows if one["table"] == "reservation"], "line", -1)
    lines = context.lines_of(order["id"])
    for reservation in context.of("reservation"):
        taking.belongs(reservation, order["id"], lines)
    for line_id, units in sums(context.of("reservation"), "line").items():
        held = freed.get(line_id, 0)
        require(0 < units <= held, f"It held {held} of that, not {units}: it was canceled meanwhile.", "Count what lies on the Shelf.")
    _moved_back(context, rows)
    _paid_back(context, rows)


def _paid(context: OperationContext, rows: Rows) -> None:
    _paid_back(context, rows)


def _adjusted(context: OperationContext, rows: Rows) -> None:
    """What was taken off is put back on, to the cent, for the same reason."""
    taken = sorted((row["order"], -row["cents"], row["why"]) for row in rows if row["table"] == "adjustment")
    given = sorted((row["order"], row["cents"], row["why"]) for row in context.of("adjustment"))
    back, off = ([row[1] for row in one] for one in (given, taken))
    require(taken == given, f"It puts {back} cents back on; taken off were {off}.", "Undo it again.")


def _till(context: OperationContext, rows: Rows) -> None:
    """Each entry of the till counts no more; what undoes it says the same day and sum."""
    _each_undone(context, rows, "till", ("on", "what", "cents", "at"))


def _lost_sale(context: OperationContext, rows: Rows) -> None:
    """Nobody went without it after all."""
    _each_undone(context, rows, "lost_sale", ("good", "units", "cents", "on"))


def _each_undone(context: OperationContext, rows: Rows, table: str, copied: tuple[str, ...]) -> None:
    """Each row of a ledger is named by the one that undoes it, which says the same."""
    done = {row["id"]: row for row in rows if row["table"] == table}
    given = [row.get("undoes") for row in context.of(table)]
    words = f"It undoes {len(given)} of {len(done)} entries."
    require(sorted(map(str, given)) == sorted(done), words, "Undo the whole of it.")
    for row in context.of(table):
        row.update({name: done[row["undoes"]][name] for name in copied})


def _moved(context: OperationContext, rows: Rows) -> None:
    _moved_back(context, rows)


def _noted(context: OperationContext, rows: Rows) -> None:
    """Fields are set back, if they still say what that entry said; what was new is hidden."""
    for table in sorted({row["table"] for row in context.rows} - {"undoing"}):
        _same_fields(context, rows, table)


def _joined(context: OperationContext, rows: Rows) -> None:
    """Parted again, or joined again; in a circle nobody is joined."""
    _noted(context, rows)
    joining.no_circle(context)


def _set(context: OperationContext, rows: Rows) -> None:
    require(context.role == "keeper", "Only an owner may undo this.", "Ask the owner.")
    demo = any(row["id"] == "demo" for row in context.of("setting"))
    require(not demo, "Records are a demo's or a real house's from their first entry on.", "Start your own house in a folder of its own.")
    notes.set_good(context)
    _noted(context, rows)


def _said_of_the_order(context: OperationContext) -> dict[str, Any]:
    """Its row of the order; an undo may lack it, and is then refused."""
    return context.only("order") if context.of("order") else {}


def _order_of(context: OperationContext, rows: Rows, now: str, then: str) -> dict[str, Any]:
    """The one order of the entry undone, which must stand as that entry left it."""
    (undone,) = [row for row in rows if row["table"] == "order"]
    row = _said_of_the_order(context)
    require(row.get("id") == undone["id"], "It is the undoing of another order.", "Undo it again.")
    require(set(row) - {"was"} == {"table", "id", "state"} and row["state"] == then, f"This undo sets the state {then}.", "Undo it again.")
    order = context.order(undone["id"])
    require(
        order["state"] == now or context.overtaken(order, row),
        f"The order {order['number']} {taking.STATE_WORDS[order['state']]} by now: it cannot be undone any more.",
        "Look at the order as it is now.",
    )
    return order


def _moved_back(context: OperationContext, rows: Rows) -> None:
    """Each movement of the entry comes back whole, once, to the lot it came from."""
    ids = [row["id"] for row in rows if row["table"] == "movement"]
    given = [row.get("undoes") for row in context.of("movement")]
    require(sorted(map(str, given)) == sorted(ids), f"It brings back {len(given)} of {len(ids)} movements.", "Undo the whole of it.")
    for row in context.of("movement"):
        undone = context.records.row(Movement, row["undoes"])
        assert undone is not None, f"the movement {row['undoes']} landed, but is not in the records"
        before = context.records.has(Movement, Movement.undoes == undone["id"])
        require(not before, f"{ALREADY}: what it brings back was brought back before.", NOTHING_TO_DO)
        require(
            row["good"] == undone["good"] and row["units"] == -undone["units"],
            f"It brings back {row['units']} {row['good']}; what landed were {undone['units']} {undone['good']}.",
            "Count the shelf instead.",
        )
        row.update({name: undone[name] for name in ("lot", "reason", "on", "order", "line")})
    leaves_nothing_below_zero(context)


def _paid_back(context: OperationContext, rows: Rows) -> None:
    """Each payment of the entry is paid back to the cent, the way it came."""
    paid = sorted((row["order"], -row["cents"], row["how"]) for row in rows if row["table"] == "payment")
    given = sorted((row["order"], row["cents"], row["how"]) for row in context.of("payment"))
    require(paid == given, f"It pays back {[-row[1] for row in given]} cents; paid were {[-row[1] for row in paid]}.", "Undo it again.")
    for row in context.of("payment"):
        require(not context.records.there(Payment, row["id"]), "That payment is there already.", "Undo it again.")


def _same_fields(context: OperationContext, rows: Rows, table: str) -> None:
    """Rows of a table set back nothing but what the entry set, and say what they believe it to be now."""
    undone = {row["id"]: row for row in rows if row["table"] == table}
    for row in context.of(table):
        was = undone.get(row["id"])
        require(was is not None, f"The {table} {row['id']} was not changed by that entry.", "Undo it again.")
        assert was is not None
        for name in sorted(set(row) - {"table", "id", "was", "hidden", "told"}):
            require(name in was, f"That entry did not set {name}.", "Enter what is right now.")
            told = "was" in row and name in row["was"]
            require(told, f"Undoing {name} without saying what it was set to.", "Undo it again.")


Rule = Callable[[OperationContext, Rows], None]
MOVED: tuple[Rule, tuple[str, ...], bool] = (_moved, ("movement",), True)
INVERSES: dict[str, tuple[Rule, tuple[str, ...], bool]] = {
    "promise": (_promised, ("order", "reservation", "payment"), False),
    "let_go": (_let_go, ("order", "reservation"), False),
    "amend": (_amended, ("person", "order", "line", "reservation"), False),
    "sell": (_sold, ("order", "movement", "payment"), True),
    "pack": (_packed, ("order", "parcel", "movement"), False),
    "hand_over": (_handed_over, ("order", "reservation", "movement", "payment"), False),
    "pay": (_paid, ("payment",), False), "adjust": (_adjusted, ("adjustment",), False), "note_till": (_till, ("till",), False),
    "weigh": (_noted, ("parcel",), False), "track": (_noted, ("parcel",), False), "arrive": (_noted, ("parcel",), False),
    "make": MOVED, "count": MOVED, "buy": MOVED,
    "note_person": (_noted, ("person",), False), "note_lot": (_noted, ("lot",), False),
    "note_lost_sale": (_lost_sale, ("lost_sale",), False),
    "join_people": (_joined, ("person",), False),
    "note_standing": (_noted, ("standing",), False),
    "set_good": (_set, ("good", "carton"), False), "set_house": (_set, ("setting",), False),
}  # fmt: skip
"""By the kind undone: its rule, the tables its undo may hold, and whether it lands even if promises are short afterwards."""
SPENDING = ("let_go", "amend")
"""Kinds whose undo takes from a share."""

KINDS = (Kind("undo", TABLES_OF_UNDO, undo, may_spend=True, first=not_undone_yet, words="An act undone, once."),)
