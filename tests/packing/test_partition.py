"""Dividing an order: the least cost over all cartons, stock, costs and postage, whatever the order of the lines."""

from __future__ import annotations

from random import Random
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from honeyhold.packing.doors import plan
from honeyhold.packing.model.container import Effort
from honeyhold.packing.model.problem import problem_of
from honeyhold.packing.model.request import read_request
from honeyhold.packing.partition import large_order
from honeyhold.packing.partition.choice import CartonSelection
from honeyhold.packing.partition.heuristic import Left, even_shares, fewest_parcels
from reference.verify import verify

Json = dict[str, Any]
PRICES = [{"service": "ground", "zone": "near", "up_to_oz": up_to, "cents": cents}
          for up_to, cents in ((8, 500), (16, 700), (32, 900), (80, 1100), (160, 1500), (1120, 5000))]  # fmt: skip


def scarce() -> Json:
    """A long carton of which one is left holds either sort; the long pieces' own carton costs a cent more, the cubes' twice as much."""
    return {
        "pieces": [{"id": "rod", "size_mm": [300, 50, 50]}, {"id": "cube", "size_mm": [100, 100, 100]}],
        "cartons": [
            {"id": "A", "inner_mm": [300, 100, 100], "cost_cents": 100, "in_stock": 1},
            {"id": "C", "inner_mm": [300, 50, 50], "cost_cents": 101},
            {"id": "D", "inner_mm": [100, 100, 100], "cost_cents": 200},
        ],
        "support": False,
    }


def planned(request: Json) -> Json:
    answer = plan(request)
    assert verify(request, answer) == []
    return answer


def claim(answer: Json) -> tuple[int, int, bool]:
    """What is claimed of a plan: its cost, its number of parcels, and whether nothing is better."""
    return answer["cost_cents"], len(answer["parcels"]), answer["proved"]


@pytest.mark.parametrize("pieces", [1, -1])
@pytest.mark.parametrize("cartons", [1, -1])
def test_a_dearer_carton_saves_a_scarce_one(pieces: int, cartons: int) -> None:
    request = scarce()
    turned = {**request, "pieces": request["pieces"][::pieces], "cartons": request["cartons"][::cartons]}
    answer = planned(turned)
    assert {parcel["carton"]: parcel["contents"] for parcel in answer["parcels"]} == {"A": {"cube": 1}, "C": {"rod": 1}}
    assert claim(answer) == (201, 2, True)


@pytest.mark.parametrize(("pieces", "cartons", "fewest"), [
    ([(9, 10, 0)], [{"inner_mm": [20, 20, 10]}], 3),  # four lie in one
    ([(8, 10, 0)], [{"inner_mm": [20, 20, 10]}], 2),
    ([(13, 10, 0)], [{"inner_mm": [10, 20, 30]}], 3),  # six, whichever side stands first
    ([(13, 10, 0)], [{"inner_mm": [30, 20, 10]}], 3),
    ([(6, 10, 1000)], [{"inner_mm": [900, 900, 900], "max_gross_g": 1200, "tare_g": 200}], 6),  # one is as heavy as a carton bears
    ([(6, 10, 1000)], [{"inner_mm": [900, 900, 900], "max_gross_g": 2200, "tare_g": 200}], 3),
    ([(6, 10, 1000)], [{"inner_mm": [900, 900, 900], "max_gross_g": 1200, "tare_g": 200}, {"inner_mm": [900, 900, 900]}], 1),
    ([(6, 10, 1000)], [{"inner_mm": [900, 900, 900], "max_gross_g": 1200, "tare_g": 200}, {"inner_mm": [900, 900, 900], "in_stock": 0}], 6),
    ([(6, 10, 1000)], [{"inner_mm": [900, 900, 900], "in_stock": 0}], 1),
])  # fmt: skip
def test_no_fewer_parcels_hold_so_much_volume_and_mass(pieces: list[tuple[int, int, int]], cartons: list[Json], fewest: int) -> None:
    """By the largest room and by the most that a carton bears besides itself; one of no limit bears anything, one that is gone nothing."""
    request = {
        "pieces": [
            {"id": f"p{at}", "size_mm": [side] * 3, "mass_g": mass_g, "count": count} for at, (count, side, mass_g) in enumerate(pieces)
        ],
        "cartons": [{"id": f"c{at}", **carton} for at, carton in enumerate(cartons)],
    }  # fmt: skip
    problem = problem_of(read_request(request))
    selection = CartonSelection(problem, problem.posting, Effort(1000), most_steps=1000)
    assert fewest_parcels(selection, tuple(item.count for item in problem.items)) == fewest


def test_the_fullest_parcel_is_looked_for_by_ever_smaller_parts_and_then_piece_by_piece(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of four and two: all, half of each, a third, and so on to one of each; then one of the first kind alone, and one of the second."""
    asked: list[tuple[int, ...]] = []
    goes: list[tuple[int, ...]] = []

    def cheapest(_selection: Any, counts: tuple[int, ...], _left: Any, share: int) -> Any:
        asked.append(counts)
        assert share == large_order.SHARE
        return f"parcel of {counts}" if counts in goes else None

    monkeypatch.setattr(large_order, "cheapest", cheapest)
    selection: Any = None
    parts = [(4, 2), (2, 1), (2, 1), (1, 1), (1, 1), (1, 1)]
    assert large_order._most_that_fits(selection, Left((4, 2))) is None and asked == [*parts, (1, 0), (0, 1)]
    for least in ((2, 1), (1, 0), (0, 1)):
        goes[:], asked[:] = [least], []
        assert large_order._most_that_fits(selection, Left((4, 2))) == f"parcel of {least}" and asked[-1] == least
    goes[:], asked[:] = [], []
    assert large_order._most_that_fits(selection, Left((0, 1))) is None and asked == [(0, 1), (0, 1)]


@pytest.mark.parametrize(("pieces", "parcels"), [(2, 2), (3, 0)])
def test_no_more_parcels_are_filled_than_anybody_sends(monkeypatch: pytest.MonkeyPatch, pieces: int, parcels: int) -> None:
    """Where each holds one, and two are the most: two go into two, and for three there is no way."""
    one = SimpleNamespace(counts=(1,), figures=SimpleNamespace(carton=SimpleNamespace(id="C")))
    monkeypatch.setattr(large_order, "cheapest", lambda _selection, counts, _left, _share: one if counts == (1,) else None)
    monkeypatch.setattr(large_order, "MAX_PARCELS", 2)
    selection: Any = None
    assert large_order._filled(selection, (pieces,)) == [one] * parcels


@pytest.mark.parametrize(("whole", "parcels", "shares"), [
    ((4,), 2, [(2,), (2,)]), ((3,), 2, [(2,), (1,)]), ((1, 1), 2, [(1, 0), (0, 1)]), ((5, 3), 2, [(3, 1), (2, 2)]),
    ((1,), 3, [(1,)]), ((4, 2), 3, [(2, 0), (1, 1), (1, 1)]),
])  # fmt: skip
def test_shares_are_even_and_the_odd_pieces_go_round(whole: tuple[int, ...], parcels: int, shares: list[tuple[int, ...]]) -> None:
    """From the first parcel on, the next kind's where the last one's ended; a share of nothing is none."""
    assert even_shares(whole, parcels) == shares


@pytest.mark.parametrize(("left", "shares"), [(0, 9), (1, 12)])
def test_with_no_effort_left_no_more_than_nine_even_shares_are_tried(monkeypatch: pytest.MonkeyPatch, left: int, shares: int) -> None:
    asked: list[int] = []
    monkeypatch.setattr(large_order, "evenly", lambda _selection, _whole, parcels, _share: asked.append(parcels))
    monkeypatch.setattr(large_order, "_filled", lambda *_: ["one by one"])
    selection: Any = SimpleNamespace(effort=SimpleNamespace(left=left))
    assert large_order.split_roughly(selection, (12,)) == ["one by one"] and asked == [*range(2, shares + 1)]


def test_scarce_cartons_of_two_sorts_are_shared_out() -> None:
    """Two cubes and two rods, one A and one D: the cubes into the one, the rods into their own; with one C there is no way."""
    request = scarce()
    request["pieces"] = [{**piece, "count": 2} for piece in request["pieces"]]
    request["cartons"][2]["in_stock"] = 1
    answer = planned(request)
    assert sorted(parcel["carton"] for parcel in answer["parcels"]) == ["A", "C", "C"] and answer["proved"]
    request["cartons"][1]["in_stock"] = 1
    assert planned(request)["parcels"] == [] and planned(request)["proved"]


def test_with_postage_too() -> None:
    request = {**scarce(), "posting": {"on": "2026-11-25", "zone": "near", "service": "ground", "prices": PRICES}}
    assert claim(planned(request)) == (201 + 2 * 500, 2, True)


@st.composite
def small_orders(draw: st.DrawFn) -> Json:
    """Up to seven pieces of four sorts; cartons scarce, dear, weak; with and without prices."""
    side = st.sampled_from([30, 50, 60, 75, 100])
    rows = draw(st.lists(st.tuples(side, side, side, st.integers(1, 2), st.booleans(), st.sampled_from([0, 5])), min_size=1, max_size=4))
    boxes = draw(st.lists(st.tuples(side, side, side, st.integers(30, 200), st.sampled_from([None, 1, 2]), st.sampled_from([None, 500])),
                          min_size=1, max_size=4))  # fmt: skip
    return {
        "pieces": [{"id": f"p{at}", "size_mm": [a, b, c], "count": n, "upright": up, "gap_mm": gap, "wall_mm": gap, "mass_g": 40 * n + a}
                   for at, (a, b, c, n, up, gap) in enumerate(rows)],
        "cartons": [{"id": f"c{at}", "inner_mm": [2 * a, b + 20, c + 20], "cost_cents": cents, "in_stock": stock, "tare_g": 50,
                     "max_gross_g": most} for at, (a, b, c, cents, stock, most) in enumerate(boxes)],
        "posting": draw(st.sampled_from([None, {"on": "2026-11-25", "zone": "near", "service": "ground", "prices": PRICES}])),
        "support": False, "seconds": 1,
    }  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(small_orders(), st.integers(0, 10**6))
def test_the_order_of_the_lines_changes_nothing(request: Json, seed: int) -> None:
    chance = Random(seed)
    shuffled = {**request, "pieces": chance.sample(request["pieces"], len(request["pieces"])),
                "cartons": chance.sample(request["cartons"], len(request["cartons"]))}  # fmt: skip
    assert claim(planned(request)) == claim(planned(shuffled))
    assert [parcel["placements"] for parcel in plan(request)["parcels"]] == [parcel["placements"] for parcel in plan(shuffled)["parcels"]]


def test_the_only_carton_is_not_divided() -> None:
    """One carton is left: where the whole never goes into it, nothing is divided, and nothing is left to look for."""
    rows = [{"id": "slab", "count": 3, "size_mm": [60, 60, 60]}]
    answer = plan({"pieces": rows, "cartons": [{"id": "only", "inner_mm": [119, 100, 100], "in_stock": 1}], "support": False, "seconds": 2})
    assert answer["parcels"] == [] and answer["proved"] and answer["seconds"] < 0.05
    twice = plan({"pieces": rows, "cartons": [{"id": "two", "inner_mm": [120, 100, 100], "in_stock": 2}], "support": False, "seconds": 2})
    assert len(twice["parcels"]) == 2 and twice["proved"]
