"""What was noted at the bench stays as long as the order's leaving can be undone."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node

TODAY = "2027-07-26"


@pytest.mark.parametrize(("order", "over"), [
    ({"state": "gone", "gone_on": TODAY}, False),
    ({"state": "gone", "gone_on": "2027-07-25"}, True),
    ({"state": "gone", "gone_on": None}, True),
    ({"state": "let_go", "gone_on": None}, True),
    ({"state": "packed", "gone_on": None}, False),
    (None, False),
])  # fmt: skip
def test_a_note_is_over_the_day_after_its_order_left(order: dict[str, Any] | None, over: bool) -> None:
    assert in_node("parts/bench-notes.js", "here.isOver(asked[0] ?? undefined, asked[1])", [order, TODAY]) is over
