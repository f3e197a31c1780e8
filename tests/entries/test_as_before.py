"""Every kind of entry becomes what it became, and is refused as it was (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress

import pytest

import postgresql_server
from entries.acts import ACTS, PARTS
from entries.as_before import FILE, lines
from entries.house import LivedIn, lived_in
from honeyhold.operations.kinds import KINDS

BEFORE: dict[str, dict[str, str]] = json.loads(FILE.read_text("utf-8"))
ONE_IN, ONE_IN_AT_LAST = (7, 7) if postgresql_server.chosen() else (4, 1)
"""Of so many questions one is asked every day, and of so many before a release: undoing what was asked takes PostgreSQL ten times as
long as a file in memory."""
OF_THE_HOUSE = {name for name, kind in KINDS.items() if kind.who == "house"}


@pytest.fixture(scope="module", name="lived_in")
def one_for_all() -> Iterator[LivedIn]:
    with lived_in() as house:
        yield house


@pytest.mark.parametrize("part", PARTS)
def test_the_same_entry_comes_to_the_same(part: str, lived_in: LivedIn) -> None:
    """The answer, and every row that it changed."""
    _ask(part, lived_in, ONE_IN)


@pytest.mark.parametrize("part", PARTS)
def test_the_same_entry_comes_to_the_same_in_all_its_variants(part: str, lived_in: LivedIn) -> None:
    """All of the questions of which a part is asked every day."""
    _ask(part, lived_in, ONE_IN_AT_LAST)


def _ask(part: str, lived_in: LivedIn, one_in: int) -> None:
    found = lines(lived_in, part, one_in)
    assert found == {name: BEFORE[part][name] for name in found}
    assert len(found) >= len(BEFORE[part]) // one_in


def test_every_kind_is_asked_about(lived_in: LivedIn) -> None:
    """And what is asked differs: a question whose answer is another's would hold nothing."""
    written: set[str] = set()
    for acts in ACTS.values():
        for act in acts.values():
            hand, _ = lived_in.hands()
            began = len(hand.log)
            with suppress(ValueError, LookupError):  # what this client will not write of that order
                act(hand, lived_in.named)
            written |= {entry["kind"] for entry in hand.log[began:]}
    assert written >= KINDS.keys() - OF_THE_HOUSE
    every = [said for name in BEFORE for said in BEFORE[name].values()]
    assert len(set(every)) > len(every) * 0.9
