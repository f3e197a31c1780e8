"""What a crop gives, and the honest range around it."""

from __future__ import annotations

from fractions import Fraction
from math import comb
from typing import Any

import pytest

from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.honey import honey_density_g_per_ml, honey_moisture
from honeyhold.stock.yields import bars_from_wax, chance_of_good, pours_needed, wax_for_bars_g, would_a_press_pay


def test_whole_bars_only() -> None:
    assert bars_from_wax(28.849) == 0
    assert [bars_from_wax(wax_for_bars_g(n)) for n in range(200)] == list(range(200))


PRESS = {"price_cents": 48_000, "gallons_lost": {"low": 1, "high": 4}}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"gallons_lost": 4}, "Yes: paid back in 1.4 to 1.8 years."),
        ({}, "Perhaps: paid back in 1.4 to 8.7 years, but within 5 years only if it goes well."),
        ({"gallons_lost": {"low": 0, "high": 4}}, "Perhaps: at best it pays in 1.4 years, at worst never."),
        ({"gallons_lost": 0.1}, "No: it would cost more to keep than it brings in."),
        ({"gallons_lost": 1}, "Not within 5 years: it takes 6.4 to 8.7 years, interest not counted."),
    ],
)
def test_would_a_press_pay(change: dict[str, Any], words: str) -> None:
    answer = would_a_press_pay({**PRESS, **change})
    assert answer["words"] == words
    assert any("70 to 90 %" in sentence for sentence in answer["assumed"])


@pytest.mark.parametrize(("price_cents", "gallons_lost", "words"), [
    (4999, 0.3125, "Yes: paid back in 5.0 years."),
    (5000, 0.3125, "Not within 5 years: it takes 5.0 years, interest not counted."),
    (5000, 0.1875, "No: it would cost more to keep than it brings in."),
    (5000, {"low": 0.1875, "high": 0.3125}, "Perhaps: at best it pays in 5.0 years, at worst never."),
])  # fmt: skip
def test_a_press_that_just_pays_or_just_does_not(price_cents: int, gallons_lost: object, words: str) -> None:
    """Ten dollars a year of 0.3125 gallons (2500 cents saved, 1500 of upkeep); of 0.1875 gallons nothing is left over."""
    even = {"recovered_percent": 80, "interest_percent": 0}
    assert would_a_press_pay({"price_cents": price_cents, "gallons_lost": gallons_lost, **even})["words"] == words


@pytest.mark.parametrize(("years", "taken"), [(1, True), (50, True), (0, False), (51, False)])
def test_a_press_is_reckoned_over_a_working_life(years: int, taken: bool) -> None:
    """One year to fifty; the worth of one end is that of the middle where all three are the same."""
    if not taken:
        with pytest.raises(UnreadableField, match="years"):
            would_a_press_pay({**PRESS, "years": years})
        return
    worth = would_a_press_pay({**PRESS, "years": years, "gallons_lost": 2, "recovered_percent": 80})["worth_cents"]
    assert worth["low"] == worth["middle"] == worth["high"]


def test_the_middle_of_a_range_is_half_way_where_nobody_said() -> None:
    """And what was said is taken, between the two ends."""
    ranges = ({"low": 2, "high": 4}, {"low": 2, "middle": 3, "high": 4}, {"low": 2, "middle": 4, "high": 4})
    half, said, high = (would_a_press_pay({**PRESS, "gallons_lost": one})["per_year_cents"]["middle"] for one in ranges)
    assert half == said < high
    assert would_a_press_pay({**PRESS, "gallons_lost": {"low": 0, "middle": 0.5, "high": 1}})["per_year_cents"]["middle"] < said
    with pytest.raises(UnreadableField, match="gallons_lost"):
        would_a_press_pay({**PRESS, "gallons_lost": {"low": 4, "high": 2}})


def test_water_is_told_to_a_hundredth() -> None:
    """Finer than any instrument reads."""
    told = honey_moisture({"reading_percent": 17.234, "temperature_c": 23, "corrects_itself": False})["water_percent"]
    assert told == round(told, 2)


def test_wet_honey_is_held() -> None:
    """The demonstration season's last extraction, 18.7 %: hold, do not bottle."""
    answer = honey_moisture({"reading_percent": 18.7, "temperature_c": 20, "corrects_itself": True})
    assert (answer["water_percent"], answer["grade_a"], answer["grade_c"]) == (18.7, False, True)
    assert "hold it" in answer["words"]
    assert (
        "will ferment"
        in honey_moisture({"reading_percent": 22, "temperature_c": 20, "corrects_itself": True})["words"]
    )


def test_a_reading_that_no_honey_has_is_asked_for_again() -> None:
    for kept in (10, 35):
        assert honey_moisture({"reading_percent": kept, "temperature_c": 20, "corrects_itself": True})["water_percent"] == kept
    for beyond in (9.9, 35.1):
        with pytest.raises(UnreadableField, match="reading_percent"):
            honey_moisture({"reading_percent": beyond, "temperature_c": 20, "corrects_itself": True})


@pytest.mark.parametrize("limit", ["18.6", "20.0"])
def test_no_figure_is_too_wet_for_itself(limit: str) -> None:
    """What is said to the tenth is judged to the tenth: 18.63 % reads 18.6 % and is fit to bottle."""
    for hundredth in range(int(float(limit) * 100) - 20, int(float(limit) * 100) + 20):
        answer = honey_moisture({"reading_percent": hundredth / 100, "temperature_c": 20, "corrects_itself": True})
        said, told = answer["words"].split(" %")[0], answer["grade_a" if limit == "18.6" else "grade_c"]
        assert told == (float(said) <= float(limit)), answer


def test_cold_reading_is_corrected_the_other_way() -> None:
    cold = honey_moisture({"index": 1.4890, "temperature_c": 15, "corrects_itself": False})["water_percent"]
    assert cold == pytest.approx(19.45, abs=0.03)


@pytest.mark.parametrize(
    "wrong", [{}, {"corrects_itself": "yes"}, {"corrects_itself": True, "temperature_c": 90}]
)
def test_bad_readings_name_the_field(wrong: dict[str, Any]) -> None:
    with pytest.raises(UnreadableField):
        honey_moisture({"index": 1.489, **wrong})


@pytest.mark.parametrize(("warmth_c", "taken"), [(5, True), (45, True), (4, False), (46, False)])
def test_a_reading_is_taken_at_the_warmth_of_a_room_or_a_barn(warmth_c: int, taken: bool) -> None:
    asked = {"reading_percent": 18, "temperature_c": warmth_c, "corrects_itself": True}
    if taken:
        assert honey_moisture(asked)["water_percent"] == 18
        return
    with pytest.raises(UnreadableField, match="temperature_c"):
        honey_moisture(asked)


def test_out_of_scale_is_refused() -> None:
    with pytest.raises(UnreadableField):
        honey_density_g_per_ml(30)
    with pytest.raises(UnreadableField, match="low, middle and high"):
        would_a_press_pay({**PRESS, "gallons_lost": {"low": 4, "high": 1}})
    with pytest.raises(UnreadableField, match="good bars"):
        pours_needed(10**6, 94)


@pytest.mark.parametrize(
    ("poured", "good", "percent"),
    [(10, 9, 94), (10, 10, 94), (10, 0, 94), (10, 11, 94), (1064, 1000, 94), (1100, 500, 50), (2000, 180, 10), (40, 40, 100),
     (40, 41, 100)],
)  # fmt: skip
def test_the_chance_is_the_binomials_to_a_trillionth_for_any_number_of_bars(poured: int, good: int, percent: int) -> None:
    """Held to the sum worked out in whole fractions; the coefficients of a thousand bars are past any float."""
    p = Fraction(percent, 100)
    exact = sum((comb(poured, k) * p**k * (1 - p) ** (poured - k) for k in range(good, poured + 1)), Fraction(0))
    assert chance_of_good(poured, good, percent) == pytest.approx(float(exact), abs=1e-12)


def test_where_half_of_the_bars_are_specked_five_hundred_good_ones_can_be_asked_for() -> None:
    pours = pours_needed(500, 50)
    assert chance_of_good(10 * pours, 500, 50) >= 0.95 > chance_of_good(10 * (pours - 1), 500, 50)
