"""On the way to an answer every function gives what it gave (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.steps.as_before import FILE, Steps, heard, told, written
from tests.steps.stories import STORIES

import postgresql_server

BEFORE: dict[str, dict[str, str]] = json.loads(FILE.read_text("utf-8"))


@pytest.mark.skipif(postgresql_server.chosen(), reason="the functions of the other store are others")
@pytest.mark.parametrize("story", sorted(STORIES))
def test_every_function_does_what_it_did(story: str) -> None:
    """Those that are new are to be written down, too."""
    now, before = told(story), BEFORE[story]
    assert len(before) > 20
    assert {name: said for name, said in before.items() if now.get(name) != said} == {}


def test_what_a_function_gives_and_leaves_behind_is_heard() -> None:
    """Another figure, another digest."""
    with heard() as steps:
        pass
    assert isinstance(steps, Steps) and Path(FILE).exists()
    assert written([1, 0.1 + 0.2, {"a": (True, None)}]) == "[ 1 0.3 a' [ True None ] ]".replace("a'", "'a'")
