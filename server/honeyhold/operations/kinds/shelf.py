"""What is made, counted and bought in."""

from __future__ import annotations

from honeyhold.operations.context import OperationContext, require
from honeyhold.operations.kinds.kind import Kind
from honeyhold.operations.lot_codes import told_apart
from honeyhold.records.models import Balance, Good, LotBalance, Movement

MADE = ("poured", "bottled", "made", "came")
GONE_IN = ("used", "passed", "lost", "fed")
LOST = ("spoiled", "specked", "broken", "gift", "lost", "fed")


def make(context: OperationContext) -> None:
    """A pour, a bottling, an extraction, a step from one stage to the next: what goes in leaves, what comes out is made.

    What is passed on from one stage comes to the next to the gram; what did not come is lost, and said to be.
    """
    told_apart(context)
    of_no_order(context)
    for row in context.of("movement"):
        fits = (row["reason"] in GONE_IN and row["units"] < 0) or (row["reason"] in MADE and row["units"] > 0)
        require(
            fits, f"{row['units']} {row['good']}, reason {row['reason']}: what goes in is used, what comes out is made.",
            "Enter what went in as used, passed on or lost (taken away) and what came out as poured, bottled or made.",
        )
    _passed_on_whole(context)


def _passed_on_whole(context: OperationContext) -> None:
    passing = [row for row in context.of("movement") if row["reason"] in ("passed", "came")]
    for row in passing:
        good = context.records.row(Good, row["good"])
        require(
            good is None or good["unit"] == "g", f"{row['good']} is not kept by weight: it is not passed on from stage to stage.",
            "Enter what came out as poured, bottled or made.",
        )
    left = -sum(row["units"] for row in passing if row["reason"] == "passed")
    came = sum(row["units"] for row in passing if row["reason"] == "came")
    require(left == came, f"{left} g left a stage but {came} g came to the next.", "Enter what is missing as lost, then do it again.")


def count(context: OperationContext) -> None:
    """The shelf is right: it lands even when promises are short afterwards."""
    of_no_order(context)
    for row in context.of("movement"):
        fits = row["reason"] == "counted" or (row["reason"] in LOST and row["units"] < 0)
        require(
            fits, f"{row['units']} {row['good']}, reason {row['reason']}: this is not a count or a loss.",
            f"Use counted, or a loss ({', '.join(LOST)}) that takes away.",
        )


def of_no_order(context: OperationContext) -> None:
    """What is made, counted or bought belongs to no order: it would change what was handed over to somebody."""
    for row in context.of("movement"):
        require(
            not row.get("order") and not row.get("line"), f"The movement {row['id']} names an order or one of its lines.",
            "Enter what left for an order as a sale or a hand-over.",
        )


def take_back(context: OperationContext) -> None:
    """Movements that were a mistake, each with the same reason and the other sign, so that every sum reads as if never made.

    Each names the one it undoes: what never landed cannot be taken back, nor anything twice.
    """
    for row in context.of("movement"):
        undone = context.records.row(Movement, row.get("undoes") or "")
        require(undone is not None, "What it takes back never came into the records.", "Nothing to do: the shelf is as it was.")
        assert undone is not None
        require(
            undone["order"] is None and undone["undoes"] is None,
            f"The movement {undone['id']} belongs to an order, or is an undoing itself.", "Count the shelf instead.",
        )
        require(
            not context.records.has(Movement, Movement.undoes == undone["id"]), "It was undone already.", "Nothing to do.",
        )
        require(
            row["good"] == undone["good"] and row["units"] == -undone["units"],
            f"It takes back {row['units']} {row['good']}; what landed were {undone['units']} {undone['good']}.", "Count the shelf instead.",
        )
        row.update({name: undone[name] for name in ("lot", "reason", "on")})
    of_no_order(context)
    leaves_nothing_below_zero(context)


def leaves_nothing_below_zero(context: OperationContext) -> None:
    """Refuses an undoing that would take away what has gone on since: cappings melted, bars sold.

    For every kind whose movements undo others (`undoes`), once their lots are filled in.
    """
    taken: dict[tuple[str, str], int] = {}
    for row in context.of("movement"):
        if row.get("undoes"):
            which = row["good"], row["lot"] or ""
            taken[which] = taken.get(which, 0) + row["units"]
    for (good, lot), units in taken.items():
        _still_there(context, good, lot, units)


def _still_there(context: OperationContext, good: str, lot: str, units: int) -> None:
    """That `units` (below zero) can still be taken from a lot; of an unknown lot, from all that is here of the good."""
    of_lot = (LotBalance.good == good) & (LotBalance.lot == lot)
    found = context.records.first(LotBalance.select().where(of_lot) if lot else Balance.select().where(Balance.good == good))
    here = int(found["units" if lot else "on_hand"]) if found else 0
    known = context.records.row(Good, good) or {}
    unit, name = " g" if known.get("unit") == "g" else "", known.get("plural") or known.get("name") or good
    require(
        units >= 0 or here + units >= 0,
        f"Undoing this takes {-units}{unit} of {name} away{f' from lot {lot}' if lot else ''}; {max(0, here)}{unit} of it is still there: "
        "the rest was made into something or left since.",
        "Undo first what was made of it, the latest first; or leave this as it is and count what is there.",
    )


def buy(context: OperationContext) -> None:
    """Goods or cartons bought in, or there from the start."""
    of_no_order(context)
    for row in context.of("movement"):
        require(
            row["reason"] in ("bought", "opening") and row["units"] > 0,
            f"{row['units']} {row['good']}, reason {row['reason']}: what is bought in is added.",
            "Enter one or more units, reason bought or opening.",
        )


KINDS = (
    Kind("make", {"lot": (1, 8), "movement": (1, 40)}, make, fact=True, words="A pour, a bottling, an extraction, a step between."),
    Kind("count", {"movement": (1, 80)}, count, fact=True, words="What was counted, spoiled, broken or given away."),
    Kind("take_back", {"movement": (1, 80)}, take_back, fact=True, words="What was made or counted by mistake, undone."),
    Kind("buy", {"movement": (1, 40)}, buy, words="What was bought in or was there from the start."),
)
