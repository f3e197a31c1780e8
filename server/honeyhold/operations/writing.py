"""Rows into the records, and the running balances with them: the same few sums for every kind of operation."""

from __future__ import annotations

from typing import Any
from uuid import NAMESPACE_URL, UUID, uuid5

from honeyhold.operations.canonical import canonical_json
from honeyhold.operations.context import OPEN_STATES, OperationContext, require
from honeyhold.operations.errors import Refused
from honeyhold.operations.rows import LEDGERS, NEEDED_WHEN_NEW, POINTS_AT, TABLES
from honeyhold.operations.waiting_lines import places_in_queue
from honeyhold.records.models import ROWS, Balance, Line, Order


def write_rows(context: OperationContext) -> None:
    """Writes every row, pointed-at tables first, then lets each touched line hold no more than it may.

    Raises `Refused` when a row points at nothing, when a ledger's id is there already, or when `was` is not so.
    """
    for table in TABLES:
        rows = context.of(table)
        if table == "reservation":
            rows.sort(key=lambda row: row["units"] < 0)
        for row in rows:
            if table in LEDGERS:
                _add(context, table, row)
            else:
                _upsert(context, table, row)
    for line_id in list(context.lines_touched):
        settle_line(context, line_id)


def check_was(context: OperationContext) -> None:
    """What the writer believed before must still be so; otherwise both values are told."""
    for row in context.rows:
        for name, believed in row.get("was", {}).items():
            if name in ("table", "id"):
                continue
            known = context.records.row(ROWS[row["table"]], row["id"])
            now = known[name] if known else None
            require(
                now == believed,
                f"It was changed meanwhile: {name} was {believed!r} for you, is {now!r} now, and you wanted {row.get(name)!r}.",
                "Look at it as it is now and decide again.",
            )


def settle_line(context: OperationContext, line_id: str) -> None:
    """A closed order's line holds nothing, an open one's no more than is still to be handed over: the rest is freed.

    So letting go, handing over and amending free exactly what the line holds by now, whatever the device believed.
    """
    line = context.records.row(Line, line_id)
    assert line is not None
    order = context.records.row(Order, line["order"])
    assert order is not None
    is_open = order["state"] in OPEN_STATES
    missing = max(0, line["units"] - line["handed"]) if is_open else 0
    surplus = line["sure"] - min(line["sure"], missing)
    if surplus:
        row = {
            "table": "reservation", "id": str(uuid5(_namespace(context.id), f"freed {line_id}")), "order": line["order"],
            "line": line_id, "good": line["good"], "units": -surplus,
        }
        context.rows.append(row)
        _add(context, "reservation", row)
    sure = line["sure"] - surplus
    waits = max(0, missing - sure)
    if waits != line["waits"]:
        places = places_in_queue(line["queue"], waits - line["waits"], context.place, context.kind == "fill")
        context.records.sql("UPDATE line SET waits = ?, queue = ? WHERE id = ?", waits, canonical_json(places), line_id)


def _namespace(operation_id: str) -> UUID:
    try:
        return UUID(operation_id)
    except ValueError:
        return uuid5(NAMESPACE_URL, operation_id)


def _points(context: OperationContext, table: str, row: dict[str, Any]) -> None:
    for name, target in POINTS_AT.get(table, ()):
        value = row.get(name)
        if value is None or context.is_there(target, ROWS[target], value):
            continue
        if context.fact and target == "lot" and not context.may_wait:
            row[name] = None  # the bars left all the same; from which lot is not known any more
            continue
        raise Refused(
            f"The {table} row names the {target} {value!r}, which the main computer does not know.",
            f"Enter the {target} first, or choose another.",
        )


def _upsert(context: OperationContext, table: str, row: dict[str, Any]) -> None:
    model = ROWS[table]
    _points(context, table, row)
    closed_on = row.pop("closed_on", None)
    values = {key: value for key, value in row.items() if key not in ("table", "was")}
    if not context.records.there(model, row["id"]):
        for needed in NEEDED_WHEN_NEW[table]:
            require(needed in values, f"A new {table} needs {needed}.", f"Enter the {table} again with its {needed}.")
        if table in ("order", "line"):
            values["position"] = context.position
        context.records.add(model, values)
    elif len(values) > 1:
        context.records.change(model, row["id"], {key: value for key, value in values.items() if key != "id"})
    context.seen.add((table, row["id"]))
    if table == "line":
        context.lines_touched[row["id"]] = None
    elif table == "good":
        context.records.run(Balance.insert(good=row["id"]).on_conflict_ignore())
    elif table == "order":
        _order_written(context, row, closed_on if context.kind == "bring_in" else context.today)


def _order_written(context: OperationContext, row: dict[str, Any], day: str | None) -> None:
    if "state" not in row:
        return
    closed_on = None if row["state"] in OPEN_STATES else day
    row["closed_on"] = closed_on  # so that every device hears by which day the house goes
    context.records.sql('UPDATE "order" SET closed_on = ? WHERE id = ?', closed_on, row["id"])
    for (line_id,) in context.records.sql('SELECT id FROM line WHERE "order" = ?', row["id"]).fetchall():
        context.lines_touched[line_id] = None


def _add(context: OperationContext, table: str, row: dict[str, Any]) -> None:
    model = ROWS[table]
    _points(context, table, row)
    if context.records.there(model, row["id"]):
        raise Refused(f"The {table} row {row['id']} is there already.", "Nothing to do, or enter it again as a new entry.")
    if table == "reservation":
        row["units"] = _at_most_what_is_held(context, row)
    if table in ("reservation", "movement") and row["units"] == 0:
        if row in context.rows:
            context.rows.remove(row)
        return
    values = {key: value for key, value in row.items() if key not in ("table", "was")}
    context.records.add(model, {**values, "position": context.position})
    summed = {"movement": _moved, "reservation": _reserved, "payment": _paid, "adjustment": _adjusted}.get(table)
    if summed:
        summed(context, row)


def _at_most_what_is_held(context: OperationContext, row: dict[str, Any]) -> int:
    """Frees no more than the line still holds (it may have been freed meanwhile)."""
    line = context.records.row(Line, row["line"])
    assert line is not None
    return max(int(row["units"]), -int(line["sure"]))


def _moved(context: OperationContext, row: dict[str, Any]) -> None:
    good, units = row["good"], row["units"]
    context.goods_touched[good] = None
    sql = context.records.sql
    sql("UPDATE balance SET on_hand = on_hand + ? WHERE good = ?", units, good)
    sql(
        "INSERT INTO lot_balance (good, lot, units) VALUES (?, ?, ?) "
        "ON CONFLICT (good, lot) DO UPDATE SET units = lot_balance.units + excluded.units",
        good, row.get("lot") or "", units,
    )  # fmt: skip
    if row.get("line"):
        context.lines_touched[row["line"]] = None
        sql("UPDATE line SET handed = handed - ? WHERE id = ?", units, row["line"])


def _reserved(context: OperationContext, row: dict[str, Any]) -> None:
    context.goods_touched[row["good"]] = None
    context.lines_touched[row["line"]] = None
    context.records.sql("UPDATE balance SET promised = promised + ? WHERE good = ?", row["units"], row["good"])
    context.records.sql("UPDATE line SET sure = sure + ? WHERE id = ?", row["units"], row["line"])


def _paid(context: OperationContext, row: dict[str, Any]) -> None:
    context.records.sql('UPDATE "order" SET paid_cents = paid_cents + ? WHERE id = ?', row["cents"], row["order"])


def _adjusted(context: OperationContext, row: dict[str, Any]) -> None:
    context.records.sql('UPDATE "order" SET adjusted_cents = adjusted_cents + ? WHERE id = ?', row["cents"], row["order"])
