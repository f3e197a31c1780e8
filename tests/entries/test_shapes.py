"""Every field takes what it took and refuses what it refused, word for word (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import partial

import pytest

from entries import shapes
from entries.as_before import SHAPES
from honeyhold.operations.rows import TABLES

BEFORE: dict[str, dict[str, str]] = json.loads(SHAPES.read_text("utf-8"))
TRIED: dict[str, Callable[[], dict[str, str]]] = {
    **{f"fields of {table}": partial(shapes.fields, table) for table in TABLES},
    "doors": shapes.doors, "settings": shapes.settings, "texts": shapes.texts, "kinds": shapes.kinds,
}  # fmt: skip


@pytest.mark.parametrize("what", TRIED)
def test_the_same_is_taken_and_the_same_refused(what: str) -> None:
    assert TRIED[what]() == BEFORE[what]


def test_fields_differ() -> None:
    """In what they take: else the values that are tried would not tell one from another."""
    every = [said for what in BEFORE for said in BEFORE[what].values()]
    assert len(set(every)) > len(every) * 0.8
