"""Where an order goes: one table of cases, asked of the main computer and of the browser."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from goods.in_node import in_node
from honeyhold.stock.destination import copied, destination, moved

CASES = json.loads((Path(__file__).parent / "destination_cases.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_both_sides_say_the_same(case: dict[str, Any]) -> None:
    order, person = case["order"], case["person"]
    assert (destination(order, person), moved(order, person)) == (case["goes"], case["moved"])
    asked = "[here.destinationOf(asked.order, asked.person), here.hasMoved(asked.order, asked.person)]"
    told = in_node("store/destination.js", asked, case)
    assert told == [case["goes"], case["moved"]]


@pytest.mark.parametrize("person", [{"name": "Ann", "city": "Duluth", "zip": "55811"}, {"name": "Ann", "zip": "55811"}, {}, None])
def test_a_copy_is_whole_or_none(person: dict[str, Any] | None) -> None:
    here = copied(person)
    assert here == in_node("store/destination.js", "here.copiedFrom(asked)", person)
    assert bool(here) == bool(person and person.get("city"))
    if person and here:
        assert destination(here, person)["city"] == "Duluth" and not moved({**here, "way": "post", "state": "promised"}, person)
