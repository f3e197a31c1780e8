"""The kinds of value that a row may carry, as marshmallow fields. Nothing is coerced: a wrong type is an error."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import Any

from marshmallow import ValidationError, fields, validate

from honeyhold.operations.canonical import LARGEST_EXACT
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.pricing import read_steps

TEXT_MAX = 2000
UNITS_MAX = 1_000_000_000
MOVED_MAX = 10_000_000
"""Of one movement, reservation or line: ten tons in grams. Sums of these stay exact in every language."""
WISHES_MAX = 1000
WISH_UNITS_MAX = 100_000
ID_PATTERN = r"^[A-Za-z0-9][A-Za-z0-9._:-]{0,63}$"
UUID_PATTERN = r"^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$"
DAY_PATTERN = r"^\d{4}-\d{2}-\d{2}$"
PHONE_PATTERN = r"^(\+[1-9]\d{6,14})?$"
TIME_PATTERN = r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{1,6})?Z$"


class WholePattern(validate.Regexp):
    """The whole text fits the pattern; in Python a `$` alone lets a line break pass after it."""

    def __call__(self, value: Any) -> Any:
        if self.regex.fullmatch(value) is None:
            raise ValidationError(self._format_error(value))
        return value


def whole(least: int = -UNITS_MAX, most: int = UNITS_MAX, **rest: Any) -> fields.Integer:
    """A whole number between two bounds."""
    return fields.Integer(strict=True, validate=validate.Range(least, most), **rest)


def text(longest: int = TEXT_MAX, least: int = 0, **rest: Any) -> fields.String:
    """Text of bounded length."""
    return fields.String(validate=validate.Length(least, longest), **rest)


def one_of(*choices: str, **rest: Any) -> fields.String:
    """One of a few words."""
    return fields.String(validate=validate.OneOf(choices, error="Must be one of: {choices}; this is {input}."), **rest)


def identity(**rest: Any) -> fields.String:
    """An id: letters, figures, dots, dashes; a UUID or the code written on a lot."""
    return fields.String(validate=WholePattern(ID_PATTERN, error="Not an id: {input}."), **rest)


def uuid(**rest: Any) -> fields.String:
    """A UUID in lower case."""
    return fields.String(validate=WholePattern(UUID_PATTERN, error="Not a lower-case UUID: {input}."), **rest)


def phone(**rest: Any) -> fields.String:
    """A telephone number by ITU-T E.164 with its plus sign, or the empty text."""
    return fields.String(
        validate=WholePattern(PHONE_PATTERN, error="Not a number such as +17155550123: {input}."), **rest
    )


class YesNo(fields.Field[bool]):
    """`true` or `false`, nothing that merely looks like it."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError(f"Must be true or false; this is {value!r}.")
        return value


class Day(fields.Field[str]):
    """A day of the calendar as text, `2026-07-20`."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        try:
            if not isinstance(value, str) or not re.fullmatch(DAY_PATTERN, value):
                raise ValueError
            date.fromisoformat(value)
        except ValueError:
            raise ValidationError(f"Not a day such as 2026-07-20: {value!r}.") from None
        return value


class Moment(fields.Field[str]):
    """A moment in UTC as text, `2026-07-20T14:10:03Z`."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        try:
            if not isinstance(value, str) or not re.fullmatch(TIME_PATTERN, value):
                raise ValueError
            datetime.fromisoformat(value.replace("Z", "+00:00"))
        except ValueError:
            raise ValidationError(f"Not a moment such as 2026-07-20T14:10:03Z: {value!r}.") from None
        return value


class Steps(fields.Field[list[list[int]]]):
    """What so many cost together: pairs of units and cents, each number of units once, the least first."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> list[list[int]]:
        if not isinstance(value, list) or not _are_steps(value):
            raise ValidationError(f"Must be pairs of units and cents such as [[10, 2500]], the least first: {value!r:.80}.")
        if len({step[0] for step in value}) < len(value):
            raise ValidationError(f"The same number of units has two prices: {value!r:.80}.")
        return value


def _are_steps(value: list[Any]) -> bool:
    try:
        return read_steps({"steps": value}) == value
    except UnreadableField:
        return False


class Plain(fields.Field[Any]):
    """JSON without fractions: whole numbers, text, true, false, null, lists and dictionaries of these."""

    def __init__(self, only: type | None = None, entries_max: int = 2000, **rest: Any) -> None:
        super().__init__(**rest)
        self.only = only
        self.entries_max = entries_max

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        if self.only is not None and not isinstance(value, self.only):
            raise ValidationError(f"Must be a {'dictionary' if self.only is dict else 'list'}; this is {value!r:.60}.")
        if _count(value) > self.entries_max:
            raise ValidationError(f"Holds more than {self.entries_max} values.")
        return value


def _count(value: Any) -> int:
    if isinstance(value, dict):
        return 1 + sum(_count(item) for item in value.values())
    if isinstance(value, list):
        return 1 + sum(_count(item) for item in value)
    if isinstance(value, float) or (isinstance(value, int) and abs(value) > LARGEST_EXACT):
        raise ValidationError(f"Fractions are not kept: {value!r}.")
    return 1


class Wishes(fields.Field[dict[str, int]]):
    """`{good: units}` as a device would like it: a hint. What cannot be read in it is left out, and holds up no entry beside it."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> dict[str, int]:
        if not isinstance(value, dict):
            raise ValidationError(f"Must be units by good; this is a {type(value).__name__}.")
        pairs = list(value.items())[:WISHES_MAX]
        return {good: min(units, WISH_UNITS_MAX) for good, units in pairs if _is_wish(good, units)}


def _is_wish(good: Any, units: Any) -> bool:
    return isinstance(good, str) and re.fullmatch(ID_PATTERN, good) is not None and type(units) is int and units >= 0


def units_by_good(least: int = 0) -> fields.Dict:
    """`{good: units}`, whole and at least `least`."""
    return fields.Dict(keys=identity(), values=whole(least), validate=validate.Length(max=1000))
