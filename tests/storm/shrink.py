"""Cuts a failing run down to the few steps that still fail in the same way (delta debugging, Zeller and Hildebrandt 2002)."""

from __future__ import annotations

from collections.abc import Callable

from storm.script import Step

RUNS_MAX = 300


def shrink(steps: list[Step], fails: Callable[[list[Step]], bool], runs_max: int = RUNS_MAX) -> tuple[list[Step], int]:
    """The shortest list found, and how many runs that took. `fails(steps)` plays them and says whether the same thing is wrong.

    Leaves out ever smaller pieces for as long as what is left still fails; at most `runs_max` runs.
    """
    runs, parts = 0, 2
    while len(steps) > 1 and runs < runs_max:
        size = -(-len(steps) // parts)
        for start in range(0, len(steps), size):
            left = steps[:start] + steps[start + size :]
            runs += 1
            if left and fails(left):
                steps, parts = left, max(2, parts - 1)
                break
            if runs >= runs_max:
                break
        else:
            if size == 1:
                break
            parts = min(len(steps), parts * 2)
    return steps, runs
