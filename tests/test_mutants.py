"""The command that plants mistakes: what it draws, whom it asks, and how it counts."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "scripts"))

import mutants_sites  # noqa: E402
from mutants_kept import Kept, in_words  # noqa: E402
from mutants_planted import Outcome, Verdict  # noqa: E402
from mutants_reach import _moved  # noqa: E402
from mutants_sites import Site, numbered  # noqa: E402

PRICES = "def dearer(price):\n    return price + 1 if price > 1 else 0\n"


@pytest.fixture
def places(monkeypatch: pytest.MonkeyPatch) -> list[Site]:
    """Every place of one small file."""
    monkeypatch.setattr(mutants_sites, "source", lambda path: PRICES)
    return numbered(mutants_sites._sites("stock/prices.py"))


def test_two_places_that_read_the_same_are_told_apart(places: list[Site]) -> None:
    """Each is planted, kept and excused for itself."""
    assert len({site.key for site in places}) == len(places)
    ones = [site for site in places if site.instead == "2"]
    assert [site.key.endswith(" #2") for site in ones] == [False, True]
    assert {site.mutated().splitlines()[1] for site in ones} == {
        "    return price + 2 if price > 1 else 0",
        "    return price + 1 if price > 2 else 0",
    }


def test_what_was_kept_is_summed_up_and_the_last_line_counts(places: list[Site], tmp_path: Path) -> None:
    """A mistake that got by and was caught later is a caught one; what was not planted yet counts for nothing."""
    first, second, *_ = places
    file = tmp_path / "kept"
    kept = Kept(file)
    kept.add(first, Outcome(Verdict.SURVIVED))
    kept.add(second, Outcome(Verdict.SURVIVED))
    Kept(file).add(first, Outcome(Verdict.CAUGHT, "tests/a.py::test_b"))
    sums = Kept(file).sums(places)
    assert list(sums) == ["stock"]
    assert in_words(sums["stock"]) == "2 planted: 1 of 2 caught (50.0 %), 0 equivalent"


def test_what_is_listed_as_equivalent_does_not_count(places: list[Site], monkeypatch: pytest.MonkeyPatch) -> None:
    """Only where tests ran and let it by: one that no test reaches stays let by."""
    first, second, *_ = places
    monkeypatch.setattr("mutants_kept.equivalents", lambda: {first.key, second.key})
    kept = Kept(None)
    kept.add(first, Outcome(Verdict.SURVIVED))
    kept.add(second, Outcome(Verdict.UNREACHED))
    assert in_words(kept.sums(places)["stock"]) == "2 planted: 0 of 1 caught (0.0 %), 1 equivalent"


def test_a_line_that_moved_is_found_again() -> None:
    """A line that came anew is reached by whoever reaches the one before it."""
    assert _moved(["a", "b", "c"], ["new", "a", "new", "c"]) == [1, 1, 1, 3]
    assert _moved(["a", "b"], ["a", "new", "b"]) == [1, 1, 2]
