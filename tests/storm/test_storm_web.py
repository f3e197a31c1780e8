"""Goal: the browser's own store keeps the same guarantee as the client that the storm is played with otherwise; method: the same runs."""

from __future__ import annotations

import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

from quick_disk import QUICK_DISK
from storm.line import FAULTS
from storm.planted import PLANTED
from storm.planted_web import WEB_PLANTED
from storm.player import ROOT
from storm.runs import WEB, Setting, play, run_seed
from storm.script import Step
from storm.web_acts import FIRED_BY_WEB, WEB_ACTS

SEEDS, STEPS = 2, 25
"""A few short runs; the long ones are `scripts/storm --client web`."""


def _story(*names: str) -> list[Step]:
    return [Step(name, seed) for seed, name in enumerate(names)]


CAUGHT: dict[str, tuple[list[Step], str]] = {
    "acknowledged before it is stored": (_story(*["dies before"] * 6), "durable"),
    "an undo written twice": (_story("ask for share", *["undo by two windows"] * 6), "windows"),
    "what the house says of the share believed, though it is older": (
        _story("ask for share", "ask for share", "exchange", *["act while it speaks"] * 14), "counters",
    ),
    "rows laid twice": (_story("ask for share", "exchange", "exchange", "exchange", "pour"), "memory"),
    "a restored house not noticed": (
        _story("exchange", "back up", "pour", "exchange", "buy", "exchange", "exchange", "restore", "exchange"), "nothing_lost",
    ),
}  # fmt: skip
"""Short stories, and who catches the mistake in each; all of them, in long runs: `scripts/storm --client web --planted`."""


@pytest.fixture
def quick_folder() -> Iterator[Path]:
    """A folder in memory where there is one."""
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        yield Path(folder)


def test_the_guarantee_holds_with_the_browsers_store(quick_folder: Path) -> None:
    fired = Counter[str]()
    for seed in range(SEEDS):
        run = run_seed(seed, STEPS, quick_folder / str(seed), "web")
        assert run["violation"] is None, f"scripts/storm --client web --seed {seed} --steps {STEPS}: {run['violation']}"
        assert run["landed"] > 5
        fired.update(run["fired"])
    assert len(set(fired) & set(FAULTS)) >= 4, fired


def test_a_seed_repeats_its_run_exactly(quick_folder: Path) -> None:
    first, again = (run_seed(5, 12, quick_folder / name, "web") for name in ("first", "again"))
    assert first == again and first["landed"] > 1


@pytest.mark.parametrize("name", CAUGHT)
def test_a_mistake_in_the_store_is_caught(name: str, quick_folder: Path) -> None:
    steps, by = CAUGHT[name]
    assert play(0, steps, quick_folder, Setting("web", mistakes=(WEB_PLANTED[name],)))["by"] == by


def test_the_same_holds_without_the_mistake(quick_folder: Path) -> None:
    steps = [step for steps, _ in CAUGHT.values() for step in steps]
    assert play(0, steps, quick_folder, WEB)["violation"] is None


@pytest.mark.parametrize("name", WEB_PLANTED)
def test_each_mistake_finds_its_place(name: str) -> None:
    mistake = WEB_PLANTED[name]
    assert (ROOT / "web" / mistake["file"]).read_text(encoding="utf-8").count(mistake["was"]) == 1


def test_a_mistake_in_the_house_is_caught(quick_folder: Path) -> None:
    steps = [Step("ask for share", 1), Step("mistake", 2), Step("exchange", 3)]
    assert play(0, steps, quick_folder / "wrong", Setting("web", PLANTED["a refusal kept back"]))["by"] == "at_rest"
    assert play(0, steps, quick_folder / "right", WEB)["by"] is None


def test_what_only_the_store_can_be_asked_happens(quick_folder: Path) -> None:
    steps = [Step("copy", 5), *(Step("exchange", seed) for seed in range(4)), *(Step(name, seed) for name in WEB_ACTS for seed in range(3))]
    run = play(1, steps, quick_folder, WEB)
    assert run["violation"] is None
    assert {fault for fault in FIRED_BY_WEB if not run["fired"].get(fault)} == set()
