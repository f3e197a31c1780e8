"""Every list of people becomes what it became (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json

import pytest

from importing.as_before import ALL, FILE, lines_of

BEFORE: dict[str, dict[str, str]] = json.loads(FILE.read_text("utf-8"))


@pytest.mark.parametrize("name", ALL)
def test_the_same_list_becomes_the_same(name: str) -> None:
    """Whatever is otherwise in it, and however it was saved."""
    assert lines_of(name) == BEFORE[name]


def test_what_is_otherwise_makes_a_difference() -> None:
    every = [said for name in ALL for said in BEFORE[name].values()]
    assert len(set(every)) > len(every) * 0.6
