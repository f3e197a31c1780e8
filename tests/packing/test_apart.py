"""The search over pairs: what it finds is a packing, and where it finds none the search over all packings finds none either."""

from __future__ import annotations

import pytest
from tests.outside.packing_reference import random_order

from honeyhold.packing.exact.exhaustive import search_all
from honeyhold.packing.exact.separation import search_pairs
from honeyhold.packing.model.container import Effort, EffortLimitReached
from honeyhold.packing.model.problem import problem_of
from honeyhold.packing.model.request import read_request


@pytest.mark.parametrize("part", range(4))
def test_both_searches_say_the_same(part: int) -> None:
    said = []
    for seed in range(part * 40, part * 40 + 40):
        rows, box = random_order(seed, most=6)
        wanted = problem_of(read_request({"pieces": rows, "cartons": [{"id": "box", "inner_mm": box}]}))
        asked = wanted.cartons[0].room, wanted.items, [kind.count for kind in wanted.items]
        try:
            pairs, pushed = search_pairs(*asked, Effort(150_000)), search_all(*asked, Effort(150_000))
        except EffortLimitReached:
            continue
        assert (pairs is None) == (pushed is None), f"seed {seed}"
        said.append(pairs is None)
        for at, put in enumerate(pairs or []):
            wall = wanted.items[put.item].wall
            starts, sides = (put.x, put.y, put.z), (put.dx, put.dy, put.dz)
            assert sides in wanted.items[put.item].orientations
            assert all(wall <= start and start + side + wall <= edge for start, side, edge in zip(starts, sides, asked[0], strict=True))
            for other in (pairs or [])[:at]:
                gap = max(wanted.items[put.item].gap, wanted.items[other.item].gap)
                apart = [(put.x, put.dx, other.x, other.dx), (put.y, put.dy, other.y, other.dy), (put.z, put.dz, other.z, other.dz)]
                assert any(a + long + gap <= b or b + wide + gap <= a for a, long, b, wide in apart)
    assert len(said) >= 30 and True in said and False in said


@pytest.mark.parametrize(("cubes", "box", "begins"), [
    (1, [10, 10, 10], [(0, 0, 0)]), (2, [20, 10, 10], [(0, 0, 0), (10, 0, 0)]), (2, [10, 10, 20], [(0, 0, 0), (0, 0, 10)]),
    (2, [19, 10, 10], None),
])  # fmt: skip
def test_what_follows_from_the_sides_takes_hardly_any_effort(cubes: int, box: list[int], begins: list[tuple[int, ...]] | None) -> None:
    """Once nothing more follows the search goes on, rather than until its effort is spent."""
    asked = {"pieces": [{"id": "cube", "size_mm": [10, 10, 10], "count": cubes}], "cartons": [{"id": "box", "inner_mm": box}]}
    wanted = problem_of(read_request(asked))
    found = search_pairs(wanted.cartons[0].room, wanted.items, [cubes], Effort(20))
    assert (found and sorted((put.x, put.y, put.z) for put in found)) == begins
