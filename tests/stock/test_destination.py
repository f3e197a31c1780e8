"""Where an order goes: one table of cases, asked of the main computer and of the browser."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from goods.in_node import in_node
from honeyhold.stock.destination import copied, destination, same_address

CASES = json.loads((Path(__file__).parent / "destination_cases.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_both_sides_say_the_same(case: dict[str, Any]) -> None:
    order, person = case["order"], case["person"]
    assert destination(order, person) == case["goes"]
    asked = "[here.destinationOf(asked.order, asked.person), here.hasMoved(asked.order, asked.person)]"
    assert in_node("store/destination.js", asked, case) == [case["goes"], case["moved"]]


@pytest.mark.parametrize("person", [{"name": "Ann", "city": "Duluth", "zip": "55811"}, {"name": "Ann", "zip": "55811"}, {}, None])
def test_a_copy_is_whole_or_none(person: dict[str, Any] | None) -> None:
    here = copied(person)
    assert here == in_node("store/destination.js", "here.copiedFrom(asked)", person)
    assert bool(here) == bool(person and person.get("city"))
    if person and here:
        assert destination(here, person)["city"] == "Duluth"
        promised = {"order": {**here, "way": "post", "state": "promised"}, "person": person}
        assert not in_node("store/destination.js", "here.hasMoved(asked.order, asked.person)", promised)


ANN = {"name": "Ann Lind", "street": "4 Heron Sill Rd.", "unit": "", "city": "Duluth", "state": "MN", "zip": "55811"}


@pytest.mark.parametrize(
    ("other", "same"),
    [
        ({}, True), ({"street": "4  heron sill rd"}, True), ({"zip": "55811-1204"}, True), ({"city": "DULUTH,"}, True),
        ({"unit": "Apt 3"}, False), ({"name": "Bob Lind"}, False), ({"zip": "55812"}, False), ({"street": "9 Larch Rd"}, False),
    ],
)  # fmt: skip
def test_both_sides_know_one_door_by_one_rule(other: dict[str, str], same: bool) -> None:
    """What a device offers to put in one parcel the main computer does not refuse."""
    there = {**ANN, **other}
    told = in_node("store/destination.js", "here.sameAddress(asked[0], asked[1])", [ANN, there])
    assert same_address(ANN, there) == same_address(there, ANN) == told == same


def test_no_address_is_nobodys() -> None:
    nowhere = dict.fromkeys(ANN, "")
    assert not same_address(nowhere, nowhere) and in_node("store/destination.js", "here.sameAddress(asked, asked)", nowhere) is False
