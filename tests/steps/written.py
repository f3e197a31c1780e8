"""A value in words that are the same every time."""

from __future__ import annotations

import dataclasses
from enum import Enum
from functools import cache
from itertools import takewhile
from typing import Any, Final

PARTS_MOST, DEEP_MOST = 400, 6
AS_IT_READS: Final = frozenset({type(None), bool, int, str, bytes})
BY_ITS_WORDS: Final = ("datetime", "fractions", "decimal")


def written(value: Any) -> str:
    """A value in words that are the same every time; of a thing that is no value only what kind it is."""
    parts: list[str] = []
    _write(value, parts, 0)
    return " ".join(parts)


def _write(value: Any, parts: list[str], deep: int) -> None:
    if len(parts) > PARTS_MOST or deep > DEEP_MOST:
        return
    if type(value) in AS_IT_READS:  # most of all that is written
        parts.append(repr(value))
    else:
        _write_other(value, type(value), parts, deep)


def _write_other(value: Any, kind: type, parts: list[str], deep: int) -> None:
    if isinstance(value, float):
        parts.append(f"{value:.9g}")
    elif isinstance(value, int | str | bytes):
        parts.append(repr(value))
    elif isinstance(value, Enum):
        parts.append(value.name)
    elif isinstance(value, dict):
        for key, inner in value.items():
            _write(key, parts, deep + 1)
            _write(inner, parts, deep + 1)
    elif isinstance(value, list | tuple):
        parts.append("[")
        for inner in takewhile(lambda _: len(parts) <= PARTS_MOST, value):  # nothing more is written: a long one need not be gone through
            _write(inner, parts, deep + 1)
        parts.append("]")
    elif isinstance(value, set | frozenset):
        parts.append(", ".join(sorted(map(written, value))))
    elif dataclasses.is_dataclass(kind):
        for field in _fields(kind):
            _write(getattr(value, field, None), parts, deep + 1)
    else:
        parts.append(str(value) if kind.__module__ in BY_ITS_WORDS else kind.__name__)


@cache
def _fields(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(kind))
