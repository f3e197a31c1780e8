"""What a device writes to undo an entry of its own: the inverse rows, all in one entry. The browser's store/undo.js does the same."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from demo_seed.client.defaults import defaults_of

if TYPE_CHECKING:
    from demo_seed.client.device import DeviceClient

Json = dict[str, Any]

NOTED = ("weigh", "track", "arrive", "note_person", "note_lot", "note_standing", "join_people", "set_good", "set_house")
ORDER_THEN = {"promise": "let_go", "let_go": "promised", "sell": "let_go", "pack": "promised", "hand_over": "packed"}


def inverse_rows(hand: DeviceClient, operation: Json, before: dict[str, Json]) -> tuple[list[Json], dict[str, int]]:
    """`(rows, spent)`; `before` holds by id the rows as they stood before an entry that changed fields."""
    kind, given = operation["kind"], operation["rows"]
    rows: list[Json] = [{"table": "undoing", "id": operation["id"]}]
    if kind in ORDER_THEN:
        order = next(row["id"] for row in given if row["table"] == "order")
        rows.append({"table": "order", "id": order, "state": before.get(order, {}).get("state", ORDER_THEN[kind])})
        if kind == "hand_over":
            rows[-1]["gone_on"] = None
            rows += [{**row, "id": hand.new_id(), "units": -row["units"]} for row in given if row["table"] == "reservation"]
    spent: dict[str, int] = {}
    if kind == "promise":
        rows += [hand.reserve(line, -hand.sure(line["id"])) for line in hand.view.lines_of(order) if hand.sure(line["id"])]
    elif kind == "let_go":
        rows += _again(hand, order, spent)
    elif kind == "pack":
        rows += [{"table": "parcel", "id": row["id"], "packed_on": None} for row in given if row["table"] == "parcel"]
    elif kind == "amend":
        rows += _amended_back(hand, given, before, spent)
    elif kind in NOTED:
        rows += [_set_back(row, before.get(row["id"])) for row in given]
    rows += [_opposite(hand, row) for row in given if row["table"] in ("movement", "payment", "adjustment", "till", "lost_sale")]
    return rows, spent


def _again(hand: DeviceClient, order: str, spent: dict[str, int]) -> list[Json]:
    """The order's lines, reserved once more as far as the share goes."""
    rows = []
    for line in hand.view.lines_of(order):
        missing = line["units"] - hand.sure(line["id"]) - hand.view.handed[line["id"]]
        units = min(missing, hand.share(line["good"]) - spent.get(line["good"], 0))
        if units > 0:
            rows.append(hand.reserve(line, units))
            spent[line["good"]] = spent.get(line["good"], 0) + units
    return rows


def _amended_back(hand: DeviceClient, given: list[Json], before: dict[str, Json], spent: dict[str, int]) -> list[Json]:
    rows = [_set_back(row, before.get(row["id"], {})) for row in given if row["table"] == "order"]
    for row in given:
        if row["table"] == "line":
            line = hand.view.rows["line"][row["id"]]
            units = before.get(row["id"], {}).get("units", 0)
            rows += hand.line_becomes(line["order"], line, line["good"], units, spent)
    return rows


def _set_back(row: Json, before: Json | None) -> Json:
    names = [name for name in row if name not in ("table", "id", "was")]
    named = {"table": row["table"], "id": row["id"]}
    if before is None and row["table"] != "setting":
        return {**named, "hidden": True}  # it was new
    stood = {**defaults_of(row["table"]), **(before or {})}
    return {**named, **{name: stood.get(name) for name in names}, "was": {name: row[name] for name in names}}


def _opposite(hand: DeviceClient, row: Json) -> Json:
    if row["table"] == "payment":
        opposite = {**row, "id": hand.new_id(), "cents": -row["cents"], "note": "undone"}
        return {name: value for name, value in opposite.items() if name not in ("given_cents", "corrects")}
    if row["table"] == "adjustment":
        return {**row, "id": hand.new_id(), "cents": -row["cents"], "note": "undone"}
    if row["table"] == "till":
        return {**row, "id": hand.new_id(), "note": "undone", "undoes": row["id"]}
    if row["table"] == "lost_sale":
        return {**row, "id": hand.new_id(), "undoes": row["id"]}
    return {**row, "id": hand.new_id(), "units": -row["units"], "undoes": row["id"]}
