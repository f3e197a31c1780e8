"""On the way to an answer every function gives what it gave (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import pytest
from tests.steps.as_before import heard, kept, told
from tests.steps.bent import bent, bounds_of, put
from tests.steps.once_more import OnceMore
from tests.steps.stories import STORIES
from tests.steps.written import written

import postgresql_server
from honeyhold.stock import ledger
from honeyhold.stock.units import weight_words

BEFORE = kept()


@pytest.mark.skipif(postgresql_server.chosen(), reason="the functions of the other store are others")
@pytest.mark.parametrize("story", sorted(STORIES))
def test_every_function_does_what_it_did(story: str) -> None:
    """What it gave each time, what it left behind in what it was handed, and what it gives once more with one thing otherwise."""
    before = BEFORE[story]
    now = told(story, before["plan"])
    for what in ("gave", "once more"):
        assert len(before[what]) > 20
        assert {name: said for name, said in before[what].items() if now[what].get(name) != said} == {}


def test_what_a_function_gives_is_heard() -> None:
    """Another figure, another digest, and the same again where nothing changed."""
    said = []
    for mass_g in (454, 500, 454):
        with heard(OnceMore({})) as steps:
            weight_words(mass_g)
        said.append(steps.digests["stock/units.py weight_words"])
    assert said[0] == said[2] != said[1]


def test_what_is_asked_once_more_leaves_the_story_as_it_is() -> None:
    """The function answers its caller as ever, and what it would have given otherwise is in the digest."""
    once_more = OnceMore({"stock/units.py weight_words": [3]})
    with heard(once_more):
        words = weight_words(454)
    assert words == weight_words(454)
    assert [*once_more.digests] == ["stock/units.py weight_words"]


def test_a_figure_is_tried_at_each_bound_of_the_code_and_one_past_it() -> None:
    """The bounds are those that are written in the function."""
    assert 100 in bounds_of(ledger._dollars).figures
    asked = {instead for path, instead in bent((250,), bounds_of(ledger._dollars))}
    assert {99, 100, 101, 0, 249, 251} <= asked


def test_what_stands_instead_is_put_into_a_copy() -> None:
    """In a list, in a dictionary; what was given stays."""
    given = ([1, {"a": 2}],)
    assert put(given, (0, 1, "a"), 3) == ([1, {"a": 3}],)
    assert given == ([1, {"a": 2}],)


def test_what_is_written_of_a_value_is_the_same_every_time() -> None:
    """Figures to the ninth place, sets in order."""
    assert written([1, 0.1 + 0.2, {"a": (True, None)}, {"c", "b"}]) == "[ 1 0.3 'a' [ True None ] 'b', 'c' ]"
