"""What only the house writes."""

from __future__ import annotations

from honeyhold.operations.context import OperationContext, require, sums
from honeyhold.operations.kinds.kind import Kind
from honeyhold.operations.rows import TABLES
from honeyhold.records.models import Line


def fill(context: OperationContext) -> None:
    """Waiting lines get what has become free; never more than they wait for."""
    for row in context.of("reservation"):
        line = context.records.row(Line, row["line"])
        require(
            line is not None and 0 < row["units"] <= line["waits"] and line["good"] == row["good"],
            f"The line {row['line']} does not wait for {row['units']} {row['good']}.", "This is a mistake in Honeyhold.",
        )
    _tell_them(context)


def _tell_them(context: OperationContext) -> None:
    """Whoever has all of an order now is to be called; the row that lands says so to every device."""
    filled = sums(context.of("reservation"), "line")
    for order in dict.fromkeys(row["order"] for row in context.of("reservation")):
        waits = sum(line["waits"] - filled.get(line["id"], 0) for line in context.lines_of(order).values())
        if waits == 0:
            context.rows.append({"table": "order", "id": order, "call_for": "here"})


def enrol(context: OperationContext) -> None:
    """A device joins, or is declared lost."""


def foretell(context: OperationContext) -> None:
    """What a weather service foretells; no day may be cooler at its warmest than at its coolest."""
    for row in context.of("forecast"):
        for day in row.get("days", []):
            require(
                day["min_tenths"] <= day["max_tenths"],
                f"The forecast for {row['id']} has {day['day']} from {day['min_tenths']} to {day['max_tenths']} tenths of a degree.",
                "This is a mistake in Honeyhold.",
            )


def forget_person(context: OperationContext) -> None:
    """A person who asked to be forgotten: name, number, address and notes go; what was ordered and paid stays."""
    texts = ("phone", "street", "unit", "city", "state", "zip", "note")
    kept = [name for name in texts if any(row.get(name, "kept") for row in context.of("person"))]
    require(not kept, f"To forget somebody empties all of it; {', '.join(kept)} would stay.", "This is a mistake in Honeyhold.")


def bring_in(context: OperationContext) -> None:
    """The rows of an export, into a house where nothing else was ever written."""
    others = context.records.sql("SELECT COUNT(*) FROM operation WHERE kind <> 'bring_in'").fetchone()[0]
    require(others == 0, "There are records here already: an export is read into an empty house only.", "Name an empty folder with --data.")


ALL_TABLES = dict.fromkeys(TABLES, (0, 400))

KINDS = (
    Kind("forget_person", {"person": (0, 400), "order": (0, 400), "standing": (0, 400), "parcel": (0, 400)},
         forget_person, who="house", words="A person forgotten on request."),
    Kind("bring_in", ALL_TABLES, bring_in, fact=True, who="house", words="The rows of an export, into an empty house."),
    Kind("fill", {"reservation": (1, 200)}, fill, who="house", words="Waiting lines given what became free."),
    Kind("enrol", {"device": (1, 1)}, enrol, who="house", words="A device joined or was declared lost."),
    Kind("foretell", {"forecast": (1, 40)}, foretell, who="house", words="What the weather service foretells."),
)
