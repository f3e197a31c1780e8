"""Two people of the book who are one: joined by saying so, parted by saying it no more. Nothing of either is ever written over."""

from __future__ import annotations

from honeyhold.operations.context import OperationContext, require
from honeyhold.operations.kinds.kind import Kind
from honeyhold.records.models import Person
from honeyhold.records.people import chain_of

ALLOWED = ("join_people", "undo", "bring_in")


def join_people(context: OperationContext) -> None:
    """One row says whom it is the same as (or nobody any more), and nothing else."""
    row = context.only("person")
    require(set(row) - {"was"} == {"table", "id", "same_as"}, "Joining says who is the same as whom, and nothing else.", "Enter it again.")
    known = context.records.row(Person, row["id"])
    require(known is not None, f"The main computer knows no person {row['id']}.", "Enter them first.")
    no_circle(context)


def no_circle(context: OperationContext) -> None:
    """Whoever is the same as another is not that other's other."""
    for row in context.of("person"):
        other = row.get("same_as")
        if other is not None:
            around = row["id"] in chain_of(context.records, other)
            require(not around, "They are joined already, the other way round.", "Look at them as they are now.")


def joined_by_its_kind(context: OperationContext) -> None:
    """No other entry joins or parts people in passing."""
    said = context.kind not in ALLOWED and any("same_as" in row for row in context.of("person"))
    require(not said, "People are joined by an entry of its own.", "Join them on the person's page in the Book.")


KINDS = (Kind("join_people", {"person": (1, 1)}, join_people, words="Two people of the book who are one, or two after all."),)
