"""The statements that every entry and every exchange needs, written once for each model and kept; the fields' own conversions with them.

Everything else is asked through Peewee, which writes its SQL anew each time: three quarters of the time an entry took to land.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, lru_cache
from typing import Any

from peewee import BooleanField, Field, Model

from honeyhold.records.models import PlainJSONField

Convert = Callable[[Any], Any]


@cache
def one_row(model: type[Model]) -> str:
    """All columns of one record, in the order of `as_record`."""
    columns = ", ".join(f'"{field.column_name}"' for field in _fields(model))
    return f'SELECT {columns} FROM "{model._meta.table_name}" WHERE "id" = ?'


@cache
def rows_of(model: type[Model], name: str) -> str:
    """All columns of the records whose field `name` has one value, in the order of `as_record`."""
    return rows_where(model, f'"{model._meta.fields[name].column_name}" = ?')


@cache
def all_rows(model: type[Model]) -> str:
    """All columns of every record by id, in the order of `as_record`."""
    return one_row(model).removesuffix(' WHERE "id" = ?') + ' ORDER BY "id"'


@cache
def rows_where(model: type[Model], condition: str) -> str:
    """All columns of the records that meet a condition, and whatever stands behind it, in the order of `as_record`."""
    return one_row(model).removesuffix('"id" = ?') + condition


@cache
def is_there(model: type[Model]) -> str:
    """One row if the record is there."""
    return f'SELECT 1 FROM "{model._meta.table_name}" WHERE "id" = ?'


def as_record(model: type[Model], found: tuple[Any, ...]) -> dict[str, Any]:
    """A row of `one_row` as a dictionary of Python values."""
    names, converts = _reading(model)
    record = dict(zip(names, found, strict=True))
    for name, convert in converts:
        record[name] = convert(record[name])
    return record


def insert(model: type[Model], values: dict[str, Any]) -> tuple[str, list[Any]]:
    """(statement, its values): a new record, with the model's defaults for what is not given."""
    text, names, defaults, converts = _writing(model, tuple(values))
    filled = [*values.values(), *(default() if callable(default) else default for default in defaults)]
    for place, convert in converts:
        filled[place] = convert(filled[place])
    assert len(filled) == len(names)
    return text, filled


def update(model: type[Model], values: dict[str, Any]) -> tuple[str, list[Any]]:
    """(statement, its values but for the id at the end): new values of some fields of one record."""
    text, converts = _changing(model, tuple(values))
    changed = list(values.values())
    for place, convert in converts:
        changed[place] = convert(changed[place])
    return text, changed


@cache
def _fields(model: type[Model]) -> tuple[Field, ...]:
    return tuple(model._meta.sorted_fields)


@cache
def _reading(model: type[Model]) -> tuple[tuple[str, ...], tuple[tuple[str, Convert], ...]]:
    fields = _fields(model)
    return tuple(field.name for field in fields), tuple((f.name, f.python_value) for f in fields if _converts(f))


@lru_cache(maxsize=2000)
def _writing(
    model: type[Model], given: tuple[str, ...]
) -> tuple[str, tuple[str, ...], tuple[Any, ...], tuple[tuple[int, Convert], ...]]:
    missing = [field for field in _fields(model) if field.name not in given and field.default is not None]
    fields = [*(model._meta.fields[name] for name in given), *missing]
    columns, marks = ", ".join(f'"{field.column_name}"' for field in fields), ", ".join("?" * len(fields))
    text = f'INSERT INTO "{model._meta.table_name}" ({columns}) VALUES ({marks})'
    converts = tuple((place, field.db_value) for place, field in enumerate(fields) if _converts(field))
    return text, tuple(field.name for field in fields), tuple(field.default for field in missing), converts


@lru_cache(maxsize=2000)
def _changing(model: type[Model], given: tuple[str, ...]) -> tuple[str, tuple[tuple[int, Convert], ...]]:
    fields = [model._meta.fields[name] for name in given]
    columns = ", ".join(f'"{field.column_name}" = ?' for field in fields)
    text = f'UPDATE "{model._meta.table_name}" SET {columns} WHERE "id" = ?'
    return text, tuple((place, field.db_value) for place, field in enumerate(fields) if _converts(field))


def _converts(field: Field) -> bool:
    """Text and whole numbers are in the file what they are here."""
    return isinstance(field, (BooleanField, PlainJSONField))
