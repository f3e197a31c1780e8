"""How hard wax is pressed, from the placements of a packing plan."""

from __future__ import annotations

import pytest
from tests.quoting.test_call import asked

from honeyhold.packing.model.plan import PlacedPiece
from honeyhold.quoting.parcel import quote_of
from honeyhold.quoting.request import read_call
from honeyhold.quoting.stack_loads import carried_kg, wax_load_pa


def put(piece: str, at: tuple[float, float, float], size: tuple[float, float, float]) -> PlacedPiece:
    return PlacedPiece(piece, 1, at, size, "flat", 0)


def test_a_stack_hands_its_weight_down_by_the_area_shared() -> None:
    """A bridge of 0.4 kg over two piers, three quarters on the left one; a bar beside it carries nothing."""
    puts = [
        put("left", (0, 0, 0), (100, 100, 50)), put("right", (100, 0, 0), (100, 100, 50)),
        put("bridge", (25, 0, 55), (100, 100, 10)), put("aside", (300, 0, 0), (50, 50, 50)),
    ]  # fmt: skip
    assert carried_kg(puts, [1.0, 1.0, 0.4, 1.0]) == pytest.approx([0.3, 0.1, 0.0, 0.0])


@pytest.mark.parametrize("shared_mm", [1.0, 0.5])
def test_a_narrow_rim_carries_all_that_stands_on_it_alone(shared_mm: float) -> None:
    puts = [put("low", (0, 0, 0), (100, 100, 50)), put("high", (100 - shared_mm, 0, 50), (100, 100, 20))]
    assert carried_kg(puts, [1.0, 0.4]) == pytest.approx([0.4, 0.0])


def test_what_stands_far_above_presses_the_filler_and_not_the_piece() -> None:
    puts = [put("low", (0, 0, 0), (100, 100, 20)), put("high", (0, 0, 90), (100, 100, 20))]
    assert carried_kg(puts, [1.0, 1.0]) == [0.0, 0.0]


def test_ten_bars_press_as_one_column_of_the_plan_says() -> None:
    """Bars of 30 g on 78 x 40 mm: 94 Pa alone, and so much for each that stands above."""
    request = read_call(asked({"bar": 10}, "55811"))
    parcel = quote_of(request, "plain").parcels[0]
    one = 9.81 * 0.030 / (0.078 * 0.040)
    load = wax_load_pa(request.goods, parcel.placements)
    assert load is not None and load == pytest.approx(one * round(load / one), abs=0.2) and 2 * one <= load <= 10 * one


def test_without_wax_or_without_placements_there_is_no_load_to_tell() -> None:
    request = read_call(asked({"jar_12": 1}, "55811"))
    assert wax_load_pa(request.goods, quote_of(request, "plain").parcels[0].placements) is None
    assert wax_load_pa(request.goods, ()) is None
