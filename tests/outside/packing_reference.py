"""The same question put to OR-tools CP-SAT: do these pieces go into this carton, walls and gaps kept, support forgotten?

Every pair of pieces is apart by its gap on one of six sides; every piece has one of its turns. An independent exact answer for
small orders (Perron and Didier, CP-SAT, OR-tools 9.15).
"""

from __future__ import annotations

from itertools import combinations, permutations
from random import Random
from typing import Any

from ortools.sat.python import cp_model

Json = dict[str, Any]


def _pieces(rows: list[Json]) -> list[Json]:
    return [row for row in rows for _ in range(row["count"])]


def goes_in(rows: list[Json], inner: list[int], seconds: float = 5.0) -> bool | None:
    """True, False, or None when CP-SAT did not settle it in time. Whole millimetres only."""
    model = cp_model.CpModel()
    placed = []
    for row in _pieces(rows):
        long, wide, high = row["size_mm"]
        turns = [(long, wide, high), (wide, long, high)] if row.get("upright") else sorted(set(permutations((long, wide, high))))
        wall = row.get("wall_mm", 0)
        turned = [model.new_bool_var("") for _ in turns]
        model.add_exactly_one(turned)
        sides = [sum(turn[axis] * chosen for turn, chosen in zip(turns, turned, strict=True)) for axis in range(3)]
        starts = [model.new_int_var(wall, max(wall, inner[axis] - wall), "") for axis in range(3)]
        for axis in range(3):
            model.add(starts[axis] + sides[axis] + wall <= inner[axis])
        placed.append((row, starts, sides))
    for (one, at, size), (other, at_2, size_2) in combinations(placed, 2):
        gap = max(one.get("gap_mm", 0), other.get("gap_mm", 0))
        apart = []
        for axis in range(3):
            before, after = model.new_bool_var(""), model.new_bool_var("")
            model.add(at[axis] + size[axis] + gap <= at_2[axis]).only_enforce_if(before)
            model.add(at_2[axis] + size_2[axis] + gap <= at[axis]).only_enforce_if(after)
            apart += [before, after]
        model.add_bool_or(apart)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds, solver.parameters.num_workers = seconds, 1
    status = solver.solve(model)
    return True if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else False if status == cp_model.INFEASIBLE else None


def random_order(seed: int, most: int = 8) -> tuple[list[Json], list[int]]:
    """A small order of two or three kinds, and a carton a little larger than its volume, so that the answer is not plain to see."""
    chance = Random(seed)
    rows: list[Json] = []
    left = chance.randint(3, most)
    while left and len(rows) < 3:
        count = chance.randint(1, left) if len(rows) < 2 else left
        size = [chance.randint(3, 12) * 5 for _ in range(3)]
        glass = chance.random() < 0.3
        rows.append({"id": f"piece {len(rows)}", "count": count, "size_mm": size, "mass_g": 10, "upright": glass or chance.random() < 0.3,
                     "wall_mm": 5 if glass else 0, "gap_mm": 5 if glass else 0})  # fmt: skip
        left -= count
    volume = 0
    for row in rows:
        long, wide, high = (side + row["gap_mm"] for side in row["size_mm"])
        volume += row["count"] * long * wide * high
    room = volume * chance.uniform(1.02, 1.9)
    long = round((room ** (1 / 3)) * chance.uniform(0.9, 1.5) / 5) * 5
    wide = round((room / long) ** 0.5 * chance.uniform(0.8, 1.2) / 5) * 5
    return rows, [max(long, 5), max(wide, 5), max(5, round(room / long / wide / 5) * 5)]
