"""What a row has in a field of which nothing was ever said: the defaults of the house's own tables."""

from __future__ import annotations

from typing import Any

from honeyhold.records.models import Carton, Good, Line, Lot, Order, Parcel, Person, Standing

MODELS = {
    "person": Person, "good": Good, "carton": Carton, "lot": Lot, "standing": Standing, "order": Order, "line": Line, "parcel": Parcel,
}  # fmt: skip


def defaults_of(table: str) -> dict[str, Any]:
    """By field; nothing for a table that has none."""
    fields = MODELS[table]._meta.fields if table in MODELS else {}
    return {name: field.default() if callable(field.default) else field.default for name, field in fields.items()}
