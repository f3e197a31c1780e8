"""A value in words that are the same every time."""

from __future__ import annotations

import dataclasses
from enum import Enum
from typing import Any

PARTS_MOST, DEEP_MOST = 400, 6


def written(value: Any) -> str:
    """A value in words that are the same every time; of a thing that is no value only what kind it is."""
    parts: list[str] = []
    _write(value, parts, 0)
    return " ".join(parts)


def _write(value: Any, parts: list[str], deep: int) -> None:
    if len(parts) > PARTS_MOST or deep > DEEP_MOST:
        return
    if isinstance(value, float):
        parts.append(f"{value:.9g}")
    elif value is None or isinstance(value, bool | int | str | bytes):
        parts.append(repr(value))
    elif isinstance(value, Enum):
        parts.append(value.name)
    elif isinstance(value, dict):
        for key, inner in value.items():
            _write(key, parts, deep + 1)
            _write(inner, parts, deep + 1)
    elif isinstance(value, list | tuple):
        parts.append("[")
        for inner in value:
            _write(inner, parts, deep + 1)
        parts.append("]")
    elif isinstance(value, set | frozenset):
        parts.append(", ".join(sorted(map(written, value))))
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            _write(getattr(value, field.name, None), parts, deep + 1)
    else:
        parts.append(str(value) if type(value).__module__ in ("datetime", "fractions", "decimal") else type(value).__name__)
