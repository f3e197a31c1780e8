"""Runs seeds, plain or with a planted mistake, and tells what was seen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from storm.checkers import Violation
from storm.planted import PLANTED
from storm.world import World


def run_seed(seed: int, steps: int, folder: Path) -> dict[str, Any]:
    """`{"seed", "violation", "fired", "happened", "landed"}`; the violation in words, or None."""
    world = World(seed, folder)
    violation = None
    try:
        world.run(steps)
    except Violation as seen:
        violation = str(seen)
    finally:
        landed = world.house.position()
        world.close()
    return {
        "seed": seed, "violation": violation, "fired": dict(sorted(world.line.fired.items())),
        "happened": dict(sorted(world.happened.items())), "landed": landed,
    }  # fmt: skip


def first_catch(name: str, folder: Path, seeds: int, steps: int) -> dict[str, Any] | None:
    """The first seed at which the planted mistake was caught and by whom: a checker, or an assertion of the house itself."""
    for seed in range(seeds):
        world = World(seed, folder / f"{seed}", rough=True)
        try:
            with PLANTED[name]():
                world.run(steps)
        except Violation as seen:
            return {"planted": name, "seed": seed, "by": seen.checker, "words": str(seen)[:200]}
        except Exception as seen:  # the house's own assertions stop it: that is a catch too
            return {"planted": name, "seed": seed, "by": f"the house ({type(seen).__name__})", "words": str(seen)[:200]}
        finally:
            world.close()
    return None
