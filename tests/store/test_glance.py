"""What is known of a caller at a glance, from the orders that a device carries."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node

Json = dict[str, Any]
VIEW = """{
  goods: new Map(Object.entries(asked.goods)), ordersOf: () => asked.orders, owed: (id) => asked.owed[id] ?? 0,
  linesOf: (id) => asked.lines.filter((line) => line.order === id), waiting: (id) => asked.waiting[id] ?? 0 }"""
GOODS = {"bar": {"sold": True, "hidden": False}, "jar": {"sold": True, "hidden": False}, "old": {"sold": False, "hidden": False}}


def glance(orders: list[tuple[str, str, Json]], owed: dict[str, int] | None = None, waiting: dict[str, int] | None = None) -> Json:
    """Orders as (id, state, units by good), the latest first."""
    lines = [{"id": f"{id}-{good}", "order": id, "good": good, "units": units} for id, _, goods in orders for good, units in goods.items()]
    made = [{"id": id, "state": state, "free_for": "heat" if id.startswith("free") else ""} for id, state, _ in orders]
    asked = {"goods": GOODS, "orders": made, "lines": lines, "owed": owed or {}, "waiting": waiting or {}}
    told: Json = in_node("store/glance.js", f"here.glanceOf({VIEW}, 'ann')", asked)
    return told


def test_nobody_has_anything_yet() -> None:
    nothing: Json = {"open": [], "waiting": [], "owed_cents": 0, "back_cents": 0, "last": None, "usual": None}
    assert glance([]) == nothing


def test_open_orders_what_waits_and_money_both_ways() -> None:
    told = glance(
        [("o2", "promised", {"bar": 15}), ("o1", "packed", {"jar": 1}), ("g1", "gone", {"bar": 5}), ("c1", "let_go", {"bar": 5})],
        {"o2": 3750, "g1": 1250, "c1": -500, "o1": -200}, {"o2-bar": 5},
    )  # fmt: skip
    assert [one["id"] for one in told["open"]] == ["o2", "o1"] and told["waiting"] == [{"good": "bar", "units": 5}]
    assert (told["owed_cents"], told["back_cents"], told["last"]["id"]) == (1250, 500, "g1")


@pytest.mark.parametrize(("orders", "usual"), [
    ([{"bar": 5}, {"bar": 10, "jar": 1}, {"jar": 1, "bar": 10}], {"bar": 10, "jar": 1}),
    ([{"bar": 5}, {"bar": 10}], {"bar": 5}),
    ([{"old": 5}, {"bar": 10}], {"bar": 10}),
    ([{"old": 5}], None),
])  # fmt: skip
def test_the_usual_is_what_they_took_most_often_of_what_is_still_sold(orders: list[Json], usual: Json | None) -> None:
    told = glance([(f"g{n}", "gone", goods) for n, goods in enumerate(orders)])["usual"]
    assert (told and {one["good"]: one["units"] for one in told}) == usual


def test_what_was_sent_again_is_no_habit() -> None:
    told = glance([("free1", "gone", {"bar": 5}), ("free2", "gone", {"bar": 5}), ("g1", "gone", {"jar": 1})])
    assert told["usual"] == [{"good": "jar", "units": 1}] and told["last"]["id"] == "g1"
