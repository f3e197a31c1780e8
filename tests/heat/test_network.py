"""The solver by itself: heat is kept, melting stands still, nothing blows up, more mass is slower."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.heat.asking import BARS, CHILL, JARS, LINER, parcel

from honeyhold.heat.compiled_step import _any, stride_of
from honeyhold.heat.network import DOUBLINGS, Network, halving_error_k, plain_node, run, temperatures_c
from honeyhold.heat.parcel import PAPER_J_PER_KG_K, pack_node, pack_parcel

HOT_DAYS = [20 + 15 * abs(((hour + 4) % 24) - 12) / 12 for hour in range(97)]


def test_a_closed_network_keeps_its_heat_while_a_pack_melts() -> None:
    packed = pack_parcel(parcel([BARS, JARS], liner=LINER, chill=CHILL))
    closed = Network(packed.network.nodes, packed.network.links, [])
    states = run(closed, packed.start_c(30.0), [0.0] * 73)
    pack = packed.pack
    assert pack is not None and states[-1][pack] - states[0][pack] > 5_000  # something did flow
    total = sum(states[0])
    assert all(sum(state) == pytest.approx(total, rel=1e-9) for state in states)


def test_heat_through_the_wall_is_what_the_parcel_gained() -> None:
    """The air stands in as one more lump, so large that it hardly cools: what it lost the parcel must have
    gained.
    """
    packed = pack_parcel(parcel(liner=LINER, chill=CHILL))
    (wall, conductance), *_ = packed.network.air_links
    nodes = [*packed.network.nodes, plain_node("air", 1e9)]
    whole = Network(nodes, [*packed.network.links, (wall, len(nodes) - 1, conductance)], [])
    states = run(whole, [*packed.start_c(24.0), 38.0], [0.0] * 49)
    lost = states[0][-1] - states[-1][-1]
    gained = sum(states[-1][:-1]) - sum(states[0][:-1])
    assert gained == pytest.approx(lost, rel=1e-3) and gained > 100_000
    open_states = run(packed.network, packed.start_c(24.0), [38.0] * 49)
    assert sum(open_states[-1]) - sum(open_states[0]) == pytest.approx(gained, rel=1e-3)


def test_a_pack_holds_its_melting_point_until_its_latent_heat_is_spent() -> None:
    """Ice 333.5 kJ/kg (Yen, CRREL 1981): 0.45 kg under a steady 10 W takes 150 075 J, a little over four
    hours.
    """
    mass_kg, watts = 0.45, 10.0
    node = pack_node(mass_kg, 333_500)
    far = plain_node("far", 1e12)  # 1e5 degrees away over a weak link: a steady flow
    network = Network([node, far], [(0, 1, watts / 1e5)], [])
    states = run(network, [0.0, 1e5], [0.0] * 7)
    hours = mass_kg * 333_500 / watts / 3600
    at = temperatures_c(network, states, 0)
    assert [t == pytest.approx(0, abs=1e-9) for t in at] == [hour <= hours for hour in range(7)]
    assert states[4][0] == pytest.approx(4 * 3600 * watts, rel=1e-3)
    assert at[5] == pytest.approx((5 - hours) * 3600 * watts / (mass_kg * 4218), rel=0.01)


def test_no_step_blows_up_however_light_the_wall() -> None:
    network = Network([plain_node("wall", 1e-3), plain_node("load", 500.0)], [(0, 1, 0.3)], [(0, 5.0)])
    states = run(network, [20.0, 20.0], [20.0, 60.0] * 40)
    for index in (0, 1):
        assert all(19.9 <= t <= 60.1 for t in temperatures_c(network, states, index))


def test_halving_the_step_changes_less_than_a_twentieth_of_a_degree() -> None:
    for one in (parcel(), parcel([BARS, JARS], liner=LINER, chill=CHILL)):
        packed = pack_parcel(one)
        assert packed.wax is not None
        assert (
            halving_error_k(packed.network, packed.start_c(24), [t + 10 for t in HOT_DAYS], packed.wax) < 0.05
        )
    assert 2**DOUBLINGS == 16


@pytest.mark.parametrize("size", [4, 5, 6, 7])
def test_the_written_out_product_gives_the_same_bits(size: int) -> None:
    rows = [[((i * 7 + j * 3) % 11) / 13 - 0.3 for j in range(size + 3)] for i in range(size)]
    state = [(i * 5 % 7) / 3 for i in range(size)]
    assert stride_of(rows)(state, 1.7, -2.3) == _any(rows)(state, 1.7, -2.3)


@settings(max_examples=25, deadline=None)
@given(mass_g=st.floats(10, 400), factor=st.floats(1.05, 4), air=st.floats(26, 60))
def test_more_mass_is_slower(mass_g: float, factor: float, air: float) -> None:
    def course(grams: float) -> list[float]:
        packed = pack_parcel(parcel([{**BARS, "mass_g": grams}]))
        assert packed.wax is not None
        return temperatures_c(packed.network, run(packed.network, packed.start_c(24), [air] * 25), packed.wax)

    assert all(
        heavy <= light + 1e-6 for light, heavy in zip(course(mass_g), course(mass_g * factor), strict=True)
    )


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(-10, 55), min_size=5, max_size=40), st.floats(0.5, 12))
def test_hotter_air_never_gives_cooler_wax(air: list[float], warmer: float) -> None:
    packed = pack_parcel(parcel(liner=LINER, chill=CHILL))
    assert packed.wax is not None
    cool, warm = (
        temperatures_c(packed.network, run(packed.network, packed.start_c(24), series), packed.wax)
        for series in (air, [t + warmer for t in air])
    )
    assert all(a <= b + 0.02 for a, b in zip(cool, warm, strict=True))  # 0.02 K: the step's own error


def test_the_wall_weighs_what_the_carton_weighs() -> None:
    packed = pack_parcel(parcel(carton_g=200))
    assert packed.network.nodes[0].corners[1] == (0.2 * PAPER_J_PER_KG_K, 1.0)
