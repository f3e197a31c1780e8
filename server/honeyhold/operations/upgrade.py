"""Carries operations written by an older app to the newest version of their kind; the house reads old ones for ever."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from honeyhold.operations.errors import Refused

Step = Callable[[list[dict[str, Any]]], list[dict[str, Any]]]

NEWEST: dict[str, int] = {}
"""The newest version of each kind that has had more than one; 1 for all others."""

STEPS: dict[tuple[str, int], Step] = {}
"""(kind, version) -> what turns its rows into those of the version after it."""


def newest(kind: str) -> int:
    """The version in which entries of this kind are written now."""
    return NEWEST.get(kind, 1)


def upgraded_rows(kind: str, version: int, rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The rows as the newest version of the kind has them.

    Raises `Refused` for a version from the future, and for rows that a step cannot read.
    """
    last = newest(kind)
    if version > last:
        raise Refused(
            f"The entry is {kind} version {version}; this house reads up to version {last}.",
            "Update the main computer, then enter it again.",
        )
    for number in range(version, last):
        try:
            rows = STEPS[kind, number](rows)
        except (KeyError, TypeError, ValueError, AttributeError) as trouble:
            # Rows are not checked before they are of the newest version: one that no step can read must not stop the queue.
            raise Refused(
                f"The entry is {kind} version {version} and cannot be carried to version {number + 1} ({trouble!r:.200}).",
                "Update the app on this device and enter it again.",
            ) from None
    return rows
