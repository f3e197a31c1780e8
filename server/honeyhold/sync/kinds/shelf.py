"""What is made, counted and bought in."""

from __future__ import annotations

from honeyhold.records.models import Lot
from honeyhold.sync.kinds.kind import Kind
from honeyhold.sync.landing import Landing, require

MADE = ("poured", "bottled", "made")
LOST = ("spoiled", "specked", "broken", "gift")


def make(landing: Landing) -> None:
    """A pour, a bottling, an extraction: what goes in is used, what comes out is poured, bottled or made."""
    for row in landing.of("lot"):
        known = landing.records.row(Lot, row["id"])
        require(known is None, f"The code {row['id']} is on another lot already.", "Write the next run number on this one.")
    for row in landing.of("movement"):
        fits = (row["reason"] == "used" and row["units"] < 0) or (row["reason"] in MADE and row["units"] > 0)
        require(
            fits, f"{row['units']} {row['good']}, reason {row['reason']}: what goes in is used, what comes out is made.",
            "Enter what went in as used (taken away) and what came out as poured, bottled or made.",
        )


def count(landing: Landing) -> None:
    """The shelf is right: it lands even when promises are short afterwards."""
    for row in landing.of("movement"):
        fits = row["reason"] == "counted" or (row["reason"] in LOST and row["units"] < 0)
        require(
            fits, f"{row['units']} {row['good']}, reason {row['reason']}: this is not a count or a loss.",
            f"Use counted, or a loss ({', '.join(LOST)}) that takes away.",
        )


def buy(landing: Landing) -> None:
    """Goods or cartons bought in, or there from the start."""
    for row in landing.of("movement"):
        require(
            row["reason"] in ("bought", "opening") and row["units"] > 0,
            f"{row['units']} {row['good']}, reason {row['reason']}: what is bought in is added.",
            "Enter one or more units, reason bought or opening.",
        )


KINDS = (
    Kind("make", {"lot": (1, 8), "movement": (1, 40)}, make, fact=True, words="A pour, a bottling, an extraction."),
    Kind("count", {"movement": (1, 80)}, count, fact=True, words="What was counted, spoiled, broken or given away."),
    Kind("buy", {"movement": (1, 40)}, buy, words="What was bought in or was there from the start."),
)
