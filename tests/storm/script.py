"""The script of a run: what happens, step by step, decided by one number before anything happens.

Each step carries a seed of its own, so that a step plays the same way when the steps before it are left out: that is what lets
`shrink.py` cut a long run down to a short story.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from storm.acts import ACTS
from storm.troubles import RARE, RARE_TIMES_MAX, USUAL
from storm.web_acts import WEB_ACTS

RARE_CHANCE = 0.3


@dataclass(frozen=True)
class Step:
    """One thing that happens. `seed` decides who does it, with what numbers, and what the line does meanwhile."""

    name: str
    seed: int

    def __str__(self) -> str:
        return f"{self.name} #{self.seed}"


def script(seed: int, steps: int, always: tuple[str, ...] = (), client: str = "python") -> list[Step]:
    """What happens in the run of a seed. `always`: the rare troubles that this run has in any case; `client`: "python" or "web"."""
    rng = Random(f"storm {seed}")
    rare = [name for name in RARE if rng.random() < RARE_CHANCE or name in always]
    acts = {**ACTS, **USUAL, **(WEB_ACTS if client == "web" else {})}
    names = [name for name, (_, chances) in acts.items() for _ in range(chances)]
    left = dict.fromkeys(rare, RARE_TIMES_MAX)
    written: list[Step] = []
    for _ in range(steps):
        name = rng.choice([*names, *(one for one in rare if left[one])])
        if name in left:
            left[name] -= 1
        written.append(Step(name, rng.getrandbits(32)))
    return written
