"""How rows stand one after the other."""

from __future__ import annotations

import random

from goods.in_node import in_node

OLDEST_FIRST = [
    {"lot": "W26-203-12", "made_on": "2026-07-22"},
    {"lot": "W26-204-2", "made_on": "2026-07-23"},
    {"lot": "W26-204-9", "made_on": "2026-07-23"},
    {"lot": "W26-204-10", "made_on": "2026-07-23"},
    {"lot": None, "made_on": None},
]


def test_the_tenth_lot_of_a_day_is_used_up_after_the_ninth_and_what_is_of_no_lot_last() -> None:
    lying = [random.Random(seed).sample(OLDEST_FIRST, len(OLDEST_FIRST)) for seed in range(20)]
    assert in_node("store/sorting.js", "asked.map((rows) => rows.sort(here.oldestFirst))", lying) == [OLDEST_FIRST] * 20
