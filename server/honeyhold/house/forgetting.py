"""A person forgotten on request: the row is emptied by an operation, and so are the entries that wrote it before."""

from __future__ import annotations

from typing import Any, Final

from honeyhold.records.models import LateEntry, Operation, Order, Parcel, PendingEntry, Standing
from honeyhold.records.people import all_same
from honeyhold.records.store import Records

FORGOTTEN: Final = {
    "name": "(forgotten)", "phone": "", "street": "", "unit": "", "city": "", "state": "", "zip": "", "note": "", "hidden": True,
}  # fmt: skip
ORDER_FORGOTTEN: Final = dict.fromkeys(
    ("note", "to_name", "to_street", "to_unit", "to_city", "to_state", "to_zip", "gift_note"), ""
)
STANDING_FORGOTTEN: Final = {**ORDER_FORGOTTEN, "hidden": True}
PARCEL_FORGOTTEN: Final = {"tracking": ""}
TEXTS: Final[dict[str, dict[str, Any]]] = {
    "person": FORGOTTEN, "order": ORDER_FORGOTTEN, "standing": STANDING_FORGOTTEN, "parcel": PARCEL_FORGOTTEN,
}  # fmt: skip


def emptied_rows(records: Records, person: str) -> list[dict[str, Any]]:
    """The rows that empty a person and all who are the same, the texts of their orders and standing orders, and their tracking numbers."""
    people = all_same(records, person)
    orders = [row["id"] for one in people for row in records.rows_of(Order, "person", one)]
    standing = [row["id"] for one in people for row in records.rows_of(Standing, "person", one)]
    tracked = [row["id"] for one in orders for row in records.rows_of(Parcel, "order", one) if row["tracking"]]
    return [
        *({"table": "person", "id": one, **FORGOTTEN} for one in people),
        *({"table": "order", "id": one, **ORDER_FORGOTTEN} for one in orders),
        *({"table": "standing", "id": one, **STANDING_FORGOTTEN} for one in standing),
        *({"table": "parcel", "id": one, **PARCEL_FORGOTTEN} for one in tracked),
    ]


def scrub(records: Records, ids: set[str]) -> None:
    """Empties the texts of these people and orders in every entry kept, landed or late; sums and hashes stay. Inside a write."""
    for model, names in ((Operation, ("body", "rows")), (LateEntry, ("body",)), (PendingEntry, ("body",))):
        keys = [field.column_name for field in model._meta.get_primary_keys()]
        this_one = " AND ".join(f"{key} = ?" for key in keys)
        for name in names:
            table = model._meta.table_name
            found = records.sql(f"SELECT {name}, {', '.join(keys)} FROM {table} WHERE {name} IS NOT NULL").fetchall()
            field = getattr(model, name)
            for text, *key in found:
                if any(one in text for one in ids):
                    emptied = field.db_value(_emptied(field.python_value(text), ids))
                    records.sql(f"UPDATE {table} SET {name} = ? WHERE {this_one}", emptied, *key)


def _emptied(value: Any, ids: set[str]) -> Any:
    rows = value.get("rows") if isinstance(value, dict) else value
    for row in rows if isinstance(rows, list) else ():
        if isinstance(row, dict) and row.get("id") in ids:
            texts = TEXTS.get(str(row.get("table")), {})
            row.update({name: text for name, text in texts.items() if name in row})
            row.get("was", {}).clear()
    return value
