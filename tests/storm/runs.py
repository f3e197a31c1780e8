"""Runs seeds, plain or with a planted mistake, and tells what was seen."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from quick_disk import QUICK_DISK
from storm.acts import ACTS
from storm.checkers import Violation
from storm.line import FAULTS
from storm.planted import NEEDED, NEEDED_OTHERWISE, OF_THE_PYTHON_CLIENT, PLANTED
from storm.planted_web import WEB_NEEDED, WEB_PLANTED, Mistake
from storm.script import Step, script
from storm.shrink import shrink
from storm.troubles import FIRED_BY_TROUBLES, RARE, USUAL
from storm.web_acts import WEB_ACTS
from storm.world import World

EVERY_ACT = {**{name: act for name, (act, _) in {**ACTS, **USUAL, **WEB_ACTS}.items()}, **RARE}
EVERY_FAULT = (*FAULTS, "mirror lost", *FIRED_BY_TROUBLES)
Planting = Callable[[], AbstractContextManager[Any]]


@dataclass(frozen=True)
class Setting:
    """Whose devices a run has, and which mistakes: `mistakes` are put into the browser's store, `planted` into the house."""

    client: str = "python"
    planted: Planting = nullcontext
    mistakes: tuple[Mistake, ...] = ()


PYTHON, WEB = Setting(), Setting("web")


def play(seed: int, steps: list[Step], folder: Path, setting: Setting = PYTHON) -> dict[str, Any]:
    """One run: `{"seed", "violation", "by", "fired", "happened", "landed", "refused"}`; the violation in words, or None.

    `by` is the checker that saw it, or the name of the error with which the house stopped itself.
    """
    world = World(seed, folder, mistakes=list(setting.mistakes) if setting.client == "web" else None)
    violation = by = None
    try:
        with setting.planted():
            world.play(steps, EVERY_ACT)
    except Violation as seen:
        violation, by = str(seen), seen.checker
    except Exception as seen:  # the house's own assertions stop it: that is a violation too
        violation, by = f"{type(seen).__name__}: {seen}", f"the house ({type(seen).__name__})"
    try:
        with world.house.records.read():
            sums = world.house.records.database.execute_sql("SELECT COUNT(position), COUNT(*) - COUNT(position) FROM operation")
            landed, refused = sums.fetchone()
    finally:
        world.close()
    return {
        "seed": seed, "violation": violation, "by": by, "fired": dict(sorted(world.fired.items())),
        "happened": dict(sorted(world.happened.items())), "landed": landed, "refused": refused or 0,
    }  # fmt: skip


def run_seed(seed: int, steps: int, folder: Path, client: str = "python") -> dict[str, Any]:
    """The run of a seed, see `play`."""
    return play(seed, script(seed, steps, client=client), folder, Setting(client))


def mistakes_for(client: str) -> list[str]:
    """Names of the mistakes that can be put in where such devices play: the house's for both, and those of the client itself."""
    if client == "python":
        return list(PLANTED)
    return [*(name for name in PLANTED if name not in OF_THE_PYTHON_CLIENT), *WEB_PLANTED]


def first_catch(name: str, folder: Path, seeds: Iterable[int], steps: int, client: str = "python") -> dict[str, Any] | None:
    """The first of these seeds at which the planted mistake was caught and by whom: a checker, or an assertion of the house itself.

    It counts only when the same seed holds without the mistake.
    """
    if name in WEB_PLANTED:
        setting, always = Setting(client, mistakes=(WEB_PLANTED[name],)), WEB_NEEDED.get(name, ())
    else:
        setting, always = Setting(client, PLANTED[name]), NEEDED.get(name, NEEDED_OTHERWISE)
    for seed in seeds:
        written = script(seed, steps, always, client)
        run = play(seed, written, folder / f"{seed}", setting)
        if run["violation"] and not play(seed, written, folder / f"{seed}-right", Setting(client))["violation"]:
            return {"planted": name, "seed": seed, "by": run["by"], "words": run["violation"][:200]}
    return None


def story(seed: int, steps: list[Step], by: str, setting: Setting = PYTHON) -> tuple[list[Step], int]:
    """The shortest script found that `by` still objects to, and how many runs that took."""

    def fails(left: list[Step]) -> bool:
        with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
            return bool(play(seed, left, Path(folder), setting)["by"] == by)

    return shrink(steps, fails)
