"""Goal: what any function of the browser's code answers, refuses or writes down is what it was; method: all are called, see `as_before`."""

from __future__ import annotations

import json

import pytest

from every_call.as_before import ANSWERS, FIGURES, answers, figures_now, groups, kinds_kept, kinds_now

GROUPS = groups(kinds_kept())


@pytest.mark.parametrize("name", GROUPS)
def test_every_function_answers_as_before(name: str) -> None:
    kept = json.loads(ANSWERS.read_text("utf-8"))
    told = answers(GROUPS[name])
    assert told
    assert {called: kept.get(called) for called in told} == told


def test_every_function_is_called_with_what_it_takes() -> None:
    """A new one, and one that takes something else by now: their lines are to be written anew."""
    assert kinds_now() == kinds_kept()


def test_no_figure_is_another_by_mistake() -> None:
    """Nor is one gone, or there that nobody looked at: a time that nobody waits for here, a limit that none of these houses comes to."""
    now, kept = figures_now(), FIGURES.read_text("utf-8").splitlines()
    assert [line for line in kept if line not in now] == [] == [line for line in now if line not in kept]
    assert sorted(now) == sorted(kept)
