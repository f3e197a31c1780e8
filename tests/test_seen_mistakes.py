"""The list of mistakes once let by still points at what stands in the code: one that no longer does would be planted nowhere."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "scripts"))

from mutants_seen import seen_mistakes  # noqa: E402


def test_each_mistake_changes_one_place_and_names_tests_that_are_there() -> None:
    """`mutated` raises where the text stands not exactly once."""
    listed = seen_mistakes()
    assert len(listed) >= 20
    for seen in listed:
        assert seen.mutated() != (ROOT / seen.path).read_text("utf-8"), seen.title
        assert seen.by and all((ROOT / test).exists() for test in seen.by), seen.title
