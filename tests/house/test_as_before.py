"""Whatever happened to a house's folder comes to what it came to, told in the same words (`as_before.py` tells how to renew that)."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from house.as_before import COMMANDS, FILE, begun, lines
from quick_disk import QUICK_DISK

BEFORE: dict[str, dict[str, str]] = json.loads(FILE.read_text("utf-8"))

PARTS = 5
"""Each command is asked in so many goes."""


@pytest.fixture(scope="module")
def folder() -> Iterator[Path]:
    """One folder; each question has a copy of its own."""
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as place:
        yield begun(Path(place))


@pytest.mark.of_a_file
@pytest.mark.parametrize("part", range(PARTS))
@pytest.mark.parametrize("name", COMMANDS)
def test_the_same_is_told_and_the_same_lies_there(name: str, part: int, folder: Path) -> None:
    """Whatever is damaged, missing or more."""
    assert lines(folder, name, part, PARTS) == dict(list(BEFORE[name].items())[part::PARTS])


def test_what_is_done_to_a_folder_makes_a_difference() -> None:
    every = [said for name in COMMANDS for said in BEFORE[name].values()]
    assert len(set(every)) > len(every) * 0.5
