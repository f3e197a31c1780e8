"""Reading plain JSON into numbers that can be trusted, with errors that name the field."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from honeyhold.stock.errors import UnreadableField

Request = Mapping[str, Any]

UNITS_MAX = 10_000_000  # a bound on every count, so a slip of the finger cannot ask for years of work


def whole(
    request: Request, field: str, *, least: int = 0, most: int = UNITS_MAX, default: int | None = None
) -> int:
    """The whole number in `field`.

    Raises UnreadableField when it is missing without a default, is no whole number, or lies outside
    least..most.
    """
    value = request.get(field, default)
    if value is None:
        value = default
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        raise UnreadableField(field, value, f"a whole number from {least} to {most}")
    return value


def number(request: Request, field: str, *, least: float, most: float, default: float | None = None) -> float:
    """The number in `field` as a float; errors as in `whole`."""
    value = request.get(field, default)
    if value is None:
        value = default
    if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
        raise UnreadableField(field, value, f"a number from {least:g} to {most:g}")
    return float(value)


def text(request: Request, field: str, *, default: str | None = None) -> str:
    """The text in `field`; errors as in `whole`."""
    value = request.get(field, default)
    if value is None:
        value = default
    if not isinstance(value, str):
        raise UnreadableField(field, value, "text")
    return value


def name_or_none(request: Request, field: str) -> str | None:
    """The id in `field`, or None where it is missing, null or empty; errors as in `whole`."""
    return text(request, field, default="") or None


def rows(request: Request, field: str, *, optional: bool = False) -> Sequence[Mapping[str, Any]]:
    """The list of rows in `field`; an empty list when it is optional and left out."""
    value = request.get(field)
    if value is None and optional:
        return []
    if not isinstance(value, list | tuple):
        raise UnreadableField(field, value, "a list of rows")
    for row in value:
        if not isinstance(row, Mapping):
            raise UnreadableField(field, row, "rows, each a dictionary")
    return value


def table(request: Request, field: str, *, optional: bool = False) -> Mapping[str, Any]:
    """The dictionary in `field`; an empty one when it is optional and left out."""
    value = request.get(field)
    if value is None and optional:
        return {}
    if not isinstance(value, Mapping):
        raise UnreadableField(field, value, "a dictionary")
    return value
