"""Goal: under every fault the house keeps its guarantee. Method: seeded runs; each planted mistake must be caught."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from storm.line import FAULTS
from storm.planted import PLANTED
from storm.runs import first_catch, run_seed

SEEDS = 8
STEPS = 60


@pytest.fixture
def quick_folder() -> Iterator[Path]:
    """A folder in memory where there is one: a promise still waits for its disk, but that disk is quick."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as folder:
        yield Path(folder)


def test_the_guarantee_holds_and_every_fault_has_fired(quick_folder: Path) -> None:
    fired: dict[str, int] = {}
    for seed in range(SEEDS):
        run = run_seed(seed, STEPS, quick_folder / str(seed))
        assert run["violation"] is None, f"scripts/storm --seed {seed} --steps {STEPS}: {run['violation']}"
        for fault, times in run["fired"].items():
            fired[fault] = fired.get(fault, 0) + times
    assert {fault for fault in FAULTS if not fired.get(fault)} == set()


def test_a_seed_repeats_its_run(quick_folder: Path) -> None:
    first, again = (run_seed(3, 40, quick_folder / name) for name in ("first", "again"))
    assert first == again and first["landed"] > 10


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_mistake_is_caught(name: str, quick_folder: Path) -> None:
    caught = first_catch(name, quick_folder, seeds=30, steps=STEPS)
    assert caught is not None, f"nothing noticed: {name}"
