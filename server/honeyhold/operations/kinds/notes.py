"""Notes, settings, and share given back."""

from __future__ import annotations

from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from honeyhold.operations.context import OperationContext, require
from honeyhold.operations.kinds.kind import Kind
from honeyhold.operations.setting_shapes import wanted_instead
from honeyhold.records.models import Good, Setting


def nothing_more(context: OperationContext) -> None:
    """No rule beyond what the schema and the pointers between rows ask."""


def lost_sale(context: OperationContext) -> None:
    """What somebody went without; another entry undoes it, never another row of this kind."""
    for row in context.of("lost_sale"):
        require(not row.get("undoes"), "It undoes another entry.", "Undo that entry instead.")


def set_good(context: OperationContext) -> None:
    """A carton's measures stand beside a good of kind carton with the same id."""
    kinds = {row["id"]: row.get("kind") for row in context.of("good")}
    for row in context.of("carton"):
        known = context.records.row(Good, row["id"])
        kind = kinds.get(row["id"]) or (known["kind"] if known else None)
        require(kind == "carton", f"{row['id']} is not a carton but {kind!r}.", "Enter the carton as a good of kind carton too.")


def set_house(context: OperationContext) -> None:
    """Settings; the time zone must be one that is known, and a house does not turn into a demo, nor a demo into a house."""
    for row in context.of("setting"):
        wanted = wanted_instead(row["id"], row["value"])
        require(not wanted, f"The setting {row['id']} is {row['value']!r:.80}; it must be {wanted}.", "Enter it again under Settings.")
        if row["id"] == "demo" and context.position > 1:
            known = context.records.row(Setting, "demo")
            require(
                (row["value"] is True) == (known is not None and known["value"] is True),
                "Records are a demo's or a real house's from their first entry on.", "Start your own house in a folder of its own.",
            )
        if row["id"] == "time_zone":
            try:
                ZoneInfo(row["value"])
                there = True
            except (ZoneInfoNotFoundError, ValueError, TypeError, OSError):
                there = False
            require(there, f"No time zone is called {row['value']!r}.", "Use a name such as America/Chicago.")


def give_back(context: OperationContext) -> None:
    """The device returns part of its share to the pool."""
    require(bool(context.spent), "Nothing is given back.", "Say how many units of which good.")


KINDS = (
    Kind("note_person", {"person": (1, 1)}, nothing_more, words="A person's name, number, address."),
    Kind("note_people", {"person": (1, 200)}, nothing_more, who="keeper", words="People brought in from a list."),
    Kind("note_lot", {"lot": (1, 1)}, nothing_more, words="What is known of a lot."),
    Kind("note_lost_sale", {"lost_sale": (1, 8)}, lost_sale, words="What a caller went without."),
    Kind("set_good", {"good": (1, 40), "carton": (0, 40)}, set_good, who="keeper", words="What is sold and packed with."),
    Kind("set_house", {"setting": (1, 40)}, set_house, who="keeper", words="The house's settings."),
    Kind("give_back", {}, give_back, may_spend=True, words="Share returned to the pool."),
)
