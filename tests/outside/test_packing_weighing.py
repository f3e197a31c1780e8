"""Check-weighing held against 50,000 seeded weighings, and against the normal distribution's own figures."""

from __future__ import annotations

from itertools import product
from random import Random
from statistics import NormalDist
from typing import Any

from pytest import approx

from honeyhold.packing.weighing.scale import (
    Z_ONE_IN_200,
    can_tell,
    doubt_from_g,
    learn_mass,
    scale_tolerance_g,
    spread_by_difference,
    weigh_check,
)

BAR = 28.349523125
PARCEL: dict[str, Any] = {"contents": {"bar": 10}, "gross_g": 600, "gross_sd_g": 12}
PIECES = [{"id": "bar", "label": "wax bar", "mass_g": BAR, "mass_sd_g": 1}]


def check(net: float, division: float) -> str:
    shown = round((180 + net) / division) * division
    request = {"parcel": PARCEL, "pieces": PIECES, "scale_g": shown, "division_g": division, "empty_g": 180}
    return str(weigh_check(request)["verdict"])


def test_the_limit_is_that_of_one_in_200() -> None:
    """Two-sided 1 in 200 of the normal distribution (Python's own NormalDist)."""
    assert approx(NormalDist().inv_cdf(1 - 1 / 400), abs=5e-4) == Z_ONE_IN_200


def chance_of_a_false_alarm(count: int, spread_g: float, division_g: int) -> float:
    """Exact, without a draw: the shown difference is the step nearest to what the bars weigh plus where in its division the empty carton
    lay; a normal and a uniform added have the distribution below (the normal's own, integrated over one division)."""
    usual, mean_g, sd_g = NormalDist(), count * BAR, spread_g * count**0.5

    def below(limit_g: float) -> float:
        low, high = ((limit_g - mean_g + half) / sd_g for half in (-division_g / 2, division_g / 2))
        return sd_g / division_g * (high * usual.cdf(high) + usual.pdf(high) - low * usual.cdf(low) - usual.pdf(low))

    doubt_g = doubt_from_g(spread_by_difference([(count, spread_g)], division_g), division_g)
    steps = range(int((mean_g - doubt_g) / division_g) - 1, int((mean_g + doubt_g) / division_g) + 2)
    believed = [step for step in steps if abs(step * division_g - mean_g) <= doubt_g]
    return 1 - below((believed[-1] + 0.5) * division_g) + below((believed[0] - 0.5) * division_g)


def test_no_right_parcel_is_doubted_more_than_once_in_200() -> None:
    """Worked out exactly for 1 to 60 bars, spreads of 0.2 to 3 g and divisions of 1, 2, 5 and 10 g: the worst lies just under 1 in 200."""
    cases = product(range(1, 61), range(2, 31), (1, 2, 5, 10))
    worst = max(chance_of_a_false_alarm(count, tenths / 10, division) for count, tenths, division in cases)
    assert 1 / 220 < worst <= 1 / 200


def test_the_exact_chance_is_what_weighings_come_to() -> None:
    """The worst parcel of the benchmark, 50 bars of 1 g spread on a scale of 1 g: 0.471 %; 40,000 seeded weighings agree."""
    exact, chance, runs = chance_of_a_false_alarm(50, 1.0, 1), Random(50), 40_000
    assert exact == approx(0.00471, abs=5e-6)
    parcel, doubted = {**PARCEL, "contents": {"bar": 50}}, 0
    for _ in range(runs):
        shown = round(180 + sum(chance.gauss(BAR, 1) for _ in range(50)) + chance.uniform(-0.5, 0.5))
        request = {"parcel": parcel, "pieces": PIECES, "scale_g": shown, "division_g": 1, "empty_g": 180}
        doubted += weigh_check(request)["verdict"] in ("light", "heavy")
    assert abs(doubted / runs - exact) <= 3 * (exact / runs) ** 0.5


def test_spread_of_ten_bars_by_difference() -> None:
    """sqrt(n s^2 + 2 d^2 / 12), derived from uniform rounding: 3.27 g; and the table's other corners."""
    assert spread_by_difference([(10, 1.0)], 2) == approx(3.266, abs=0.001)
    assert spread_by_difference([(5, 0.5)], 2) == approx(1.4, abs=0.05)
    assert spread_by_difference([(50, 1.5)], 5) == approx(10.8, abs=0.05)


def test_one_bar_can_be_told_to_a_spread_of_5_95_g() -> None:
    """z = 2.807 + 1.960 spreads in 28.35 g."""
    assert can_tell(BAR, 5.94) and not can_tell(BAR, 5.96)


def test_false_alarms_and_misses_in_many_weighings() -> None:
    """Ten bars, spread 1 g each, divisions of 2 g: at most 1 false alarm in 200, a short bar found at least 999 in 1,000 times."""
    chance, wolf, found = Random(20261125), 0, 0
    runs = 25_000
    for _ in range(runs):
        bars = [chance.gauss(BAR, 1) for _ in range(10)]
        empty = chance.uniform(-1, 1)  # where in its division the empty carton lay
        wolf += check(sum(bars) + empty, 2) in ("light", "heavy")
        found += check(sum(bars[:9]) + empty, 2) == "light"
    assert wolf / runs <= 1 / 200
    assert found / runs >= 0.999


def test_tolerance_of_a_class_iii_scale() -> None:
    """NIST Handbook 44, 2.20, maintenance tolerances, in divisions (as read in two secondary texts): at 4 kg, e = 5 g, 10 g."""
    assert scale_tolerance_g(4000, 5) == 10 and scale_tolerance_g(2500, 5) == 5 and scale_tolerance_g(15_000, 5) == 15


def test_learning_comes_to_the_true_mass_and_spread() -> None:
    """Weighings drawn from a normal distribution of known mean and spread give them back (its maximum-likelihood limits)."""
    chance = Random(7)
    rows = [{"count": 10, "net_g": sum(chance.gauss(30.4, 0.8) for _ in range(10)), "division_g": 0.1} for _ in range(400)]
    learned = learn_mass({"mass_g": 29, "mass_sd_g": 2, "weight": 4, "weighings": rows})
    assert learned["mass_g"] == approx(30.4, abs=0.05) and learned["mass_sd_g"] == approx(0.8, abs=0.12)


def test_one_blunder_teaches_nothing() -> None:
    """Nine bars weighed as ten, once among eight: the answer is that of the other seven."""
    chance = Random(8)
    rows = [{"count": 10, "net_g": round(sum(chance.gauss(30.4, 0.8) for _ in range(10))), "division_g": 1} for _ in range(7)]
    right = learn_mass({"mass_g": 29, "mass_sd_g": 2, "weight": 4, "weighings": rows})
    blunder = learn_mass({"mass_g": 29, "mass_sd_g": 2, "weight": 4, "weighings": [*rows, {"count": 10, "net_g": 243, "division_g": 1}]})
    assert blunder == {**right, "left_out": 1} and right["left_out"] == 0
