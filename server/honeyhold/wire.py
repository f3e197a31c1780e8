"""Between JSON and typed values, in one place: an object read field by field, and a dataclass written as plain JSON.

Inside, values are frozen dataclasses; JSON is known at the doors alone (the kernel's, which HTTP and the browser's worker share).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from honeyhold.errors import BadRequest

OMIT_NONE = {"omit_none": True}
"""Metadata of a field that is left out of the JSON where it holds nothing."""


def to_json(value: object) -> Any:
    """A value as plain JSON types: a dataclass by its fields, a sequence as a list, a day as text."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        told = {}
        for field in dataclasses.fields(value):
            held = getattr(value, field.name)
            if held is not None or not field.metadata.get("omit_none"):
                told[field.name] = to_json(held)
        return told
    if isinstance(value, Mapping):
        return {key: to_json(held) for key, held in value.items()}
    if isinstance(value, list | tuple):
        return [to_json(held) for held in value]
    if isinstance(value, Fraction):
        return float(value)
    return value.isoformat() if isinstance(value, date) else value


def as_object(value: object, field: str) -> dict[str, Any]:
    """The value if it is an object. Raises BadRequest naming the field."""
    if not isinstance(value, dict):
        raise BadRequest(f"{field} is {str(value)[:60]!r}, not a set of named values.", "Hand in a JSON object.")
    return value


@dataclass(frozen=True)
class Fields:
    """An object of a request. Every reader raises BadRequest with the field's full name, what was seen, and what to do."""

    held: Mapping[str, Any]
    where: str = ""

    @classmethod
    def of(cls, value: object, where: str = "") -> Fields:
        """The object's fields; `where` is its own full name, empty for the whole request."""
        return cls(as_object(value, where or "the request"), where)

    def named(self, name: str) -> str:
        """The full name of a field."""
        return f"{self.where}.{name}" if self.where else name

    def get(self, name: str) -> Any:
        """What stands there, unread; None where there is nothing."""
        return self.held.get(name)

    def text(self, name: str, default: str = "") -> str:
        """Text, `default` where there is none."""
        value = self.get(name)
        if value is None or value == "":
            return default
        if not isinstance(value, str):
            raise self.wrong(name, "text")
        return value

    def short_text(self, name: str, remedy: str) -> str:
        """Text that must be there, of at most 200 letters."""
        value = self.get(name)
        if not isinstance(value, str) or not value or len(value) > 200:
            raise BadRequest(f"{self.named(name)} is {str(value)[:60]!r}, not a short text.", remedy)
        return value

    def number(self, name: str, default: float = 0) -> float:
        """A number, `default` where there is none."""
        value = self.get(name)
        if value is None:
            return default
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise self.wrong(name, "a number")
        return value

    def maybe_number(self, name: str) -> float | None:
        """A number, or None where there is none."""
        return None if self.get(name) is None else self.number(name)

    def whole(self, name: str, default: int = 0) -> int:
        """A whole number, `default` where there is none."""
        value = self.number(name, default)
        if value != int(value):
            raise self.wrong(name, "a whole number")
        return int(value)

    def maybe_whole(self, name: str) -> int | None:
        """A whole number, or None where there is none."""
        return None if self.get(name) is None else self.whole(name)

    def flag(self, name: str, default: bool = False) -> bool:
        """True or false, `default` where there is neither."""
        value = self.get(name)
        if value is None:
            return default
        if not isinstance(value, bool):
            where = self.where or "the request"
            raise BadRequest(f"{where}.{name} is {value!r}, neither true nor false.", "Give true or false.")
        return value

    def maybe(self, name: str) -> Fields | None:
        """The object that stands there, or None where there is none."""
        value = self.get(name)
        return None if value is None else Fields.of(value, self.named(name))

    def inner(self, name: str) -> Fields:
        """The object that stands there, an empty one where there is none."""
        return self.maybe(name) or Fields({}, self.named(name))

    def rows(self, name: str, most: int, needed: bool = False) -> tuple[Fields, ...]:
        """The list of objects that stands there, an empty one where there is none and none is needed."""
        value = self.get(name)
        if value is None and not needed:
            return ()
        return tuple(Fields.of(row, f"{self.named(name)}[{at}]") for at, row in enumerate(as_list(value, self.named(name), most)))

    def wrong(self, name: str, wanted: str) -> BadRequest:
        """The error for a field that holds something else than was wanted."""
        return BadRequest(f"{self.named(name)} is {str(self.get(name))[:60]!r}, not {wanted}.", f"Give {self.named(name)} as {wanted}.")


def as_list(value: object, field: str, most: int) -> list[Any]:
    """The value if it is a list of at most so many. Raises BadRequest naming the field."""
    if not isinstance(value, list | tuple):
        raise BadRequest(f"{field} is {str(value)[:60]!r}, not a list.", "Hand in a JSON list.")
    if len(value) > most:
        raise BadRequest(f"{field} has {len(value)} entries; at most {most} can be planned.", "Split the order.")
    return list(value)
