"""Do the pieces go in? Our answer held against OR-tools CP-SAT on random small orders, walls and gaps kept (bare geometry)."""

from __future__ import annotations

import pytest
from tests.outside.packing_reference import goes_in, random_order

from honeyhold.bench.plan import plan
from honeyhold.bench.verify import verify


@pytest.mark.parametrize("seed", range(60))
def test_the_same_yes_or_no_as_cp_sat(seed: int) -> None:
    """Whatever we claim to be proved agrees; a plan found is itself the proof of yes."""
    rows, inner = random_order(seed)
    request = {"pieces": rows, "cartons": [{"id": "one", "inner_mm": inner, "in_stock": 1}], "support": False, "seconds": 2}
    answer = plan(request)
    assert verify(request, answer) == []
    if not answer["parcels"] and not answer["proved"]:
        pytest.skip("not settled by us, and said so")
    reference = goes_in(rows, inner)
    if reference is None:
        pytest.skip("not settled by CP-SAT")
    assert bool(answer["parcels"]) == reference


def test_the_choice_of_carton_is_the_true_smallest() -> None:
    """Over rising cartons the first that CP-SAT packs is the one chosen and called proved."""
    for seed in range(200, 206):
        rows, _ = random_order(seed, most=6)
        boxes = [[40 + 20 * step, 30 + 20 * step, 30 + 15 * step] for step in range(6)]
        request = {"pieces": rows, "cartons": [{"id": str(at), "inner_mm": box} for at, box in enumerate(boxes)], "support": False}
        answer = plan(request)
        smallest = next((str(at) for at, box in enumerate(boxes) if goes_in(rows, box)), None)
        if len(answer["parcels"]) == 1 and answer["proved"]:
            assert answer["parcels"][0]["carton"] == smallest
        elif answer["proved"]:
            assert smallest is None
