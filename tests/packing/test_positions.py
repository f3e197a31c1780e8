"""Scales and the search over places: no packing is ever refused, every packing found is one, and hard orders are settled."""

from __future__ import annotations

from itertools import combinations

import pytest
from tests.outside.packing_reference import goes_in, random_order

from honeyhold.packing.doors import plan
from honeyhold.packing.exact.exhaustive import search_all
from honeyhold.packing.exact.patterns import Grid, grid_of
from honeyhold.packing.exact.positions import Positions, Search, places_of, pushed
from honeyhold.packing.exact.scales import scales_of, volume, weigh
from honeyhold.packing.exact.simplex import maximize
from honeyhold.packing.model.container import Effort, EffortLimitReached, Placement
from honeyhold.packing.model.problem import ItemType, Sides, problem_of
from honeyhold.packing.model.request import read_request
from reference.verify import verify

Asked = tuple[Sides, tuple[ItemType, ...], list[int]]


def asked_of(seed: int, most: int) -> Asked:
    """Room, kinds and counts of a random order."""
    rows, box = random_order(seed, most)
    wanted = problem_of(read_request({"pieces": rows, "cartons": [{"id": "box", "inner_mm": box}]}))
    return wanted.cartons[0].room, wanted.items, [kind.count for kind in wanted.items]


def is_a_packing(puts: list[Placement], grid: Grid) -> bool:
    """Every piece, in one of its turns, within its walls, and any two apart by the larger gap."""
    kinds = grid.items
    for put in puts:
        wall = kinds[put.item].wall
        inside = all(wall <= put[1 + axis] and put[1 + axis] + put[4 + axis] + wall <= grid.sides[axis] for axis in range(3))
        if not inside or tuple(put[4:]) not in kinds[put.item].orientations:
            return False
    for one, other in combinations(puts, 2):
        gap = max(kinds[one.item].gap, kinds[other.item].gap)
        first, second = (one, other), (other, one)
        if not any(a[1 + axis] + a[4 + axis] + gap <= b[1 + axis] for a, b in (first, second) for axis in range(3)):
            return False
    return sorted(put.item for put in puts) == [kind for kind, count in enumerate(grid.counts) for _ in range(count)]


@pytest.mark.parametrize("part", range(4))
def test_the_searches_over_places_say_what_the_search_over_all_packings_says(part: int) -> None:
    """Whichever axis comes first and whichever scales count; mixed gaps, walls and uprights are among the orders."""
    said = []
    for seed in range(part * 40, part * 40 + 40):
        room, kinds, counts = asked_of(seed, 7)
        try:
            by_all = search_all(room, kinds, counts, Effort(150_000))
        except EffortLimitReached:
            continue
        grid = grid_of(room, kinds, counts, Effort(10**6))
        scales = scales_of(grid, Effort(10**6))
        assert by_all is None or not any(scale.overfills for scale in scales), f"seed {seed}"
        for first, many in ((None, 9), (2, 1), (0, 9)):
            found = Search(Positions(grid, scales, Effort(10**7)), first, many).run()
            assert (found is None) == (by_all is None), f"seed {seed}"
            assert found is None or (is_a_packing(found, grid) and is_a_packing(pushed(found, grid), grid)), f"seed {seed}"
        said.append(by_all is None)
    assert len(said) >= 25 and True in said and False in said


@pytest.mark.parametrize("part", range(2))
def test_no_scale_refuses_what_the_reference_packs(part: int) -> None:
    """CP-SAT is asked wherever the scales refuse an order of up to 24 pieces: it never finds a packing."""
    refused = 0
    for seed in range(2_000 + part * 20, 2_000 + part * 20 + 20):
        rows, box = random_order(seed, 24)
        room, kinds, counts = asked_of(seed, 24)
        plain = sum(kind.volume * count for kind, count in zip(kinds, counts, strict=True)) > room[0] * room[1] * room[2]
        try:
            scales = scales_of(grid_of(room, kinds, counts, Effort(10**6)), Effort(10**6))
        except EffortLimitReached:
            continue
        if scales and scales[0].overfills and not plain:
            refused += 1
            assert goes_in(rows, box, 0.5) is not True, f"seed {seed}"
    assert refused >= 2


def test_a_scale_tighter_than_the_volume_refuses_nineteen_pieces() -> None:
    """By volume they fill 88 hundredths; rows of 20, 25, 35, 40, 45 and 60 mm waste too much of 65, 85 and 100 mm."""
    room, kinds, counts = asked_of(34, 24)
    grid = grid_of(room, kinds, counts, Effort(10**6))
    plain = weigh(grid, volume(grid))
    assert plain is not None and 0.85 < plain.tightness < 0.9
    assert [scale.overfills for scale in scales_of(grid, Effort(10**6))] == [True]


def test_patterns_from_both_ends_leave_fewer_places() -> None:
    """Three lengths in a room of twelve: from one end alone there would be a place for every sum."""
    room, kinds, counts = asked_of(0, 24)
    grid = grid_of(room, kinds, counts, Effort(10**6))
    assert places_of(grid) < 1_000 and all(len(points) < 12 for points in grid.points)


def test_a_small_linear_programme() -> None:
    """The most of 3x + 5y with x <= 4, 2y <= 12, 3x + 2y <= 18 is 36, at (2, 6) (Dantzig's method; worked by hand at the corners)."""
    x, y = maximize([3, 5], [[1, 0], [0, 2], [3, 2]], [4, 12, 18], Effort(1_000))
    assert abs(x - 2) < 1e-6 and abs(y - 6) < 1e-6


@pytest.mark.parametrize(("seed", "goes"), [(0, True), (34, False), (40, True), (58, True), (62, True), (100, False), (143, True)])
def test_orders_that_took_minutes_are_settled_in_two_seconds(seed: int, goes: bool) -> None:
    rows, box = random_order(seed, 24)
    request = {"pieces": rows, "cartons": [{"id": "box", "inner_mm": box, "in_stock": 1}], "support": False, "seconds": 2}
    answer = plan(request)
    assert bool(answer["parcels"]) == goes and answer["proved"] and answer["seconds"] <= 2
    assert verify(request, answer) == []
