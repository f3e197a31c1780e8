"""The schemas once more, as plain conditions: a yes is as good as marshmallow's, a no is asked of marshmallow again, for its words.

Made from the very schemas, so that no rule stands anywhere twice; what this cannot make into a condition is never a yes.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

from marshmallow import Schema, ValidationError, fields, validate

from honeyhold.operations.fields import Day, Moment, Plain, Steps, WholePattern, YesNo

Condition = Callable[[Any], bool]


class FastShape:
    """One schema of flat values."""

    def __init__(self, schema: Schema) -> None:
        self._order = tuple(schema.fields)
        self._conditions = {name: condition_of(field) for name, field in schema.fields.items()}
        self._required = tuple(name for name, field in schema.fields.items() if field.required and not schema.partial)
        self._others_may_be = schema.unknown == "exclude"

    def fits(self, given: Any) -> bool:
        """Whether marshmallow would take it as it is."""
        if type(given) is not dict:
            return False
        conditions = self._conditions
        for name, value in given.items():
            condition = conditions.get(name)
            if condition is None:
                if self._others_may_be:
                    continue
                return False
            if not condition(value):
                return False
        return all(name in given for name in self._required)

    def in_order(self, given: dict[str, Any]) -> dict[str, Any]:
        """The values in the schema's order of fields, as marshmallow gives them."""
        return {name: given[name] for name in self._order if name in given}


def condition_of(field: fields.Field[Any]) -> Condition:
    """One field as a condition."""
    rules = [_rule(one) for one in field.validators]
    inner = _value_condition(field)
    if inner is None or None in rules:
        return _never
    checks: list[Condition] = [inner, *(rule for rule in rules if rule is not None)]
    if field.allow_none:
        return lambda value: value is None or all(check(value) for check in checks)
    if len(checks) == 2:
        first, second = checks
        return lambda value: first(value) and second(value)
    return lambda value: all(check(value) for check in checks)


def _never(_value: Any) -> bool:
    return False


def _value_condition(field: fields.Field[Any]) -> Condition | None:
    if isinstance(field, (Day, Moment)):
        return _text_of(field)
    if isinstance(field, (Plain, Steps)):
        return lambda value: value is not None and _takes(field, value)
    if type(field) is fields.String:
        return lambda value: type(value) is str
    if type(field) is fields.Integer and field.strict:
        return lambda value: type(value) is int
    if isinstance(field, YesNo):
        return lambda value: type(value) is bool
    if type(field) is fields.List:
        each = condition_of(field.inner)
        return lambda value: type(value) is list and all(each(item) for item in value)
    if type(field) is fields.Dict:
        return _dictionary(field)
    return None


def _text_of(field: fields.Field[Any]) -> Condition:
    """Days and moments come again and again: what was found right is remembered."""
    known = lru_cache(maxsize=5000)(lambda value: _takes(field, value))
    return lambda value: type(value) is str and known(value)


def _takes(field: fields.Field[Any], value: Any) -> bool:
    try:
        return bool(field._deserialize(value, None, None) is value)
    except ValidationError:
        return False


def _dictionary(field: fields.Dict) -> Condition:
    key = condition_of(field.key_field) if field.key_field else lambda _value: True
    item = condition_of(field.value_field) if field.value_field else lambda _value: True
    return lambda value: type(value) is dict and all(key(name) and item(one) for name, one in value.items())


def _rule(rule: Any) -> Condition | None:
    if type(rule) is validate.Length:
        if rule.equal is not None:
            return lambda value: len(value) == rule.equal
        least, most = rule.min or 0, float("inf") if rule.max is None else rule.max
        return lambda value: least <= len(value) <= most
    if type(rule) is validate.Range and rule.min_inclusive and rule.max_inclusive and None not in (rule.min, rule.max):
        low, high = rule.min, rule.max
        return lambda value: bool(low <= value <= high)
    if type(rule) is WholePattern:
        match = rule.regex.fullmatch
        return lambda value: match(value) is not None
    if type(rule) is validate.OneOf:
        choices = frozenset(rule.choices)
        return lambda value: value in choices
    return None
