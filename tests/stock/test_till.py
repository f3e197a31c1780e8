"""The till closes to the cent: one table of cases for both sides, and days drawn at random that must add up whatever comes late."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from goods.in_node import in_node
from honeyhold.stock.till import till_of

CASES = json.loads((Path(__file__).parent / "till_cases.json").read_text(encoding="utf-8"))
DAYS = [f"2026-07-{day}" for day in range(10, 16)]
SAID = ("carried_cents", "opening_cents", "taken_cents", "came", "expected_cents", "counted_cents", "difference_cents", "note")

cents = st.integers(-20_000, 20_000)
money = st.lists(
    st.fixed_dictionaries({
        "on": st.sampled_from(DAYS), "how": st.sampled_from(("cash", "check", "transfer", "other")), "cents": cents,
    }), max_size=12
)  # fmt: skip
entries = st.lists(
    st.fixed_dictionaries({
        "on": st.sampled_from(DAYS), "what": st.sampled_from(("opening", "taken", "counted")), "cents": st.integers(0, 50_000),
        "at": st.sampled_from(("2026-07-01T08:00:00Z", "2026-07-20T18:00:00Z")), "undone": st.booleans(),
    }), max_size=10
)  # fmt: skip


def written(drawn: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Entries with ids, and those that undo some of them."""
    made: list[dict[str, Any]] = []
    for number, row in enumerate(drawn):
        entry = {**row, "id": f"e{number}", "note": ""}
        undone = entry.pop("undone")
        made += [entry, *([{**entry, "id": f"u{number}", "undoes": entry["id"]}] if undone else [])]
    return made


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_both_sides_say_the_same(case: dict[str, Any]) -> None:
    expected = {name: case[name] for name in SAID}
    assert till_of(case["day"], case["money"], case["entries"]) == expected
    assert in_node("store/till.js", "here.tillOf(asked.day, asked.money, asked.entries)", case) == expected


@pytest.mark.parametrize(("clock", "moment"), [
    ("2026-07-10T18:00:05.300Z", "2026-07-10T18:00:07Z"),
    ("2026-07-10T18:00:06.900Z", "2026-07-10T18:00:07Z"),
    ("2026-07-10T17:00:00.000Z", "2026-07-10T18:00:07Z"),
    ("2026-07-10T18:00:07.000Z", "2026-07-10T18:00:07Z"),
    ("2026-07-10T23:00:00.000Z", "2026-07-10T23:00:00Z"),
])  # fmt: skip
def test_who_counts_again_counts_later(clock: str, moment: str) -> None:
    """The second count is the day's, within the same second and by a clock that is behind."""
    known = [{"at": "2026-07-10T18:00:04Z"}, {"at": "2026-07-10T18:00:06Z"}]
    assert in_node("store/till.js", "here.momentAfter(asked.known, new Date(asked.clock))", {"known": known, "clock": clock}) == moment
    assert in_node("store/till.js", "here.momentAfter([], new Date(asked.clock))", {"clock": clock}) == f"{clock[:19]}Z"


@given(money, entries)
def test_every_cent_is_somewhere(came: list[dict[str, Any]], drawn: list[dict[str, Any]]) -> None:
    """Each day begins where the one before it ended, and in the end there lies what came, less what was taken, and every difference."""
    rows = written(drawn)
    days = [till_of(day, came, rows) for day in DAYS]
    lies = 0
    for told in days:
        assert told["carried_cents"] == lies
        assert told["expected_cents"] == lies + told["opening_cents"] - told["taken_cents"] + told["came"]["cash"]
        counted = told["counted_cents"]
        lies = told["expected_cents"] if counted is None else counted
        assert told["difference_cents"] == (None if counted is None else counted - told["expected_cents"])
    cash = sum(row["cents"] for row in came if row["how"] == "cash")
    moved = sum(told["opening_cents"] - told["taken_cents"] for told in days)
    assert lies == cash + moved + sum(told["difference_cents"] or 0 for told in days)


@given(money, entries, st.randoms(use_true_random=False))
def test_no_order_of_arrival_changes_a_day(came: list[dict[str, Any]], drawn: list[dict[str, Any]], chance: Any) -> None:
    rows = written(drawn)
    before = [till_of(day, came, rows) for day in DAYS]
    chance.shuffle(rows)
    chance.shuffle(came)
    assert [till_of(day, came, rows) for day in DAYS] == before
