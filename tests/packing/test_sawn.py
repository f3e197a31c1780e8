"""A room that was sawn into pieces takes them all again: packings that are known beforehand, whatever the searches leave out on their way.

Guillotine cuts of a room; the saw takes as much as lies between two pieces, and the outermost lie against the walls. The lists of
places and the bounds of both searches must never lose such a packing.
"""

from __future__ import annotations

import random

import pytest
from tests.packing.test_positions import is_a_packing

from honeyhold.packing.exact.exhaustive import search_all
from honeyhold.packing.exact.patterns import grid_of
from honeyhold.packing.exact.positions import Positions, Search
from honeyhold.packing.exact.scales import scales_of
from honeyhold.packing.model.container import Effort, EffortLimitReached
from honeyhold.packing.model.problem import PackingProblem, problem_of
from honeyhold.packing.model.request import read_request

Sides = tuple[int, int, int]
LEAST_MM, SAW_MM = 4, (0, 0, 1, 3)


def sawn(dice: random.Random, room: Sides, pieces: int, saw: int) -> list[Sides]:
    """So many pieces of a room, or fewer where none can be cut any more."""
    found = [room]
    for _ in range(pieces - 1):
        largest = max(found, key=lambda sides: sides[0] * sides[1] * sides[2])
        axes = [axis for axis in range(3) if largest[axis] >= 2 * LEAST_MM + saw]
        if not axes:
            break
        axis = dice.choice(axes)
        at = dice.randint(LEAST_MM, largest[axis] - LEAST_MM - saw)
        found.remove(largest)
        for length in (at, largest[axis] - at - saw):
            sides = list(largest)
            sides[axis] = length
            found.append((sides[0], sides[1], sides[2]))
    return found


def asked(seed: int) -> PackingProblem:
    """The pieces of one room, in any order, and that room."""
    dice = random.Random(seed)
    room, saw = (dice.randint(18, 34), dice.randint(14, 28), dice.randint(12, 24)), dice.choice(SAW_MM)
    pieces = sawn(dice, room, dice.randint(3, 8), saw)
    dice.shuffle(pieces)
    rows = [{"id": f"p{at}", "size_mm": list(sides), "gap_mm": saw} for at, sides in enumerate(pieces)]
    request = {"pieces": rows, "cartons": [{"id": "room", "inner_mm": list(room)}], "support": False}
    return problem_of(read_request(request))


@pytest.mark.parametrize("part", range(2))
def test_a_sawn_room_takes_its_pieces_again(part: int) -> None:
    settled = 0
    for seed in range(part * 20, part * 20 + 20):
        problem = asked(seed)
        room, kinds, counts = problem.cartons[0].room, problem.items, [kind.count for kind in problem.items]
        grid = grid_of(room, kinds, counts, Effort(10**6))
        try:
            by_all = search_all(room, kinds, counts, Effort(100_000))
        except EffortLimitReached:
            continue
        settled += 1
        assert by_all is not None and is_a_packing(by_all, grid), f"seed {seed}"
        scales = scales_of(grid, Effort(10**6))
        assert not any(scale.overfills for scale in scales), f"seed {seed}"
        by_places = Search(Positions(grid, scales, Effort(10**7)), None, 9).run()
        assert by_places is not None and is_a_packing(by_places, grid), f"seed {seed}"
    assert settled >= 14
