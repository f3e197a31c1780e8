"""A year in sums, read from the records: what left and came in by month, what was put right; and the same at the door."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from api.conftest import bearing
from honeyhold.api.app import make_app
from honeyhold.queries.year import year_sums
from replication.busy_house import Clock, landed, open_house, writer_of

Json = dict[str, Any]


@pytest.fixture
def lived(tmp_path: Path) -> Any:
    """A house in which eight orders left over four months, and the rows of their entries."""
    clock = Clock()
    house = open_house(tmp_path / "house", clock)
    writer = writer_of(house, "Shed phone", 1)
    rows: list[Json] = []
    for number in range(8):
        entry = writer.promise(writer.person(), clock.now)
        gone = writer.hand_over(entry, clock.now)
        rows += [*entry["rows"], *gone["rows"]]
        landed(house, writer)
        clock.now += timedelta(days=15)
        assert number < 8
    yield house, writer, rows
    house.close()


def test_every_piece_order_and_cent_stands_in_its_month(lived: Any) -> None:
    house, _, rows = lived
    moved = [row for row in rows if row["table"] == "movement" and row["reason"] == "gone"]
    year = int(moved[0]["on"][:4])
    sums = year_sums(house.records, year)
    for good in {row["good"] for row in moved}:
        (told,) = [one for one in sums["goods"] if one["good"] == good]
        theirs = [row for row in moved if row["good"] == good]
        months = [-sum(row["units"] for row in theirs if row["on"][:7] == f"{year}-{month:02d}") for month in range(1, 13)]
        assert told == {"good": good, "units": sum(months), "months": months}
    paid = [row for row in rows if row["table"] == "payment"]
    for place, month in enumerate(sums["months"], 1):
        cents = sum(row["cents"] for row in paid if row["on"][:7] == f"{year}-{place:02d}")
        left = {row["id"] for row in rows if row["table"] == "order" and (row.get("gone_on") or "")[:7] == f"{year}-{place:02d}"}
        assert month["income_cents"] == cents
        assert month["mailed"] + month["picked_up"] == len(left)
    assert sum(month["mailed"] + month["picked_up"] for month in sums["months"]) > 0


def test_what_was_put_right_counts_by_its_reason(lived: Any) -> None:
    house, writer, rows = lived
    orders = [row for row in rows if row["table"] == "order" and row.get("taken_on")]
    order, on = orders[0]["id"], orders[0]["taken_on"]
    taken = {"table": "adjustment", "id": writer.new_id(), "order": order, "cents": -200, "why": "heat", "on": on, "note": ""}
    writer.write("adjust", [taken])
    landed(house, writer)
    house.records.sql("""UPDATE "order" SET free_for = 'breakage' WHERE id = ?""", orders[1]["id"])
    sums = year_sums(house.records, int(orders[0]["taken_on"][:4]))
    assert sums["taken_off"] == [{"why": "heat", "cents": 200}]
    assert sums["replaced"] == [{"why": "breakage", "count": 1}]


def test_another_year_is_empty_and_nonsense_is_none(lived: Any) -> None:
    house, writer, _ = lived
    assert year_sums(house.records, 1999) == {
        "year": 1999, "goods": [], "months": [{"mailed": 0, "picked_up": 0, "income_cents": 0}] * 12, "replaced": [], "taken_off": [],
    }  # fmt: skip
    client = make_app(house).test_client()
    assert client.get("/api/years/1999", headers=bearing(writer.identity)).get_json()["year"] == 1999
    for year in ("next", "20260", "0999"):
        assert client.get(f"/api/years/{year}", headers=bearing(writer.identity)).status_code == 400
    assert client.get("/api/years/1999").status_code == 401
