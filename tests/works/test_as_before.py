"""Every work of the kernel answers as it did, whatever is asked of it (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json

import pytest
from tests.works.as_before import FILE, lines

from honeyhold.kernel import TABLE

BEFORE: dict[str, dict[str, str]] = json.loads(FILE.read_text("utf-8"))


@pytest.mark.parametrize("name", sorted(TABLE))
def test_the_same_question_has_the_same_answer(name: str) -> None:
    """And the same refusal, word for word."""
    assert lines(name) == BEFORE[name]


def test_most_questions_are_answered_and_two_changes_of_five_change_the_answer() -> None:
    """Else little would be held: a request that is refused for its first field says nothing of the others."""
    every = [said for name in BEFORE for said in BEFORE[name].values()]
    assert sum(" " not in said for said in every) > len(every) * 0.6
    assert sum(len(set(said.values())) for said in BEFORE.values()) > len(every) * 0.4
