"""The solver against closed forms, textbook answers and SciPy's stiff integrator.

Where a textbook case lasts seconds, an hour stands for them: all heat capacities grow by 3600 s over the
case's time, which leaves the equation as it was.
"""

from __future__ import annotations

import math

import pytest
from tests.heat.asking import BARS, CHILL, JARS, LINER, parcel
from tests.outside.heat_closed_forms import (
    deep_ground_c,
    deep_ground_exact_c,
    face_c,
    lump_c,
    melted_mm,
    neumann_lambda,
    wall,
)
from tests.outside.heat_reference import temperature_by_radau

from honeyhold.heat.network import Network, plain_node, run, temperatures_c
from honeyhold.heat.parcel import pack_parcel

SUMMER_TRIP = [30 + 14 * math.sin(2 * math.pi * (hour - 9) / 24) + hour * 0.1 for hour in range(73)]


def test_a_lump_warms_as_incropera_says() -> None:
    """Incropera Ex. 5.1: sphere with time constant 1 s, 25 to 199 C in gas at 200 C: 5.16 s (closed form ln 175)."""
    assert math.log(175) == pytest.approx(5.165, rel=5e-4)
    assert lump_c() == pytest.approx(199.0, abs=0.03)  # 0.5 % of 5.165 s is 0.026 K


def test_a_plane_wall_warms_as_incropera_says() -> None:
    """Incropera Ex. 5.4:

    L 40 mm, k 63.9, alpha 18.8e-6, h 500, from -20 in oil at 60 C; after 480 s 43.0 and 45.4 C.
    """
    rho_c = 63.9 / 18.8e-6 * 3600 / 480
    network, half = wall(0.04, 30, 63.9, rho_c, 500)
    states = run(network, [-20.0] * 30, [60.0, 60.0])
    assert temperatures_c(network, states, 29)[1] == pytest.approx(43.0, abs=0.2)
    assert face_c(network, states, 1, 60.0, half) == pytest.approx(45.4, abs=0.2)


def test_deep_ground_cools_as_geankoplis_says() -> None:
    """Geankoplis 5.3-1: surface -5.17 C after 5 h, by the book and by the closed form."""
    assert deep_ground_exact_c() == pytest.approx(-5.17, abs=0.02)
    assert deep_ground_c() == pytest.approx(-5.17, abs=0.1)


@pytest.mark.parametrize(("wall_c", "front_mm"), [(25.0, 17.07), (8.0, None), (40.0, None)])
def test_a_melting_front_goes_as_neumann_says(wall_c: float, front_mm: float | None) -> None:
    """Ice at 0 C, wall at 25 C, L 336e3, c 4184, k 0.598, rho 1000: 17.07 mm in an hour; other walls by the same root."""
    ours_mm, exact_mm = melted_mm(wall_c)
    if front_mm is not None:
        assert exact_mm == pytest.approx(front_mm, abs=0.01)
    assert ours_mm == pytest.approx(exact_mm, rel=0.02)


def test_the_root_at_five_stefan_numbers() -> None:
    roots = [neumann_lambda(stefan) for stefan in (0.05, 0.1, 0.2, 0.5, 1.0)]
    assert roots == pytest.approx([0.1568, 0.2200, 0.3064, 0.4648, 0.6201], abs=1e-4)


@pytest.mark.parametrize("dressing", [{}, {"liner": LINER}, {"liner": LINER, "chill": CHILL}])
@pytest.mark.parametrize("contents", [[BARS], [BARS, JARS]])
def test_a_trip_agrees_with_scipy(dressing: dict[str, object], contents: list[dict[str, object]]) -> None:
    """The same network and air by SciPy's Radau at 1e-7: wax within 0.05 K at every hour of three days."""
    packed = pack_parcel(parcel(contents, **dressing))
    assert packed.wax is not None
    own = temperatures_c(packed.network, run(packed.network, packed.start_c(24), SUMMER_TRIP), packed.wax)
    theirs = temperature_by_radau(packed.network, packed.start_c(24), SUMMER_TRIP, packed.wax)
    assert max(own) > 38  # wax did begin to melt
    assert max(abs(a - b) for a, b in zip(own, theirs, strict=True)) < 0.05


def test_a_parked_car_warms_as_mclaren_saw() -> None:
    """McLaren, Null, Quinn 2005: about 22 K over ambient in 60 minutes (17.8 to 28.3), 75 to 85 % of it by
    30.

    One lump with plausible inputs: 2.6 m2 of glass letting in 0.55 of 800 W/m2, 47 W/K to outdoors, 55 kJ/K
    of air and trim.
    """
    glow_w, loss, heat = 2.6 * 0.55 * 800, 47.0, 55e3
    network = Network([plain_node("cabin", heat * 2)], [], [(0, loss)])  # an hour stands for 30 minutes
    rise = temperatures_c(network, run(network, [0.0], [glow_w / loss] * 3), 0)
    assert rise[2] == pytest.approx(22.2, abs=3) and 17.8 <= rise[2] <= 28.3
    assert 0.75 <= rise[1] / rise[2] <= 0.85
