"""Carries a kept story into fresh records, entry by entry, as the house of today reads it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from honeyhold.house.house import House
from honeyhold.operations.apply import Answer, Who, take
from honeyhold.operations.context import HOUSE
from honeyhold.records.models import ROWS, DeviceState, Operation
from honeyhold.replication import devices

Json = dict[str, Any]
FOLDER = Path(__file__).parent
VALUES_LEFT_OUT = ("table", "id")


def stories() -> dict[str, Json]:
    """Every kept story by name."""
    return {file.stem: json.loads(file.read_text("utf-8")) for file in sorted(FOLDER.glob("*.json"))}


def replayed(house: House, story: Json) -> dict[str, Answer]:
    """Reads every entry of a story in its order; the answers by id."""
    roles = {HOUSE: "keeper"}
    answers: dict[str, Answer] = {}
    for operation in story["operations"]:
        author = operation["device"]
        with house.records.write():
            who = Who(author, roles[author], operation["made_at"], operation["made_at"][:10])
            answers[operation["id"]] = take(house.records, who, operation)
            for row in operation["rows"]:
                if row["table"] != "device" or row["id"] in roles:
                    continue
                roles[row["id"]] = row["role"]
                if not house.records.has(DeviceState, DeviceState.id == row["id"]):
                    devices.add_state(house.records, row["id"], devices.hashed(devices.new_token()), house.epoch)
    return answers


def result(house: House) -> Json:
    """What stands in the records: answers, sums, and every value by table and id."""
    with house.records.read():
        told = house.records.dicts(Operation.select(Operation.id, Operation.position, Operation.why))
        sql = "SELECT good, on_hand, promised FROM balance ORDER BY good"
        sums = {good: [on_hand, promised] for good, on_hand, promised in house.records.database.execute_sql(sql).fetchall()}
        rows = {table: house.records.shared_rows(table, model) for table, model in ROWS.items()}
        lines = house.records.database.execute_sql("SELECT id, sure, handed, waits FROM line ORDER BY id").fetchall()
    return {
        "landed": {row["id"]: row["position"] for row in told if row["position"]},
        "refused": {row["id"]: row["why"] for row in told if row["why"]},
        "on_hand_and_promised": sums,
        "sure_handed_waiting": {line: list(sums) for line, *sums in lines},
        "rows": {
            table: {row["id"]: {name: value for name, value in row.items() if name not in VALUES_LEFT_OUT} for row in found}
            for table, found in rows.items()
        },
    }
