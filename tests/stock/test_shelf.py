"""The shelf's sums, the lots that leave first, and whose promise is short."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.shelf import pick_lots

BALANCES = [
    {"lot": "W26-204-1", "made_on": "2026-07-23", "units": 93},
    {"lot": None, "units": 4},
    {"lot": "W26-170-1", "made_on": "2026-06-19", "units": 5},
    {"lot": "W26-197-1", "made_on": "2026-07-16", "units": 30},
    {"lot": "W26-100-1", "made_on": "2026-04-10", "units": -2},
]


def test_oldest_lot_leaves_first() -> None:
    """Order 4 of the demonstration season: five of W26-170-1 and five of W26-197-1."""
    assert pick_lots({"balances": BALANCES, "units": 10}) == {
        "picks": [{"lot": "W26-170-1", "units": 5}, {"lot": "W26-197-1", "units": 5}],
        "missing": 0,
    }
    everything = pick_lots({"balances": BALANCES, "units": 140})
    assert everything["picks"][-1] == {"lot": None, "units": 4}
    assert everything["missing"] == 8


@given(st.lists(st.integers(-5, 20), max_size=8), st.integers(0, 100))
def test_picks_add_up(units: list[int], wanted: int) -> None:
    balances = [{"lot": f"L{n}", "made_on": f"2026-01-{n + 1:02d}", "units": u} for n, u in enumerate(units)]
    answer = pick_lots({"balances": balances, "units": wanted})
    assert sum(pick["units"] for pick in answer["picks"]) + answer["missing"] == wanted
    assert all(pick["units"] > 0 for pick in answer["picks"])


@pytest.mark.parametrize(
    "wrong", [{"units": -1}, {"units": 2.5}, {"units": None}, {"balances": "none"}, {"balances": [3]}]
)
def test_bad_picks_name_the_field(wrong: dict[str, Any]) -> None:
    with pytest.raises(UnreadableField, match=next(iter(wrong))):
        pick_lots({"balances": BALANCES, "units": 1, **wrong})
