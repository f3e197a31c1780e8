"""What a row holds where an entry said nothing: entries of before lack the later fields, and are read for ever by what stands here."""

from __future__ import annotations

import inspect
from pathlib import Path

import pytest
from peewee import Field, Model

from honeyhold.records import models
from replication.houses import small_house

KEPT = Path(__file__).with_name("fields.txt")
HEAD = "# Every field and what it holds where nobody said. Where a change is meant, what tests/records/test_fields.py shows comes in here."
MODELS = [
    model for _, model in inspect.getmembers(models, inspect.isclass)
    if issubclass(model, Model) and model.__module__ == models.__name__ and model is not models.Row
]  # fmt: skip


def lines_of() -> list[str]:
    """A line a field."""
    return sorted(f"{model._meta.table_name}.{field.column_name} {_held(field)}" for model in MODELS for field in model._meta.sorted_fields)


def _held(field: Field) -> str:
    default = field.default() if callable(field.default) else field.default
    otherwise = "must be said" if default is None else f"else {default!r}"
    return ("its key" if field.primary_key else "may be nothing" if field.null else otherwise) + f" ({type(field).__name__})"


def test_what_was_left_out_is_taken_as_it_was() -> None:
    """Another default would read old entries otherwise than they were meant."""
    now, kept = lines_of(), KEPT.read_text("utf-8").splitlines()[1:]
    assert len(kept) > 150
    assert [line for line in kept if line not in now] == [] == [line for line in now if line not in kept]


@pytest.mark.of_a_file
@pytest.mark.parametrize("model", MODELS, ids=lambda model: model._meta.table_name)
def test_the_tables_allow_nothing_where_the_fields_do(model: type[Model], tmp_path: Path) -> None:
    """The migrations made the tables, and the fields are written beside them: both say the same of what may be missing."""
    house = small_house(tmp_path)
    with house.records.read():
        columns = house.records.sql(f'PRAGMA table_info("{model._meta.table_name}")').fetchall()
    house.close()
    keys = {name for _, name, _, _, _, key in columns if key}
    fields = {field.column_name: field.null for field in model._meta.sorted_fields}
    assert {name: not must for _, name, _, must, _, _ in columns if name in fields and name not in keys} == {
        name: null for name, null in fields.items() if name not in keys
    }
