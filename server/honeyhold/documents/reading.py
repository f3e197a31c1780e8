"""Reads what was handed in, field by field, and names the field when it is wrong."""

from __future__ import annotations

import re
from datetime import date
from typing import Any, TypeVar

from honeyhold.errors import BadRequest

Json = dict[str, Any]
Choice = TypeVar("Choice")

TEXT_LENGTH_MAX = 4000
LIST_LENGTH_MAX = 400
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


def wrong(field: str, wanted: str, seen: object) -> BadRequest:
    """The error for a field that holds something else than what was wanted."""
    shown = repr(seen)
    shown = shown if len(shown) <= 80 else shown[:77] + "..."
    return BadRequest(f"{field} must be {wanted}, but it is {shown}.", f"Give {field} as {wanted}.")


def mapping(holder: Json, key: str, where: str = "") -> Json:
    """The object under `key`; raises BadRequest when it is missing or something else."""
    value = holder.get(key)
    if not isinstance(value, dict):
        raise wrong(where + key, "an object", value)
    return value


def mapping_or_none(holder: Json, key: str, where: str = "") -> Json | None:
    """The object under `key`, or None when it is missing or null."""
    return None if holder.get(key) is None else mapping(holder, key, where)


def objects(holder: Json, key: str, where: str = "", *, least: int = 0) -> list[Json]:
    """The list of objects under `key`, missing counts as empty; BadRequest when shorter than `least`."""
    values = _list(holder, key, where)
    for position, value in enumerate(values):
        if not isinstance(value, dict):
            raise wrong(f"{where}{key}[{position}]", "an object", value)
    if len(values) < least:
        raise wrong(where + key, f"a list of at least {least}", values)
    return values


def texts(holder: Json, key: str, where: str = "") -> list[str]:
    """The list of texts under `key` without the blank ones; missing counts as empty."""
    found = [_clean(value, f"{where}{key}[{n}]") for n, value in enumerate(_list(holder, key, where))]
    return [one for one in found if one]


def text(
    holder: Json, key: str, where: str = "", *, needed: bool = False, most: int = TEXT_LENGTH_MAX
) -> str:
    """The text under `key`, trimmed; missing or null is empty, which raises BadRequest when `needed`."""
    value = holder.get(key)
    found = "" if value is None else _clean(value, where + key, most)
    if needed and not found:
        raise wrong(where + key, "some text", value)
    return found


def units(holder: Json, key: str, where: str = "", *, least: int = 0) -> int:
    """The whole number under `key`; BadRequest for fractions, truth values and what is below `least`."""
    value = holder.get(key)
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        raise wrong(where + key, f"a whole number of {least} or more", value)
    return value


def day(holder: Json, key: str, where: str = "") -> date | None:
    """The day under `key` written as 2026-07-22, or None when missing, null or empty."""
    value = text(holder, key, where)
    if not value:
        return None
    try:
        return date.fromisoformat(value)
    except ValueError:
        raise wrong(where + key, "a day such as 2026-07-22", value) from None


def choice(holder: Json, key: str, table: dict[str, Choice], default: str, where: str = "") -> Choice:
    """What the table holds for the text under `key`; missing counts as `default`."""
    value = text(holder, key, where) or default
    if value not in table:
        raise wrong(where + key, "one of " + ", ".join(table), value)
    return table[value]


def _list(holder: Json, key: str, where: str) -> list[Any]:
    value = holder.get(key)
    if value is None:
        return []
    if not isinstance(value, list):
        raise wrong(where + key, "a list", value)
    if len(value) > LIST_LENGTH_MAX:
        raise wrong(where + key, f"a list of at most {LIST_LENGTH_MAX}", f"{len(value)} long")
    return value


def _clean(value: object, field: str, most: int = TEXT_LENGTH_MAX) -> str:
    """Trimmed text without control characters; half a surrogate pair cannot be printed and is refused."""
    if not isinstance(value, str):
        raise wrong(field, "text", value)
    if len(value) > most:
        raise wrong(field, f"text of at most {most} characters", value)
    if any("\ud800" <= letter <= "\udfff" for letter in value):
        raise wrong(field, "text without broken characters", value)
    return _CONTROL.sub(" ", value.replace("\r\n", "\n")).strip()
