"""The parcel of a few lumps against the same parcel cut into small cubes: within 2 K at the hottest piece."""

from __future__ import annotations

from math import pi, sin
from typing import Any

import pytest
from tests.heat.asking import BARS, JARS, parcel
from tests.outside.heat_in_3d import hottest_piece_c

from honeyhold.heat.network import run, temperatures_c
from honeyhold.heat.parcel import pack_parcel

AIR_C = [27 + 9 * sin(2 * pi * (hour - 9) / 24) + (8 if 36 <= hour <= 41 else 0) for hour in range(43)]  # two days, then a hot box
BAR = {**BARS, "mass_g": 28, "length_mm": 78, "width_mm": 40, "height_mm": 12}
BAR_MATTER = (0.25, 0.028 * 2200 / (78 * 40 * 12e-9))
JAR = {**JARS, "mass_g": 340, "glass_g": 210, "height_mm": 118}
JAR_MATTER = (0.54, (0.34 * 2400 + 0.21 * 840) / (72 * 72 * 118e-9))


def ours(room_mm: tuple[int, int, int], contents: list[dict[str, Any]]) -> float:
    """The hottest hour of the skin of the goods by the network."""
    filler_g = room_mm[0] * room_mm[1] * room_mm[2] * 1e-6 * 30
    outer = [side + 8 for side in room_mm]
    packed = pack_parcel(parcel(contents, outer_mm=outer, carton_g=200, filler_g=filler_g))
    node = packed.wax if packed.wax is not None else packed.honey
    assert node is not None
    return max(temperatures_c(packed.network, run(packed.network, packed.start_c(24.0), AIR_C), node))


@pytest.mark.parametrize(("room_mm", "corner"), [((152, 102, 102), (36, 11, 21)), ((250, 200, 150), (86, 60, 45))])
def test_ten_bars_in_two_stacks(room_mm: tuple[int, int, int], corner: tuple[int, int, int]) -> None:
    x, y, z = corner
    boxes = [((x, y + 40 * row, z + 12 * layer), (78, 40, 12)) for layer in range(5) for row in range(2)]
    cubes = hottest_piece_c(room_mm, 4, boxes, BAR_MATTER, AIR_C)
    assert max(cubes) == pytest.approx(ours(room_mm, [BAR]), abs=2.0)


@pytest.mark.parametrize("side", [200, 300])
def test_two_jars_in_a_large_carton(side: int) -> None:
    middle = side / 2
    boxes = [((middle - 75, middle - 36, middle - 59), (72, 72, 118)), ((middle + 3, middle - 36, middle - 59), (72, 72, 118))]
    cubes = hottest_piece_c((side, side, side), 4, boxes, JAR_MATTER, AIR_C, cube_mm=16.0)
    assert max(cubes) == pytest.approx(ours((side, side, side), [JAR]), abs=2.0)


def test_the_glass_and_a_wide_gap_keep_a_jar_cooler() -> None:
    room = (300, 300, 300)
    assert ours(room, [JAR]) < ours(room, [{**JAR, "glass_g": 0}]) - 0.2
    assert ours(room, [JAR]) < ours((200, 200, 200), [JAR]) - 1.0
