"""A person forgotten on request: the row is emptied by an operation, and so are the entries that wrote it before."""

from __future__ import annotations

from typing import Any, Final

from honeyhold.records.models import LateEntry, Operation, PendingEntry
from honeyhold.records.store import Records

FORGOTTEN: Final = {
    "name": "(forgotten)", "phone": "", "street": "", "unit": "", "city": "", "state": "", "zip": "", "note": "", "hidden": True,
}  # fmt: skip
ORDER_FORGOTTEN: Final = dict.fromkeys(
    ("note", "to_name", "to_street", "to_unit", "to_city", "to_state", "to_zip", "gift_note"), ""
)
TEXTS: Final[dict[str, dict[str, Any]]] = {"person": FORGOTTEN, "order": ORDER_FORGOTTEN}


def scrub(records: Records, ids: set[str]) -> None:
    """Empties the texts of these people and orders in every entry kept, landed or late; sums and hashes stay. Inside a write."""
    for model, names in ((Operation, ("body", "rows")), (LateEntry, ("body",)), (PendingEntry, ("body",))):
        for name in names:
            table = model._meta.table_name
            found = records.sql(f"SELECT rowid, {name} FROM {table} WHERE {name} IS NOT NULL").fetchall()
            field = getattr(model, name)
            for rowid, text in found:
                if any(one in text for one in ids):
                    emptied = field.db_value(_emptied(field.python_value(text), ids))
                    records.sql(f"UPDATE {table} SET {name} = ? WHERE rowid = ?", emptied, rowid)


def _emptied(value: Any, ids: set[str]) -> Any:
    rows = value.get("rows") if isinstance(value, dict) else value
    for row in rows if isinstance(rows, list) else ():
        if isinstance(row, dict) and row.get("id") in ids:
            texts = TEXTS.get(str(row.get("table")), {})
            row.update({name: text for name, text in texts.items() if name in row})
            row.get("was", {}).clear()
    return value
