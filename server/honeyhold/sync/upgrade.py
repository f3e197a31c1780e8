"""Carries operations written by an older app to the newest version of their kind; the house reads old ones for ever."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from honeyhold.sync.errors import Refused

Step = Callable[[list[dict[str, Any]]], list[dict[str, Any]]]

NEWEST: dict[str, int] = {}
"""The newest version of each kind that has had more than one; 1 for all others."""

STEPS: dict[tuple[str, int], Step] = {}
"""(kind, version) -> what turns its rows into those of the version after it."""


def upgraded_rows(kind: str, version: int, rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The rows as the newest version of the kind has them; raises `Refused` for a version from the future."""
    newest = NEWEST.get(kind, 1)
    if version > newest:
        raise Refused(
            f"The entry is {kind} version {version}; this house reads up to version {newest}.",
            "Update the house, then enter it again.",
        )
    for number in range(version, newest):
        rows = STEPS[kind, number](rows)
    return rows
