"""Every search, plan and picture of the bench says what it said before, in as many steps (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json

import pytest
from tests.packing.as_before import FILE, LINES

BEFORE: dict[str, dict[str, str]] = json.loads(FILE.read_text("utf-8"))


@pytest.mark.parametrize("name", LINES)
def test_the_same_orders_get_the_same_answers_for_the_same_effort(name: str) -> None:
    """A search that became better or quicker is no fault: look at what changed, then write the lines anew."""
    assert LINES[name]() == BEFORE[name]


def test_every_sort_of_answer_is_among_them() -> None:
    """Found, refused and not settled; orders that go in, never go in, and are left open; each reason why not."""
    for name in ("over all packings", "over pairs", "over places"):
        assert {said.split()[0] for said in BEFORE[name].values()} == {"found", "none", "not"}
    said = " ".join(line for name in BEFORE if name.startswith("whether") for line in BEFORE[name].values())
    assert all(f" {word} " in f" {said} " for word in ("fits", "never", "unknown", "alone", "volume", "bound", "part", "floor", "search"))
