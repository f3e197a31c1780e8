"""Yields, water, color and money in time, each against its source."""

from __future__ import annotations

import pytest
from scipy import stats
from scipy.optimize import brentq

from honeyhold.packing.model.measures import MM_PER_IN
from honeyhold.stock.honey import honey_moisture, index_from_water, water_percent
from honeyhold.stock.units import OUNCE_G
from honeyhold.stock.yields import (
    bars_from_wax,
    chance_of_good,
    pours_needed,
    present_value,
    wax_for_bars_g,
    would_a_press_pay,
)

# Refractive index at 20 °C by water percent after Chataway, as printed by S. Bogdanov, The Book of Honey,
# chapter 4.
CHATAWAY = {
    13.0: 1.5044, 13.4: 1.5033, 14.0: 1.5018, 14.6: 1.5002, 15.0: 1.4992, 15.6: 1.4976, 16.0: 1.4966,
    16.4: 1.4956, 17.0: 1.4940, 17.4: 1.4930, 18.0: 1.4915, 18.6: 1.4900, 19.0: 1.4890, 19.6: 1.4875,
    20.0: 1.4865, 20.8: 1.4845, 21.0: 1.4840, 22.0: 1.4815, 23.0: 1.4790, 24.0: 1.4765, 25.0: 1.4740,
}  # fmt: skip


@pytest.mark.parametrize(("percent", "index"), CHATAWAY.items())
def test_water_from_refractive_index(percent: float, index: float) -> None:
    assert water_percent(index) == pytest.approx(
        percent, abs=0.04
    )  # the table's indices have four places: 0.02 each way
    assert index_from_water(percent) == pytest.approx(index, abs=0.0001)


def test_warm_reading_is_corrected_and_then_passes() -> None:
    """1.4890 at 25 °C: 18.53 %, under the 18.6 % of grade A (USDA 1985); uncorrected 18.99 % would fail."""
    warm = honey_moisture({"index": 1.4890, "temperature_c": 25, "corrects_itself": False})
    assert (warm["water_percent"], warm["grade_a"]) == (18.53, True)
    itself = honey_moisture({"index": 1.4890, "temperature_c": 25, "corrects_itself": True})
    assert (itself["water_percent"], itself["grade_a"], itself["corrected"]) == (18.99, False, False)


def test_cappings_of_six_hundred_pounds_of_honey_give_134_bars() -> None:
    assert bars_from_wax(3878.21) == 134  # 600 lb x 1.5 % cappings, 5 % lost in melting
    assert wax_for_bars_g(85) == pytest.approx(2452.25, abs=0.1)
    assert wax_for_bars_g(85) / float(16 * OUNCE_G) == pytest.approx(5.406, abs=0.001)


def test_specks_are_binomial() -> None:
    """Against scipy's binomial: 6 % specked, 85 good wanted; nine pours of ten are not enough, ten are."""
    for poured, wanted in {85: 0.0052, 90: 0.5440, 95: 0.9729, 100: 0.9997}.items():
        chance = chance_of_good(poured, 85, 94)
        assert chance == pytest.approx(wanted, abs=5e-5)
        assert chance == pytest.approx(float(stats.binom.sf(84, poured, 0.94)), abs=1e-12)
    assert pours_needed(85, 94) == 10
    assert pours_needed(0, 94) == 0


def test_press_payback() -> None:
    """Press $480, 80 %, upkeep $15, 6 %, five years; present values of numpy-financial."""
    answer = would_a_press_pay(
        {"price_cents": 48_000, "gallons_lost": {"low": 3, "middle": 3.5, "high": 4}, "recovered_percent": 80}
    )
    assert answer["per_year_cents"] == {"low": 22_500, "middle": 26_500, "high": 30_500}
    assert answer["payback_years"] == {"low": 2.1333, "middle": 1.8113, "high": 1.5738}
    assert answer["worth_cents"] == {"low": 46_778, "middle": 63_628, "high": 80_477}
    interest = brentq(lambda percent: present_value(480, 265, 5, percent), 1, 200)
    annuity = (1 - (1 + interest / 100) ** -5) / (interest / 100)  # the sum of the years in closed form
    assert annuity * 265 == pytest.approx(480)
    assert interest == pytest.approx(47.2, abs=0.05)  # the rate at which the press is worth nothing more, to one place


def test_measures_are_the_international_ones() -> None:
    """NIST Handbook 44, appendix C: a pound is 453.59237 g, an inch 25.4 mm, both exact."""
    assert float(16 * OUNCE_G) == 453.59237
    assert float(OUNCE_G) == 28.349523125
    assert MM_PER_IN * 10 == 254
