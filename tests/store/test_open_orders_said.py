"""What is said on several screens alike of an open order, and what is offered for one: its day, more of it, a price."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node

TODAY = "2026-07-24"


@pytest.mark.parametrize(("way", "day", "said"), [
    ("pick_up", "2026-07-23", ", was to be picked up yesterday"), ("pick_up", TODAY, ", to be picked up today"),
    ("pick_up", "2026-07-27", ", to be picked up Monday"), ("post", "2026-07-27", ", leaves Monday"), ("post", TODAY, ", leaves today"),
    ("post", "2026-07-20", ", was to leave Mon Jul 20"), ("post", None, ""),
])  # fmt: skip
def test_an_open_order_is_never_told_as_if_it_had_left(way: str, day: str | None, said: str) -> None:
    assert in_node("parts/words.js", "here.leavesSaid(asked, '2026-07-24')", {"way": way, "leave_on": day}) == said


@pytest.mark.parametrize(("good", "own_cents", "cents"), [
    ("bar", 300, [250, 300, 350, 450]), ("bar", 325, [250, 325, 400, 500]), ("bar_1oz", 0, [250, 300, 350, 450]),
    ("bar_1oz", 1000, [800, 1000, 1200, 1500]), ("my own", 0, [800, 1000, 1200, 1500]), ("bar", 20, [20, 50]),
])  # fmt: skip
def test_prices_to_touch_lie_around_its_own(good: str, own_cents: int, cents: list[Any]) -> None:
    asked = [good, own_cents]
    assert in_node("rooms/settings/first/price-examples.js", "here.pricesAround(...asked)", asked) == cents
