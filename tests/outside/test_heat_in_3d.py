"""The parcel of a few lumps against the same parcel cut into small cubes: within 2 K at the hottest piece."""

from __future__ import annotations

from math import pi, sin
from typing import Any

import pytest
from tests.heat.asking import BARS, JARS, parcel
from tests.outside.heat_in_3d import Box, pieces_c

from honeyhold.heat.network import run, temperatures_c
from honeyhold.heat.parcel import pack_parcel

AIR_C = [27 + 9 * sin(2 * pi * (hour - 9) / 24) + (8 if 36 <= hour <= 41 else 0) for hour in range(43)]  # two days, then a hot box
BAR = {**BARS, "mass_g": 28, "length_mm": 78, "width_mm": 40, "height_mm": 12}
BAR_MATTER = (0.25, 0.028 * 2200 / (78 * 40 * 12e-9))
JAR = {**JARS, "mass_g": 340, "glass_g": 210, "height_mm": 118}
JAR_MATTER = (0.54, (0.34 * 2400 + 0.21 * 840) / (72 * 72 * 118e-9))

# Room, corner of the jars, corner of the bars: a tight carton and a roomy one.
MIXED = [((270, 120, 140), (12, 24, 11), (174, 20, 40)), ((300, 240, 200), (30, 84, 41), (190, 80, 70))]


def ours(room_mm: tuple[int, int, int], contents: list[dict[str, Any]], kind: str = "") -> float:
    """The hottest hour of the skin of a good by the network."""
    filler_g = room_mm[0] * room_mm[1] * room_mm[2] * 1e-6 * 30
    outer = [side + 8 for side in room_mm]
    packed = pack_parcel(parcel(contents, outer_mm=outer, carton_g=200, filler_g=filler_g))
    node = {"wax": packed.wax, "honey": packed.honey}[kind or contents[0]["kind"]]
    assert node is not None
    return max(temperatures_c(packed.network, run(packed.network, packed.start_c(24.0), AIR_C), node))


def cubes(room_mm: tuple[int, int, int], boxes: list[Box], **more: float) -> list[float]:
    """The hottest hour of every piece by the cubes."""
    return [max(hourly) for hourly in pieces_c(room_mm, 4, boxes, AIR_C, **more)]


def bars(x: float, y: float, z: float, layers: int = 5) -> list[Box]:
    """Two stacks of bars from a corner on."""
    return [((x, y + 40 * row, z + 12 * layer), (78, 40, 12), BAR_MATTER) for layer in range(layers) for row in range(2)]


def jars(x: float, y: float, z: float) -> list[Box]:
    """Two jars in a row, three millimeters of paper between them, from a corner on."""
    return [((x + 75 * which, y, z), (72, 72, 118), JAR_MATTER) for which in range(2)]


@pytest.mark.parametrize(("room_mm", "corner"), [((152, 102, 102), (36, 11, 21)), ((250, 200, 150), (86, 60, 45))])
def test_ten_bars_in_two_stacks(room_mm: tuple[int, int, int], corner: tuple[int, int, int]) -> None:
    assert max(cubes(room_mm, bars(*corner))) == pytest.approx(ours(room_mm, [BAR]), abs=2.0)


@pytest.mark.parametrize("side", [200, 300])
def test_two_jars_in_a_large_carton(side: int) -> None:
    middle = side / 2
    boxes = jars(middle - 75, middle - 36, middle - 59)
    assert max(cubes((side, side, side), boxes, cube_mm=16.0)) == pytest.approx(ours((side, side, side), [JAR]), abs=2.0)


@pytest.mark.parametrize(("room_mm", "jars_at", "bars_at"), MIXED)
def test_bars_and_jars_in_one_carton(
    room_mm: tuple[int, int, int], jars_at: tuple[int, int, int], bars_at: tuple[int, int, int]
) -> None:
    """Side by side: the hottest bar against our wax, the hottest jar against our honey."""
    found = cubes(room_mm, [*jars(*jars_at), *bars(*bars_at)])
    assert max(found[2:]) == pytest.approx(ours(room_mm, [BAR, JAR], "wax"), abs=2.0)
    assert max(found[:2]) == pytest.approx(ours(room_mm, [BAR, JAR], "honey"), abs=2.0)


def test_the_glass_and_a_wide_gap_keep_a_jar_cooler() -> None:
    room = (300, 300, 300)
    assert ours(room, [JAR]) < ours(room, [{**JAR, "glass_g": 0}]) - 0.2
    assert ours(room, [JAR]) < ours((200, 200, 200), [JAR]) - 1.0
