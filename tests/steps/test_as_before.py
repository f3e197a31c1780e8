"""On the way to an answer every function gives what it gave (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json

import pytest
from tests.steps.as_before import FILE, heard, told, written
from tests.steps.stories import STORIES

import postgresql_server
from honeyhold.stock.units import weight_words

BEFORE: dict[str, dict[str, str]] = json.loads(FILE.read_text("utf-8"))


@pytest.mark.skipif(postgresql_server.chosen(), reason="the functions of the other store are others")
@pytest.mark.parametrize("story", sorted(STORIES))
def test_every_function_does_what_it_did(story: str) -> None:
    """What it gave each time, and what it left behind in what it was handed."""
    now, before = told(story), BEFORE[story]
    assert len(before) > 20
    assert {name: said for name, said in before.items() if now.get(name) != said} == {}


def test_what_a_function_gives_is_heard() -> None:
    """Another figure, another digest, and the same again where nothing changed."""
    said = []
    for mass_g in (454, 500, 454):
        with heard() as steps:
            weight_words(mass_g)
        said.append(steps.digests["stock/units.py weight_words"])
    assert said[0] == said[2] != said[1]


def test_what_is_written_of_a_value_is_the_same_every_time() -> None:
    """Figures to the ninth place, sets in order."""
    assert written([1, 0.1 + 0.2, {"a": (True, None)}, {"c", "b"}]) == "[ 1 0.3 'a' [ True None ] 'b', 'c' ]"
