"""Published container-loading sets: how full the planner's block search makes one container, beside the best fill known.

Used by `scripts/bench_packing --sets FOLDER`. The folder holds thpack1.txt ... thpack7.txt (Bischoff and Ratcliff 1995, from the
OR-Library) and, where it is there, best_known.csv (file, problem, best_known_volume). The best known fills ask for no support at all.
Every packing is looked over here once more, by plain measuring: apart, inside, turned as allowed, and carried as the rule asks.
"""

from __future__ import annotations

import csv
import statistics
import sys
import time
from collections.abc import Iterator
from itertools import combinations, islice
from pathlib import Path
from typing import Any, NamedTuple

from tests.packing.boxes import carried, shared

from honeyhold.packing.heuristic.beam_search import Start, State, boxes_of, fill
from honeyhold.packing.heuristic.blocks import Goods
from honeyhold.packing.heuristic.overhang import fill_overhanging
from honeyhold.packing.heuristic.surface import Ground, place_at
from honeyhold.packing.model.container import Effort, Placement
from honeyhold.packing.model.problem import Sides, orientations_of
from honeyhold.packing.plan import STEPS_PER_SECOND

Json = dict[str, Any]
RULES = {"whole base carried": 100, "80 % carried": 80, "bare": 0}


class Problem(NamedTuple):
    """A container, and for each kind of box its permitted turns and how many there are."""

    number: int
    room: Sides
    turns: list[tuple[Sides, ...]]
    counts: list[int]

    @property
    def volume(self) -> int:
        """The container's volume."""
        return self.room[0] * self.room[1] * self.room[2]


def problems_of(path: Path) -> Iterator[Problem]:
    """The problems of one file; a side may be vertical where its flag is 1."""
    numbers = iter([int(word) for word in path.read_text(encoding="ascii").split()])
    for number in range(1, next(numbers) + 1):
        next(numbers), next(numbers)
        room = (next(numbers), next(numbers), next(numbers))
        turns, counts = [], []
        for _ in range(next(numbers)):
            next(numbers)
            measured = [(next(numbers), next(numbers)) for _ in range(3)]
            sides = (measured[0][0], measured[1][0], measured[2][0])
            vertical = {side for side, flag in measured if flag}
            turns.append(tuple(turn for turn in orientations_of(sides, False) if turn[2] in vertical))
            counts.append(next(numbers))
        yield Problem(number, room, turns, counts)


def best_known(folder: Path) -> dict[str, dict[int, int]]:
    """By file and problem the best volume known; nothing when the table is not there."""
    table = folder / "best_known.csv"
    known: dict[str, dict[int, int]] = {}
    if table.exists():
        with table.open(encoding="utf-8", newline="") as lines:
            for row in csv.DictReader(lines):
                known.setdefault(row["file"], {})[int(row["problem"])] = int(row["best_known_volume"])
    return known


def start_of(problem: Problem) -> Start:
    """The empty container."""
    least = tuple(min(turn[axis] for turns in problem.orientations for turn in turns) for axis in range(3))
    ground = Ground(problem.room, (least[0], least[1], least[2]))
    goods = tuple(Goods(turns, count, True) for turns, count in zip(problem.orientations, problem.counts, strict=True))
    return Start(ground, goods, problem.counts, [place_at(ground, 0, 0, problem.room[0], problem.room[1], 0)])


def faults(problem: Problem, boxes: list[Placement], percent: int) -> list[str]:
    """What is wrong with a packing under a rule, measured from the boxes alone."""
    found = []
    for kind, count in enumerate(problem.counts):
        if sum(box.item == kind for box in boxes) > count:
            found.append(f"more than {count} of kind {kind}")
    for box in boxes:
        ends = (box.x + box.dx, box.y + box.dy, box.z + box.dz)
        if min(box.x, box.y, box.z) < 0 or any(end > side for end, side in zip(ends, problem.room, strict=True)):
            found.append(f"{box} is not inside")
        if (box.dx, box.dy, box.dz) not in problem.orientations[box.item]:
            found.append(f"{box} is turned as it may not be")
        on = 100 * carried(box, boxes) / (box.dx * box.dy)
        if on < percent:
            found.append(f"{box} is carried by {on:.1f} %, less than {percent}")
    return found + [f"{one} and {other} overlap" for one, other in combinations(boxes, 2) if min(shared(one, other)) > 0]


def packed(problem: Problem, rules: dict[str, int], seconds: float) -> dict[str, Json]:
    """One container filled under each rule, each time with the effort of so many of the planner's seconds.

    The strictest comes first: what was packed under it is allowed under the looser ones too, and the fullest so far counts.
    """
    told: dict[str, Json] = {}
    best: State | None = None
    for rule, percent in rules.items():
        start, effort = start_of(problem), Effort(round(seconds * STEPS_PER_SECOND))
        begun = time.process_time()
        state = fill(start, effort) if percent == 100 else fill_overhanging(start, effort, percent)
        took = time.process_time() - begun
        best = max((state, best or state), key=lambda one: one.volume)
        wrong = faults(problem, boxes_of(start.ground, best), percent)
        told[rule] = {"percent": 100 * best.volume / problem.volume, "seconds": took, "faults": len(wrong)}
    return told


def measure_class(path: Path, known: dict[int, int], problems: int, seconds: float, rules: dict[str, int]) -> Json:
    """The first problems of one file: mean and least fill by rule, processor seconds, faults; beside the best known."""
    first = list(islice(problems_of(path), problems))
    row: Json = {"problems": len(first)}
    every = [packed(problem, rules, seconds) for problem in first]
    for rule in rules:
        told = [one[rule] for one in every]
        row[rule] = {
            "mean": round(statistics.mean(one["percent"] for one in told), 2),
            "least": round(min(one["percent"] for one in told), 2),
            "seconds_mean": round(statistics.mean(one["seconds"] for one in told), 2),
            "faults": sum(one["faults"] for one in told),
        }
    if known:
        row["best known, bare, these"] = round(statistics.mean(100 * known[one.number] / one.volume for one in first), 2)
        row["best known, bare, the class"] = round(statistics.mean(100 * volume / first[0].volume for volume in known.values()), 2)
    return row


def measure_sets(folder: Path, problems: int, seconds: float, full: bool) -> Json:
    """Every class found in the folder, and the mean of all of them by rule; progress goes to stderr."""
    known, rules = best_known(folder), {name: percent for name, percent in RULES.items() if percent == 100 or not full}
    found: Json = {"effort_s": seconds, "steps_a_second": STEPS_PER_SECOND, "classes": {}}
    for path in sorted(folder.glob("thpack[1-7].txt")):
        found["classes"][path.stem] = measure_class(path, known.get(path.name, {}), problems, seconds, rules)
        sys.stderr.write(f"{path.stem}: {found['classes'][path.stem]}\n")
    for rule in rules:
        found[f"mean, {rule}"] = round(statistics.mean(row[rule]["mean"] for row in found["classes"].values()), 2)
    return found
