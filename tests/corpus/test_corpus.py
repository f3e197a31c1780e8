"""Every entry that ever shipped still lands as it did: the kept stories, replayed into fresh records."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from corpus.replay import replayed, result, stories
from honeyhold.house.house import House
from honeyhold.operations.canonical import entry_hash
from honeyhold.operations.kinds import KINDS
from honeyhold.operations.upgrade import newest

STORIES = stories()


def test_every_kind_in_every_version_has_a_sample_that_landed() -> None:
    kept = {
        (operation["kind"], operation["version"])
        for story in STORIES.values() for operation in story["operations"] if operation["id"] in story["result"]["landed"]
    }  # fmt: skip
    wanted = {(kind, version) for kind in KINDS for version in range(1, newest(kind) + 1)}
    assert wanted - kept == set(), "keep a sample: tests/corpus/README.md says how"


@pytest.mark.parametrize("name", STORIES)
def test_the_chains_are_whole(name: str) -> None:
    last: dict[str, tuple[int, str]] = {}
    for operation in STORIES[name]["operations"]:
        seq, before = last.get(operation["device"], (0, ""))
        assert (operation["seq"], operation["before"]) == (seq + 1, before) and operation["hash"] == entry_hash(operation)
        last[operation["device"]] = (operation["seq"], operation["hash"])
    assert last


@pytest.mark.parametrize("name", STORIES)
def test_a_story_lands_as_it_did(name: str, tmp_path: Path) -> None:
    house = House.open(tmp_path / "data")
    replayed(house, STORIES[name])
    _compare(STORIES[name]["result"], result(house))
    assert house.check() == []
    before = result(house)
    again = replayed(house, STORIES[name])
    assert result(house) == before and all(answer.expects is None for answer in again.values())
    house.close()


def _compare(kept: dict[str, Any], now: dict[str, Any]) -> None:
    for name in ("landed", "on_hand_and_promised", "sure_handed_waiting"):
        assert now[name] == kept[name], name
    assert now["refused"].keys() == kept["refused"].keys()
    for table, rows in kept["rows"].items():
        assert now["rows"][table].keys() == rows.keys(), table
        for row_id, values in rows.items():
            assert {name: now["rows"][table][row_id].get(name, "gone") for name in values} == values, (table, row_id)
