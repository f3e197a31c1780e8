"""Lots traced both ways, on the demonstration season and on a book of 20,000 orders."""

from __future__ import annotations

import time
from typing import Any

import pytest

from honeyhold.stock.errors import LotLoop, UnreadableField
from honeyhold.stock.lots import trace

LOTS = [
    {"id": "H26-181-A", "good": "honey", "made_on": "2026-06-30", "sources": []},
    {"id": "K26-181", "good": "cappings", "made_on": "2026-06-30", "sources": ["H26-181-A"]},
    {"id": "J26-183-1", "good": "jar", "made_on": "2026-07-02", "sources": ["H26-181-A"]},
    {"id": "W26-170-1", "good": "bar", "made_on": "2026-06-19", "sources": []},
    {"id": "W26-197-1", "good": "bar", "made_on": "2026-07-16", "sources": ["K26-181"]},
    {"id": "W26-204-1", "good": "bar", "made_on": "2026-07-23", "sources": ["K26-181", "W26-197-1"]},
]
PEOPLE = [
    {"id": "p1", "name": "Pell Quarrington", "phone": "+17155550177"},
    {"id": "p2", "name": "Hollis Ambrey", "phone": "+12075550131"},
    {"id": "p3", "name": "Wren Ostrava", "phone": ""},
]
ORDERS = [
    {"id": "o4", "number": "A-4", "person": "p1"},
    {"id": "o3", "number": "B-3", "person": "p2"},
    {"id": "o6", "number": "A-6", "person": "p3"},
    {"id": "o9", "number": "A-9", "person": None},
]


def movement(
    lot: str | None, units: int, reason: str, order: str | None = None, good: str = "bar"
) -> dict[str, Any]:
    return {"good": good, "lot": lot, "units": units, "reason": reason, "order": order, "on": "2026-07-25"}


MOVEMENTS = [
    movement("W26-197-1", 30, "poured"),
    movement("W26-170-1", -5, "gone", "o4"),
    movement("W26-197-1", -5, "gone", "o4"),
    movement("W26-197-1", -5, "gone", "o3"),
    movement("W26-197-1", -10, "gone", "o6"),
    movement("W26-197-1", -2, "sold", "o9"),
    movement("W26-197-1", -1, "specked"),
    movement("J26-183-1", -2, "gone", "o3", "jar"),
    movement(None, -3, "gone", "o6"),
]
BOOK = {"lots": LOTS, "movements": MOVEMENTS, "orders": ORDERS, "people": PEOPLE}


def test_who_has_a_lot() -> None:
    answer = trace({**BOOK, "lot": "W26-197-1"})
    assert [(row["name"], row["units"]) for row in answer["who_has"]] == [
        ("Hollis Ambrey", 5),
        ("Pell Quarrington", 5),
        ("Wren Ostrava", 10),
    ]
    assert [row["units"] for row in answer["not_named"]] == [2]
    assert [row["lot"] for row in answer["made_from"]] == ["K26-181", "H26-181-A"]
    assert [row["lot"] for row in answer["went_into"]] == ["W26-204-1"]
    assert answer["on_the_shelf"] == [{"lot": "W26-197-1", "good": "bar", "units": 7}]
    assert answer["words"] == (
        "W26-197-1: Hollis Ambrey (5, 207-555-0131), Pell Quarrington (5, 715-555-0177) and Wren Ostrava "
        "(10). 2 went to people without a name. 7 still on the shelf."
    )


@pytest.mark.parametrize(("reason", "units", "told"), [
    ("specked", -1, []), ("lost", -2, []), ("packed", -1, []), ("gift", -3, [3]), ("sold", -4, [4]),
])  # fmt: skip
def test_what_was_spoiled_or_lost_went_to_nobody(reason: str, units: int, told: list[int]) -> None:
    """A present without a name did go to somebody."""
    answer = trace({**BOOK, "movements": [movement("W26-197-1", units, reason)], "lot": "W26-197-1"})
    assert [row["units"] for row in answer["not_named"]] == told and answer["who_has"] == []


def test_a_yard_reaches_everybody_downstream() -> None:
    answer = trace({**BOOK, "lot": "H26-181-A"})
    assert [row["units"] for row in answer["who_has"]] == [7, 5, 10]  # Hollis has jars as well


def test_what_is_in_an_order() -> None:
    answer = trace({**BOOK, "order": "o3"})
    assert [row["lot"] for row in answer["lots"]] == ["J26-183-1", "W26-197-1"]
    assert [row["lot"] for row in answer["made_from"]] == ["H26-181-A", "K26-181"]
    assert trace({**BOOK, "order": "o-none"})["words"] == "No lot was written down for this order."


def test_bars_that_came_back_are_not_theirs_any_more() -> None:
    back = [*MOVEMENTS, movement("W26-197-1", 10, "gone", "o6")]
    assert "Wren Ostrava" not in [
        row["name"] for row in trace({**BOOK, "movements": back, "lot": "W26-197-1"})["who_has"]
    ]


def test_more_of_a_lot_made_of_some_of_it_is_traced_to_where_that_came_from() -> None:
    """Specked bars are melted again and keep their code."""
    again = [*LOTS, {"id": "W26-204-1", "good": "bar", "sources": ["K26-181", "W26-204-1"]}]
    before = [*LOTS, {"id": "W26-204-1", "good": "bar", "sources": ["K26-181"]}]
    assert trace({**BOOK, "lots": again, "lot": "W26-204-1"}) == trace({**BOOK, "lots": before, "lot": "W26-204-1"})


def test_a_loop_of_lots_is_refused_by_name() -> None:
    looped = [*LOTS, {"id": "H26-181-A", "good": "honey", "sources": ["W26-204-1"]}]
    with pytest.raises(LotLoop, match="W26-197-1 from K26-181 from H26-181-A from W26-204-1"):
        trace({**BOOK, "lots": looped, "lot": "W26-204-1"})


def test_unknown_lot_is_refused() -> None:
    with pytest.raises(UnreadableField, match="W99-001-1"):
        trace({**BOOK, "lot": "W99-001-1"})


def test_twenty_thousand_orders_are_traced_at_once() -> None:
    lots = [{"id": f"L{n}", "good": "bar", "sources": [f"L{n - 1}"] if n % 50 else []} for n in range(1000)]
    orders = [{"id": f"o{n}", "number": f"A-{n}", "person": f"p{n % 4000}"} for n in range(20_000)]
    people = [{"id": f"p{n}", "name": f"Person {n:04d}", "phone": "+17155550100"} for n in range(4000)]
    moves = [movement(f"L{n % 1000}", -5, "gone", f"o{n}") for n in range(20_000)]
    start = time.process_time()
    answer = trace({"lot": "L500", "lots": lots, "orders": orders, "people": people, "movements": moves})
    assert time.process_time() - start < 3  # this process's own work, whatever else the machine does
    assert (
        sum(row["units"] for row in answer["who_has"]) == 50 * 20 * 5
    )  # fifty lots in its chain, twenty orders each
