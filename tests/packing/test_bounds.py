"""What is ruled out without a search, and what is found by drawing ways: each held to the exact reference or to the second check."""

from __future__ import annotations

from typing import Any

import pytest
from tests.outside.packing_reference import goes_in, random_order
from tests.packing.orders import bar, order

from honeyhold.packing.doors import plan
from honeyhold.packing.exact.bounds import too_long_in_file
from honeyhold.packing.heuristic.randomized import construct_randomized
from honeyhold.packing.model.container import Effort, EffortLimitReached
from honeyhold.packing.model.problem import ItemType, problem_of
from honeyhold.packing.model.request import read_request
from reference.verify import verify

Json = dict[str, Any]
TUB: Json = {"id": "tub", "size_mm": [90, 90, 70], "mass_g": 310, "upright": True, "wall_mm": 10, "gap_mm": 10}
BLOCK: Json = {"id": "block", "size_mm": [125, 80, 50], "mass_g": 470}
PACK: Json = {"id": "cold pack", "size_mm": [150, 100, 25], "mass_g": 280, "count": 1}


def read(pieces: list[Json], inner_mm: list[float], dressing: Json | None = None) -> tuple[tuple[ItemType, ...], list[int], Any]:
    """Kinds, counts and room of a request with one carton."""
    wanted = problem_of(read_request({"pieces": pieces, "cartons": [{"id": "c", "inner_mm": inner_mm}], "dressing": dressing or {}}))
    kinds = wanted.items + wanted.chill
    return kinds, [kind.count for kind in kinds], wanted.cartons[0].room


def test_two_tubs_and_a_block_in_single_file_are_longer_than_the_carton() -> None:
    """Across and upwards no two of them go side by side: 10 + 90 + 10 + 90 + 10 + 50 mm along 228 mm is too long."""
    kinds, counts, room = read([{**TUB, "count": 2}, {**BLOCK, "count": 1}], [228, 152, 101])
    assert too_long_in_file(kinds, counts, room)
    longer = read([{**TUB, "count": 2}, {**BLOCK, "count": 1}], [260, 152, 101])
    assert not too_long_in_file(*longer[:2], longer[2])


@pytest.mark.parametrize("seed", range(60))
def test_the_file_never_rules_out_what_the_reference_packs(seed: int) -> None:
    """CP-SAT is asked where the bound says no: it must never find a packing."""
    rows, inner = random_order(seed, most=6)
    kinds, counts, room = read(rows, [float(side) for side in inner])
    if too_long_in_file(kinds, counts, room):
        assert goes_in(rows, inner, 10) is not True


def test_twenty_bars_and_a_cold_pack_are_found_by_drawing_ways() -> None:
    """Two bars on edge beside the pack and eighteen on it: no order by size or weight comes upon that."""
    kinds, counts, room = read([bar(20)], [203, 152, 101], {"liner_mm": 15, "chill": [PACK]})
    assert len(construct_randomized(room, kinds, counts, True, Effort(200_000))) == 21
    request = {**order(bar(20)), "dressing": {"liner_mm": 15, "chill": [PACK]}, "seconds": 2}
    answer = plan(request)
    assert answer["proved"] and verify(request, answer) == []


def test_drawing_ends_with_the_effort() -> None:
    kinds, counts, room = read([bar(10)], [70, 70, 70])
    with pytest.raises(EffortLimitReached):
        construct_randomized(room, kinds, counts, True, Effort(5000))
