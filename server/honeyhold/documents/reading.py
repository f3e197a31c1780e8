"""Reads what was handed in, field by field, and names the field when it is wrong."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from honeyhold.errors import BadRequest

Choice = TypeVar("Choice")

TEXT_LENGTH_MAX = 4000
LIST_LENGTH_MAX = 400
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


def wrong(field: str, wanted: str, seen: object) -> BadRequest:
    """The error for a field that holds something else than what was wanted."""
    shown = repr(seen)
    shown = shown if len(shown) <= 80 else shown[:77] + "..."
    return BadRequest(f"{field} must be {wanted}, but it is {shown}.", f"Give {field} as {wanted}.")


@dataclass(frozen=True)
class Reader:
    """An object that was handed in; `where` is what stands before a field's name when it is wrong."""

    held: Mapping[str, Any]
    where: str = ""

    def raw(self, key: str) -> Any:
        """What stands under `key`, unread."""
        return self.held.get(key)

    def mapping(self, key: str) -> Reader:
        """The object under `key`; raises BadRequest when it is missing or something else."""
        value = self.held.get(key)
        if not isinstance(value, dict):
            raise self.wrong(key, "an object")
        return Reader(value, f"{self.where}{key}.")

    def mapping_or_none(self, key: str) -> Reader | None:
        """The object under `key`, or None when it is missing or null."""
        return None if self.held.get(key) is None else self.mapping(key)

    def objects(self, key: str, *, least: int = 0) -> list[Reader]:
        """The list of objects under `key`, missing counts as empty; BadRequest when shorter than `least`."""
        values = self._list(key)
        for position, value in enumerate(values):
            if not isinstance(value, dict):
                raise wrong(f"{self.where}{key}[{position}]", "an object", value)
        if len(values) < least:
            raise wrong(self.where + key, f"a list of at least {least}", values)
        return [Reader(value, f"{self.where}{key}[{position}].") for position, value in enumerate(values)]

    def texts(self, key: str) -> list[str]:
        """The list of texts under `key` without the blank ones; missing counts as empty."""
        found = [_clean(value, f"{self.where}{key}[{n}]") for n, value in enumerate(self._list(key))]
        return [one for one in found if one]

    def text(self, key: str, *, needed: bool = False, most: int = TEXT_LENGTH_MAX) -> str:
        """The text under `key`, trimmed; missing or null is empty, which raises BadRequest when `needed`."""
        value = self.held.get(key)
        found = "" if value is None else _clean(value, self.where + key, most)
        if needed and not found:
            raise self.wrong(key, "some text")
        return found

    def units(self, key: str, *, least: int = 0) -> int:
        """The whole number under `key`; BadRequest for fractions, truth values and what is below `least`."""
        value = self.held.get(key)
        if isinstance(value, bool) or not isinstance(value, int) or value < least:
            raise self.wrong(key, f"a whole number of {least} or more")
        return value

    def day(self, key: str) -> date | None:
        """The day under `key` written as 2026-07-22, or None when missing, null or empty."""
        value = self.text(key)
        if not value:
            return None
        try:
            return date.fromisoformat(value)
        except ValueError:
            raise wrong(self.where + key, "a day such as 2026-07-22", value) from None

    def choice(self, key: str, table: Mapping[str, Choice], default: str) -> Choice:
        """What the table holds for the text under `key`; missing counts as `default`."""
        value = self.text(key) or default
        if value not in table:
            raise wrong(self.where + key, "one of " + ", ".join(table), value)
        return table[value]

    def wrong(self, key: str, wanted: str) -> BadRequest:
        """The error for the field `key`."""
        return wrong(self.where + key, wanted, self.held.get(key))

    def _list(self, key: str) -> list[Any]:
        value = self.held.get(key)
        if value is None:
            return []
        if not isinstance(value, list):
            raise self.wrong(key, "a list")
        if len(value) > LIST_LENGTH_MAX:
            raise wrong(self.where + key, f"a list of at most {LIST_LENGTH_MAX}", f"{len(value)} long")
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
