"""Restocking held to reference libraries and published examples.

Distributions are checked against scipy (its Poisson, binomial and negative binomial, convolved here); the
worked examples carry their source beside them.
"""

from __future__ import annotations

import math

import pytest
from scipy import stats

from honeyhold.stock.allocation import divide
from honeyhold.stock.demand import at_most, compound_gamma_poisson, smallest_covering
from reference.poisson import compound_poisson, expected_short
from reference.reorder import croston, expected_missing, expected_served, make_once, once_cost, reorder_figures, smoothed

SIZES = {5: 0.6, 10: 0.4}
ONE = {1: 1.0}


def by_hand(claim_chance: list[float], sizes: dict[int, float], units_max: int) -> list[float]:
    """The sum of n orders for every n, convolved one after the other: slow, and without any recursion."""
    total = [0.0] * (units_max + 1)
    orders = [1.0] + [0.0] * units_max
    for chance in claim_chance:
        total = [t + chance * o for t, o in zip(total, orders, strict=True)]
        following = [0.0] * (units_max + 1)
        for units, o in enumerate(orders):
            for size, part in sizes.items():
                if units + size <= units_max:
                    following[units + size] += o * part
        orders = following
    return total


@pytest.mark.parametrize("callers", [0.0, 0.3, 4.0, 21.5])
@pytest.mark.parametrize("sizes", [SIZES, ONE, {1: 0.2, 3: 0.5, 7: 0.3}])
def test_compound_poisson_equals_scipy_convolved(callers: float, sizes: dict[int, float]) -> None:
    numbers = [float(p) for p in stats.poisson.pmf(range(121), callers)]
    assert compound_poisson(callers, sizes, 120) == pytest.approx(by_hand(numbers, sizes, 120), abs=1e-12)


@pytest.mark.parametrize(("shape", "scale"), [(1.0, 3.0), (4.083333, 6.857143), (30.5, 0.2), (0.4, 2.0)])
def test_compound_gamma_poisson_equals_scipy_convolved(shape: float, scale: float) -> None:
    numbers = [float(p) for p in stats.nbinom.pmf(range(121), shape, 1 / (1 + scale))]
    assert compound_gamma_poisson(shape, scale, SIZES, 120) == pytest.approx(
        by_hand(numbers, SIZES, 120), abs=1e-12
    )


def test_case_a_four_callers_of_five_or_ten() -> None:
    """Computed with scipy 1.17.1: Poisson 4 callers, 5 bars with .6 and 10 with .4."""
    chance = compound_poisson(4, SIZES, 400)
    mean = sum(k * p for k, p in enumerate(chance))
    assert mean == pytest.approx(28, abs=1e-9)
    assert sum(k * k * p for k, p in enumerate(chance)) - mean**2 == pytest.approx(220, abs=1e-6)
    table = {
        0: 0.0183156389, 10: 0.1443272344, 20: 0.3900205408, 25: 0.5259583334, 30: 0.6513531950,
        40: 0.8381873091, 45: 0.8973551186, 50: 0.9376989446, 55: 0.9637136875, 60: 0.9796749897,
    }  # fmt: skip
    for units, wanted in table.items():
        assert at_most(chance, units) == pytest.approx(wanted, abs=1e-10)
    for units, wanted in {40: 2.02797672, 50: 0.70568886, 55: 0.39418358, 60: 0.21275202}.items():
        assert expected_missing(chance, 28, units) == pytest.approx(wanted, abs=1e-8)
        assert expected_short(chance, units) == pytest.approx(wanted, abs=1e-8)
    enough = {0.5: 25, 0.8: 40, 0.9: 50, 0.95: 55, 0.975: 60, 0.99: 70}
    assert {service: smallest_covering(chance, service) for service in enough} == enough


def test_plain_poisson_would_be_dangerous() -> None:
    """The same mean without sizes: 37 instead of 55 bars at 95 %."""
    assert smallest_covering(compound_poisson(28, ONE, 200), 0.95) == 37 == stats.poisson.ppf(0.95, 28)


def test_case_b_reorder_point_and_pours_of_ten() -> None:
    """Figures of the (s, nQ) rule, agreeing with a simulation to .001; three service numbers that differ."""
    chance = compound_poisson(4, SIZES, 400)
    table = {
        40: (0.867771, 0.847648, 0.839598, 0.962301, 20.462301),
        50: (0.950706, 0.941227, 0.937435, 0.303468, 29.803468),
        55: (0.971694, 0.965698, 0.963299, 0.161939, 34.661939),
    }
    for reorder_units, wanted in table.items():
        it = reorder_figures(chance, 28, SIZES, reorder_units, 10)
        figures = (
            it.chance_on_shelf,
            it.part_of_units_at_once,
            it.part_of_orders_at_once,
            it.waiting_units,
            it.on_hand_units,
        )
        assert figures == pytest.approx(wanted, abs=1e-6)


def test_case_c_rounding_up_to_tens_costs_more() -> None:
    chance = compound_poisson(4, SIZES, 400)
    assert make_once(chance, 28, 3.0, 0.5) == 45
    assert make_once(chance, 28, 3.0, 0.5, 10) == 40
    for units, cost in {40: 13.097919, 45: 12.766196, 50: 13.469911}.items():
        assert once_cost(chance, 28, units, 3.0, 0.5) == pytest.approx(cost, abs=1e-6)


def test_case_d_forty_bars_for_two_devices() -> None:
    """Each next five to the device more likely to need it: 25 + 15, 19.136857 served, 20.354627 if pooled."""
    two, one, both = (compound_poisson(callers, SIZES, 400) for callers in (2, 1, 3))
    served = {n: expected_served(two, n) + expected_served(one, 40 - n) for n in range(0, 41, 5)}
    assert max(served, key=lambda n: served[n]) == 25
    assert served[25] == pytest.approx(19.136857, abs=1e-6)
    assert expected_served(both, 40) == pytest.approx(20.354627, abs=1e-6)
    assert 1 - at_most(two, 25) == pytest.approx(0.108745, abs=1e-6)
    assert 1 - at_most(one, 15) == pytest.approx(0.096488, abs=1e-6)
    assert 1 - at_most(both, 40) == pytest.approx(0.061692, abs=1e-6)
    device = {"in_reach": True, "share_units_left": 0, "gap_days": 1, "order_sizes": {"5": 0.6, "10": 0.4}}
    devices = [
        {"id": "shed", "demand_units_per_day": 14, **device},
        {"id": "tablet", "demand_units_per_day": 7, **device},
    ]
    request = {"pool_units": 40, "devices": devices, "wants": {"shed": 40, "tablet": 40}}
    moves = divide({**request, "least_chance_percent": 0})
    assert moves == {"grants": {"shed": 25, "tablet": 15}, "ask_back": {}}
    # in daily use the last order of each, wanted less than three times in ten, stays in the pool for whoever
    # calls in
    assert divide(request)["grants"] == {"shed": 20, "tablet": 10}


def test_factory_physics_poisson_ten() -> None:
    """Hopp and Spearman, Factory Physics, section 2.4.2: Poisson 10."""
    chance = compound_poisson(10, ONE, 100)
    for units, wanted in {9: 0.457930, 14: 0.916542, 15: 0.951260}.items():
        assert at_most(chance, units) == pytest.approx(wanted, abs=1e-6)


def test_loss_table_of_matching_supply_with_demand() -> None:
    """Cachon and Terwiesch, Matching Supply with Demand, appendix B: Poisson 1.25, L(0) to L(4)."""
    chance = compound_poisson(1.25, ONE, 60)
    losses = [expected_missing(chance, 1.25, units) for units in range(5)]
    assert losses == pytest.approx([1.25, 0.53650, 0.18114, 0.04961, 0.01134], abs=1e-5)


def test_snyder_and_shen_newsvendor() -> None:
    """Snyder and Shen, Fundamentals of Supply Chain Theory, example 4.7: Poisson 6, holding 1, penalty 4."""
    chance = compound_poisson(6, ONE, 80)
    assert make_once(chance, 6, 4.0, 1.0) == 8
    assert once_cost(chance, 6, 8, 4.0, 1.0) == pytest.approx(3.570107, abs=1e-6)


def test_croston_on_published_series() -> None:
    """productC of Hyndman's fpp2; figures of statsforecast 2.1.1 with weight .1."""
    sold = [
        0,
        2,
        0,
        1,
        0,
        11,
        0,
        0,
        0,
        0,
        2,
        0,
        6,
        3,
        0,
        0,
        0,
        0,
        0,
        7,
        0,
        0,
        0,
        0,
        0,
        0,
        0,
        3,
        1,
        0,
        0,
        1,
        0,
        1,
        0,
        0,
    ]
    it = croston(sold)
    assert (it.size_units, it.gap_periods) == pytest.approx((2.75025384, 2.79328007), abs=1e-8)
    assert it.units_per_period == pytest.approx(0.98459652, abs=1e-8)
    assert it.units_per_period_corrected == pytest.approx(0.93536670, abs=1e-8)


def test_croston_on_bars() -> None:
    it = croston([0, 10, 0, 0, 5, 15, 0, 0, 0, 10])
    assert (it.size_units, it.gap_periods) == pytest.approx((10.045, 2.191))
    assert it.units_per_period == pytest.approx(4.58466454, abs=1e-8)
    assert it.units_per_period_corrected == pytest.approx(4.35543131, abs=1e-8)
    assert croston([0, 0, 0]).units_per_period == 0


def test_smoothing_as_statsmodels() -> None:
    """statsmodels SimpleExpSmoothing: weight .3, level 20, four weeks."""
    values = [20.0, 35.0, 10.0, 25.0]
    assert smoothed(values[:2], 0.3, 20) == pytest.approx(24.5)
    assert smoothed(values[:3], 0.3, 20) == pytest.approx(20.15)
    assert smoothed(values, 0.3, 20) == pytest.approx(21.605)


def test_a_far_mean_does_not_run_out_of_numbers() -> None:
    chance = compound_poisson(590, ONE, 1200)
    assert math.fsum(chance) == pytest.approx(1, abs=1e-9)
    assert at_most(chance, 590) == pytest.approx(float(stats.poisson.cdf(590, 590)), abs=1e-9)
