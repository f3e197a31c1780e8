"""The same question put to OR-tools CP-SAT: do these pieces go into this carton, walls and gaps kept, support forgotten?

Every pair of pieces is apart by its gap on one of six sides; every piece has one of its turns. An independent exact answer for
small orders (Perron and Didier, CP-SAT, OR-tools 9.15).
"""

from __future__ import annotations

from itertools import combinations, pairwise, permutations
from random import Random
from typing import Any

from ortools.sat.python import cp_model

Json = dict[str, Any]


def _pieces(rows: list[Json]) -> list[Json]:
    return [row for row in rows for _ in range(row["count"])]


def _placed(model: cp_model.CpModel, row: Json, edges: list[Any], room: int) -> tuple[list[Any], list[Any]]:
    """One piece with a turn and a place within walls; its starts and sides along the three axes. `edges` may be variables up to `room`."""
    long, wide, high = row["size_mm"]
    turns = [(long, wide, high), (wide, long, high)] if row.get("upright") else sorted(set(permutations((long, wide, high))))
    wall = row.get("wall_mm", 0)
    turned = [model.new_bool_var("") for _ in turns]
    model.add_exactly_one(turned)
    sides = [sum(turn[axis] * chosen for turn, chosen in zip(turns, turned, strict=True)) for axis in range(3)]
    starts = [model.new_int_var(wall, max(wall, room - wall), "") for _ in range(3)]
    for axis in range(3):
        model.add(starts[axis] + sides[axis] + wall <= edges[axis])
    return starts, sides


def _keep_apart(model: cp_model.CpModel, placed: list[tuple[Json, list[Any], list[Any]]], elsewhere: dict[tuple[int, int], Any]) -> None:
    """Every two pieces are apart by their gap on one of six sides, or in two parcels (`elsewhere` by pair)."""
    for (first, (one, at, size)), (second, (other, at_2, size_2)) in combinations(enumerate(placed), 2):
        gap = max(one.get("gap_mm", 0), other.get("gap_mm", 0))
        apart = [elsewhere[first, second]] if elsewhere else []
        for axis in range(3):
            before, after = model.new_bool_var(""), model.new_bool_var("")
            model.add(at[axis] + size[axis] + gap <= at_2[axis]).only_enforce_if(before)
            model.add(at_2[axis] + size_2[axis] + gap <= at[axis]).only_enforce_if(after)
            apart += [before, after]
        model.add_bool_or(apart)


def _solved(model: cp_model.CpModel, seconds: float) -> tuple[Any, cp_model.CpSolver]:
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds, solver.parameters.num_workers = seconds, 1
    return solver.solve(model), solver


def goes_in(rows: list[Json], inner: list[int], seconds: float = 5.0) -> bool | None:
    """True, False, or None when CP-SAT did not settle it in time. Whole millimetres only."""
    model = cp_model.CpModel()
    placed = [(row, *_placed(model, row, list(inner), max(inner))) for row in _pieces(rows)]
    _keep_apart(model, placed, {})
    status, _ = _solved(model, seconds)
    return True if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else False if status == cp_model.INFEASIBLE else None


Bools = list[list[Any]]


def _volume(size: list[int]) -> int:
    return size[0] * size[1] * size[2]


def _in_order(model: cp_model.CpModel, pieces: list[Json], takes: Bools, lies: Bools) -> None:
    """Parcels have no order, nor have pieces of a kind: one arrangement of each is enough."""
    carton_of, parcel_of = ([sum(at * chosen for at, chosen in enumerate(row)) for row in rows] for rows in (takes, lies))
    for earlier, later in pairwise(carton_of):
        model.add(earlier <= later)
    for at in range(len(pieces) - 1):
        if pieces[at] is pieces[at + 1]:
            model.add(parcel_of[at] <= parcel_of[at + 1])


def _within_limits(model: cp_model.CpModel, pieces: list[Json], cartons: list[Json], takes: Bools, lies: Bools) -> None:
    """Stock, weight, and (which follows, but is quicker said) volume."""
    for at, carton in enumerate(cartons):
        if carton.get("in_stock") is not None:
            model.add(sum(take[at] for take in takes) <= carton["in_stock"])
    for parcel, taken in enumerate(takes):
        inside = [lie[parcel] for lie in lies]
        model.add_at_least_one(inside)
        filled = sum(_volume(row["size_mm"]) * here for row, here in zip(pieces, inside, strict=True))
        model.add(filled <= sum(_volume(carton["inner_mm"]) * take for carton, take in zip(cartons, taken, strict=True)))
        mass = sum(row["mass_g"] * here for row, here in zip(pieces, inside, strict=True))
        for carton, take in zip(cartons, taken, strict=True):
            if carton.get("max_gross_g") is not None:
                model.add(mass + carton.get("tare_g", 0) <= carton["max_gross_g"]).only_enforce_if(take)


def _edges(model: cp_model.CpModel, cartons: list[Json], takes: Bools, lie: list[Any], room: int) -> list[Any]:
    """The inner sides of the carton that one piece lies in."""
    edges = [model.new_int_var(0, room, "") for _ in range(3)]
    for here, taken in zip(lie, takes, strict=True):
        for axis in range(3):
            inner = sum(carton["inner_mm"][axis] * take for carton, take in zip(cartons, taken, strict=True))
            model.add(edges[axis] <= inner).only_enforce_if(here)
    return edges


def _divided(rows: list[Json], cartons: list[Json], parcels: int, seconds: float) -> tuple[int, int] | str | None:
    """The least (cents, inner volume) in exactly so many cartons, "none", or None when that is not settled."""
    model, pieces = cp_model.CpModel(), _pieces(rows)
    takes = [[model.new_bool_var("") for _ in cartons] for _ in range(parcels)]
    lies = [[model.new_bool_var("") for _ in range(parcels)] for _ in pieces]
    for chosen in takes + lies:
        model.add_exactly_one(chosen)
    _in_order(model, pieces, takes, lies)
    _within_limits(model, pieces, cartons, takes, lies)
    room = max(side for carton in cartons for side in carton["inner_mm"])
    placed = [(row, *_placed(model, row, _edges(model, cartons, takes, lie, room), room)) for row, lie in zip(pieces, lies, strict=True)]
    elsewhere = {}
    for first, second in combinations(range(len(pieces)), 2):
        elsewhere[first, second] = apart = model.new_bool_var("")
        for here, there in zip(lies[first], lies[second], strict=True):
            model.add_bool_or(here.negated(), there.negated()).only_enforce_if(apart)
    _keep_apart(model, placed, elsewhere)
    weigh = parcels * room**3 + 1  # cents first, then volume
    costs = [carton["cost_cents"] * weigh + _volume(carton["inner_mm"]) for carton in cartons]
    model.minimize(sum(cost * take for taken in takes for cost, take in zip(costs, taken, strict=True)))
    status, solver = _solved(model, seconds)
    if status != cp_model.OPTIMAL:
        return "none" if status == cp_model.INFEASIBLE else None
    cents, volume = divmod(round(solver.objective_value), weigh)
    return cents, volume


def cheapest_division(rows: list[Json], cartons: list[Json], most: int, seconds: float) -> tuple[int, int, int] | str | None:
    """The true optimum over up to `most` cartons: fewest, then least cents, then least inner volume (mm3). "none" when so many do not do,
    None when CP-SAT does not settle some number of cartons in `seconds`. No liner, filler, posting price or support.
    """
    for parcels in range(1, most + 1):
        found = _divided(rows, cartons, parcels, seconds)
        if found is None or isinstance(found, tuple):
            return found and (parcels, *found)
    return "none"


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
