"""When to melt, held to scipy's exact compound distributions to 1e-9, and to published figures of other books.

The outside distribution is made without any recursion: scipy's counts of callers, and the orders of n callers by
numpy's convolution of a long grid.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest
from scipy import stats

from honeyhold.stock.callers import learn
from honeyhold.stock.demand import at_most, compound_gamma_poisson, smallest_covering
from honeyhold.stock.restock import melt_by
from reference.poisson import compound_poisson
from reference.reorder import expected_missing, make_once, once_cost, reorder_figures

TODAY = date(2026, 7, 21)
SIZES = {5: 0.6, 10: 0.4}
GRID = 2048


@cache
def orders_of(sizes: tuple[tuple[int, float], ...], callers_most: int) -> np.ndarray:
    """A row for each number of callers up to so many less one: the chance of 0 .. GRID units, convolved order by order."""
    one = np.zeros(GRID)
    for units, part in sizes:
        one[units] = part
    rows = np.zeros((callers_most, GRID))
    rows[0, 0] = 1.0
    for callers in range(1, callers_most):
        rows[callers] = np.convolve(rows[callers - 1], one)[:GRID]
    return rows


def compound(counts: np.ndarray, sizes: Mapping[int, float]) -> np.ndarray:
    """Chance of 0 .. GRID units when `counts[n]` is the chance of n callers."""
    return np.asarray(counts @ orders_of(tuple(sizes.items()), len(counts)))


@pytest.mark.parametrize("callers", [0.7, 4.0, 11.0])
@pytest.mark.parametrize("sizes", [SIZES, {1: 0.5, 2: 0.2, 6: 0.3}])
def test_reorder_figures_equal_scipys_distribution(callers: float, sizes: dict[int, float]) -> None:
    exact = compound(stats.poisson.pmf(np.arange(80), callers), sizes)
    ours = compound_poisson(callers, sizes, 400)
    mean = callers * sum(units * part for units, part in sizes.items())
    below = np.cumsum(exact)
    assert np.max(np.abs(np.array(ours) - exact[:401])) < 1e-9
    for units in (0, 10, 25, 40, 90):
        missing = float(np.sum(np.maximum(np.arange(GRID) - units, 0) * exact))
        assert expected_missing(ours, mean, units) == pytest.approx(missing, abs=1e-9)
    for reorder_units in (10, 40, 55):
        step = int(np.gcd.reduce([10, *sizes]))
        positions = range(reorder_units + step, reorder_units + 11, step)
        on_shelf = float(np.mean([below[position - 1] for position in positions]))
        waiting = float(np.mean([np.sum(np.maximum(np.arange(GRID) - position, 0) * exact) for position in positions]))
        figures = reorder_figures(ours, mean, sizes, reorder_units, 10)
        assert figures.chance_on_shelf == pytest.approx(on_shelf, abs=1e-9)
        assert figures.waiting_units == pytest.approx(waiting, abs=1e-9)
        assert figures.on_hand_units == pytest.approx(float(np.mean(list(positions))) - mean + waiting, abs=1e-9)


@pytest.mark.parametrize("free", [20, 45, 70, 120])
def test_the_day_to_melt_by_is_scipys(free: int) -> None:
    """The last day on which scipy's gamma-Poisson counts, compounded, still leave a chance of one in twenty or less."""
    sales = [{"on": (TODAY - timedelta(days=ago)).isoformat(), "units": 10 if ago % 3 == 0 else 5} for ago in range(0, 60, 2)]
    answer = melt_by({"good": {"name": "bar"}, "today": TODAY.isoformat(), "free_units": free, "sales": sales})
    callers = learn({"today": TODAY, "sales": sales})

    def short(days: int) -> float:
        """Days without a rush and days with one, each compounded by scipy and numpy, mixed."""
        rush, below = callers.rushes.chance_within(days), []
        for exposure in callers.rushes.exposures(callers.exposure(TODAY, days), days):
            scale = exposure / callers.days
            counts = stats.nbinom.pmf(np.arange(220), callers.shape, 1 / (1 + scale)) if scale else np.eye(1, 220)[0]
            below.append(float(np.cumsum(compound(counts, callers.sizes))[free]))
        return 1 - (1 - rush) * below[0] - rush * below[1]

    last = max(0, next((days for days in range(28) if short(days + 1) > 0.05), 28) - 1)
    assert answer["melt_by"] == (TODAY + timedelta(days=last)).isoformat()
    assert 1 - at_most(callers.units(TODAY, last + 1, free), free) == pytest.approx(short(last + 1), abs=1e-9)


def normal(mean: float, sd: float, per_unit: int, top: int) -> list[float]:
    """A normal distribution on a grid of 1 / `per_unit`, from nothing to `top`: put far enough to the right to hold its tails."""
    edges = (np.arange(top * per_unit + 2) - 0.5) / per_unit
    return [float(p) for p in np.diff(stats.norm.cdf(edges, mean, sd))]


def test_normal_newsvendor_of_matching_supply_with_demand() -> None:
    """Cachon and Terwiesch, Matching Supply with Demand, Q12.1: N(200, 80), ratio 8/12. Exact 234.458; their table, which
    rounds z up to .44, says 235.2."""
    chance = normal(600, 80, 20, 1100)
    assert make_once(chance, 600.0 * 20, 8.0, 4.0) / 20 - 400 == pytest.approx(234.458, abs=0.05)


def test_normal_loss_of_matching_supply_with_demand() -> None:
    """The same, appendix B: L(2) = .0085; N(1000, 300) and 1600 on hand lack 2.55 on average."""
    chance = normal(2000, 300, 4, 4000)
    lacking = expected_missing(chance, 2000.0 * 4, 2600 * 4) / 4
    assert lacking == pytest.approx(2.55, abs=0.005) and lacking / 300 == pytest.approx(0.0085, abs=5e-5)


def test_snyder_and_shen_normal_newsvendor() -> None:
    """Snyder and Shen, Fundamentals of Supply Chain Theory, example 4.3: N(50, 8), holding .18, penalty .70: 56.603956 at a
    cost of 1.997605 (stockpyl 1.0.2 says the same)."""
    per_unit = 50
    chance = normal(50, 8, per_unit, 120)
    best = make_once(chance, 50.0 * per_unit, 0.70, 0.18)
    assert best / per_unit == pytest.approx(56.603956, abs=1 / per_unit)
    assert once_cost(chance, 50.0 * per_unit, best, 0.70, 0.18) / per_unit == pytest.approx(1.997605, abs=1e-3)


def test_snyder_and_shen_reorder_point_and_batch() -> None:
    """The same, example 5.8: Poisson 1.5 a period, two periods, holding 20, penalty 150, 100 a batch: (3, 5) at 107.923581,
    better than its neighbours."""
    chance = compound_poisson(3.0, {1: 1.0}, 60)

    def cost(reorder_units: int, batch: int) -> float:
        figures = reorder_figures(chance, 3.0, {1: 1.0}, reorder_units, batch)
        return 100 * 1.5 / batch + 20 * figures.on_hand_units + 150 * figures.waiting_units

    assert cost(3, 5) == pytest.approx(107.923581, abs=1e-6)
    assert min((cost(r, q), r, q) for r in range(7) for q in range(1, 12))[1:] == (3, 5)


def test_snyder_and_shen_when_each_start_costs() -> None:
    """The same, example 3.1, the economic order quantity: 8 a start, .225 to hold one for a year, 1,300 a year: 304.046780.

    Every start then falls at an empty shelf with nobody waiting, so `reorder_figures` with no wanted units gives the mean on hand.
    Counted in halves of a unit the cheapest batch is the published one to the half, at the published cost: the square root of 2 K D h.
    """
    per_unit = 2
    sizes, nobody = {1: 1.0}, [1.0]

    def cost(batch: int) -> float:
        held = reorder_figures(nobody, 0.0, sizes, 0, batch).on_hand_units / per_unit
        return 8 * 1300 * per_unit / batch + 0.225 * held

    best = min(range(300 * per_unit, 309 * per_unit), key=cost)
    assert best / per_unit == pytest.approx(304.046780, abs=0.5 / per_unit)
    steps = 0.225 / 2 / per_unit  # sold in steps, a batch lies half a step longer than sold without steps
    assert cost(best) - steps == pytest.approx(float(np.sqrt(2 * 8 * 1300 * 0.225)), abs=1e-4)


def fill_up_cost(chance: list[float], mean: float, low: int, full: int) -> float:
    """Cost a period of the (s, S) rule by renewal: 5 a start, 1 a unit left, 4 a unit short (Snyder and Shen, chapter 4)."""
    visits = [1 / (1 - chance[0])]
    for gone in range(1, full - low):
        visits.append(sum(chance[n] * visits[gone - n] for n in range(1, gone + 1)) / (1 - chance[0]))
    costs = [once_cost(chance, mean, full - gone, 4.0, 1.0) if full >= gone else 4 * (mean + gone - full) for gone in range(full - low)]
    return (5 + sum(visit * cost for visit, cost in zip(visits, costs, strict=True))) / sum(visits)


def test_snyder_and_shen_filling_up_when_each_start_costs() -> None:
    """The same, the demand of example 4.7 (Poisson 6, holding 1, penalty 4) with 5 a start: fill up to 10 whenever 4 or fewer are left, at
    8.034112 a period (stockpyl 1.0.2's exact method says the same). The distribution and the cost of a period are ours."""
    chance = compound_poisson(6.0, {1: 1.0}, 80)
    assert fill_up_cost(chance, 6.0, 4, 10) == pytest.approx(8.034112, abs=1e-6)
    assert min((fill_up_cost(chance, 6.0, s, full), s, full) for s in range(9) for full in range(s + 1, 20))[1:] == (4, 10)


@pytest.mark.parametrize(("z", "loss"), [(0, 0.398942), (1, 0.083315), (1.28, 0.047499), (1.6449, 0.020891), (2, 0.008491), (3, 0.000382)])
def test_loss_of_the_unit_normal(z: float, loss: float) -> None:
    """The unit normal loss function, its closed form pdf(z) - z (1 - cdf(z)) by scipy: rounded to six places as printed in tables."""
    assert float(stats.norm.pdf(z) - z * stats.norm.sf(z)) == pytest.approx(loss, abs=1e-6)
    per_unit = 1000
    chance = normal(8, 1, per_unit, 16)
    assert expected_missing(chance, 8.0 * per_unit, round((8 + z) * per_unit)) / per_unit == pytest.approx(loss, abs=6e-6)  # z to .001


def test_what_a_wrong_model_would_cost() -> None:
    """Four callers of five or ten: the normal and the negative binomial of the same mean and variance, by scipy, beside the exact one.

    For 95 % the normal says 52.40 and the negative binomial 56, and it is 55; at 40 they lack 1.754730 and 2.204057, plain Poisson
    .033061, and it is 2.027977.
    """
    exact = compound_poisson(4.0, SIZES, 400)
    mean, variance = 28.0, 220.0
    sd = float(np.sqrt(variance))
    z = (40 - mean) / sd
    assert float(stats.norm.ppf(0.95, mean, sd)) == pytest.approx(52.40, abs=0.005)
    assert sd * float(stats.norm.pdf(z) - z * stats.norm.sf(z)) == pytest.approx(1.754730, abs=1e-6)
    shape, part = mean**2 / (variance - mean), mean / variance
    assert (shape, part) == pytest.approx((4.083333, 0.127273), abs=1e-6)
    matched = compound_gamma_poisson(shape, (1 - part) / part, {1: 1.0}, 600)
    assert smallest_covering(matched, 0.95) == 56 and smallest_covering(exact, 0.95) == 55
    assert expected_missing(matched, mean, 40) == pytest.approx(2.204057, abs=1e-6)
    assert expected_missing(compound_poisson(28.0, {1: 1.0}, 200), mean, 40) == pytest.approx(0.033061, abs=1e-6)
    assert expected_missing(exact, mean, 40) == pytest.approx(2.027977, abs=1e-6)
