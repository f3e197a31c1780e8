"""What only the house writes."""

from __future__ import annotations

from honeyhold.records.models import Line
from honeyhold.sync.kinds.kind import Kind
from honeyhold.sync.landing import Landing, require


def fill(landing: Landing) -> None:
    """Waiting lines get what has become free; never more than they wait for."""
    for row in landing.of("reservation"):
        line = landing.records.row(Line, row["line"])
        require(
            line is not None and 0 < row["units"] <= line["waits"] and line["good"] == row["good"],
            f"The line {row['line']} does not wait for {row['units']} {row['good']}.", "This is a mistake in Honeyhold.",
        )


def enrol(landing: Landing) -> None:
    """A device joins, or is declared lost."""


def foretell(landing: Landing) -> None:
    """What a weather service foretells; no day may be cooler at its warmest than at its coolest."""
    for row in landing.of("forecast"):
        for day in row.get("days", []):
            require(
                day["min_tenths"] <= day["max_tenths"],
                f"The forecast for {row['id']} has {day['day']} from {day['min_tenths']} to {day['max_tenths']} tenths of a degree.",
                "This is a mistake in Honeyhold.",
            )


KINDS = (
    Kind("fill", {"reservation": (1, 200)}, fill, who="house", words="Waiting lines given what became free."),
    Kind("enrol", {"device": (1, 1)}, enrol, who="house", words="A device joined or was declared lost."),
    Kind("foretell", {"forecast": (1, 40)}, foretell, who="house", words="What the weather service foretells."),
)
