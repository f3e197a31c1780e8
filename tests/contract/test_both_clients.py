"""Goal: what the storm, the demo and the tests play is what a phone does; method: the same act on both clients writes the same rows."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from contract.both_clients import Stage, cases, in_python, in_the_browser, plain

CASES = cases()


@pytest.fixture(scope="module")
def stage() -> Iterator[Stage]:
    """One Node process for all cases."""
    made = Stage()
    yield made
    made.player.close()


@pytest.mark.parametrize("name", CASES)
def test_the_client_in_python_writes_it(name: str) -> None:
    assert plain(in_python(CASES[name]), CASES[name]) == CASES[name]["writes"]


@pytest.mark.parametrize("name", CASES)
def test_the_browsers_store_writes_it(name: str, stage: Stage) -> None:
    assert plain(in_the_browser(stage, name, CASES[name]), CASES[name]) == CASES[name]["writes"]
