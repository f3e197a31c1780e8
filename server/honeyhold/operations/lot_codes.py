"""Two lots that were given the same code on two devices: both land, the later one under a code of its own.

An app of today writes its device's mark into every code it makes, so only apps of before come here. The label is written already and
stays: the lot's note says what it reads. What that device wrote before it could hear of it means its own lot by that code.
"""

from __future__ import annotations

from typing import Any

from honeyhold.operations.context import OperationContext
from honeyhold.records.models import Device, Lot, LotRenamed
from honeyhold.records.store import Records


def told_apart(context: OperationContext) -> None:
    """Gives each new lot of the entry whose code is on another lot already a code of its own, everywhere in the entry."""
    renamed = {row["id"]: _free(context, row["id"]) for row in context.of("lot") if context.records.there(Lot, row["id"])}
    if not renamed:
        return
    for row in context.of("lot"):
        if row["id"] in renamed:
            row["note"] = " ".join(filter(None, (row.get("note"), f"Its label says {row['id']}, as another lot's does.")))[:2000]
    _rename(context.rows, renamed)
    for code, lot in renamed.items():
        context.records.run(LotRenamed.insert(device=context.device, code=code, lot=lot, position=context.position))


def as_meant(records: Records, device: str, heard: int, rows: list[dict[str, Any]]) -> None:
    """Puts a renamed lot's own code in the place of the one that its device knows, in what it wrote before it heard."""
    found = records.sql("SELECT code, lot FROM lot_renamed WHERE device = ? AND position > ?", device, heard).fetchall()
    if found:
        _rename(rows, dict(found))


def _free(context: OperationContext, code: str) -> str:
    device = context.records.row(Device, context.device)
    mark = device["mark"] if device else "0"
    run = 1
    while context.records.there(Lot, f"{code}-{mark}{run}"):
        run += 1
    return f"{code}-{mark}{run}"


def _rename(rows: list[dict[str, Any]], renamed: dict[str, str]) -> None:
    for row in rows:
        if row["table"] == "lot":
            row["id"] = renamed.get(row["id"], row["id"])
            if "sources" in row:
                row["sources"] = [renamed.get(source, source) for source in row["sources"]]
        elif row.get("lot") in renamed:
            row["lot"] = renamed[row["lot"]]
