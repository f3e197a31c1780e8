"""The house that the screens show is one that the main computer would have: its rows pass the schemas, and tell one story."""

from __future__ import annotations

import pytest
from marshmallow import ValidationError

from honeyhold.operations.rows import NEEDED_WHEN_NEW, POINTS_AT, TABLES
from screens.keys import KEYS
from screens.rows import BEGUN_LATELY, BELOW_ZERO, LOG, ROWS, Json

WRITTEN = [row for entry in LOG for row in entry["operation"]["rows"]]


OF_ANOTHER = KEYS["another-way"]["kept"]["rows"]


@pytest.mark.parametrize(
    "rows", [[*ROWS, *BELOW_ZERO], BEGUN_LATELY, OF_ANOTHER], ids=["the house", "the one begun lately", "the one that goes another way"]
)
def test_every_row_passes_its_schema_and_points_at_what_is_there(rows: list[Json]) -> None:
    there = {(row["table"], row["id"]) for row in rows}
    assert len(there) == len(rows), "Two rows have one id."
    wrong = []
    for row in [*rows, *WRITTEN]:
        table, name = row["table"], f"{row['table']} {row['id']}"
        try:
            TABLES[table]().load(row)
        except ValidationError as refused:
            wrong.append(f"{name}: {refused.messages}")
        if row not in WRITTEN:
            wrong += [f"{name} has no {field}" for field in NEEDED_WHEN_NEW.get(table, ()) if field not in row]
        pointed = [(other, row[field]) for field, other in POINTS_AT.get(table, ()) if row.get(field)]
        wrong += [f"{name}: there is no {other} {id}" for other, id in pointed if (other, id) not in there]
    assert not wrong, "\n".join(wrong)


def test_a_forecast_is_of_a_place_that_is_looked_up() -> None:
    """By the first three figures of a ZIP, on this device as on the main computer."""
    assert {len(row["id"]) for row in ROWS if row["table"] == "forecast"} == {3}


def test_nothing_leaves_before_it_is_taken_nor_otherwise_than_its_order_says() -> None:
    orders = {row["id"]: row for row in ROWS if row["table"] == "order"}
    parcels = [row for row in ROWS if row["table"] == "parcel"]
    wrong = [id for id, order in orders.items() if (order.get("gone_on") or order["taken_on"]) < order["taken_on"]]
    for parcel in parcels:
        order = orders[parcel["order"]]
        days = [order["taken_on"], parcel["packed_on"], order.get("gone_on"), parcel.get("arrived_on")]
        told = [day for day in days if day]
        if told != sorted(told) or parcel["dressing"] != order.get("dressing", "plain"):
            wrong.append(parcel["id"])
    assert parcels
    assert not wrong
