"""People who are one: whoever asks for one of them gets the one whom they all are, however they were joined."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node

JOINED = {"ann": None, "anne": "ann", "annie": "anne", "ben": None, "lost": "gone", "one": "other", "other": "one"}
"""Each person and whom it was joined to: twice over, to somebody who is not here, and two joined to each other on two devices at once."""


def people(expression: str, *given: Any) -> Any:
    rows = "new Map(Object.entries(asked.joined).map(([id, same_as]) => [id, { id, same_as }]))"
    return in_node("store/joined.js", f"((people) => {expression})(new here.People({rows}))", {"joined": JOINED, "given": given})


def test_each_leads_to_whom_they_all_are() -> None:
    told = people("Object.keys(asked.joined).map((id) => people.get(id)?.id)")
    assert told[:5] == ["ann", "ann", "ann", "ben", "lost"] and set(told[5:]) <= {"one", "other"}
    assert people("[people.get('nobody') === undefined, people.get('lost').same_as, people.size, [...people.values()].length]") == [
        True, None, 7, 7,
    ]  # fmt: skip


@pytest.mark.parametrize(("one", "other", "same"), [
    ("ann", "annie", True), ("anne", "annie", True), ("ben", "ben", True), ("ann", "ben", False), (None, None, True), ("ann", None, False),
    (None, "ann", False), ("nobody", "nowhere", False), ("nobody", "nobody", True),
])  # fmt: skip
def test_whether_two_are_one(one: str | None, other: str | None, same: bool) -> None:
    assert people("people.same(...asked.given)", one, other) is same


@pytest.mark.parametrize(("who", "others"), [("ann", ["anne", "annie"]), ("ben", []), ("anne", []), ("nobody", [])])
def test_the_others_who_were_joined(who: str, others: list[str]) -> None:
    assert people("people.joinedTo(asked.given[0]).map(({ id }) => id)", who) == others
