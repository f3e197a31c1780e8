"""Chances told against what came: counted rightly, learnt from only when there is enough, held to houses whose truth we know."""

from __future__ import annotations

from statistics import mean
from typing import Any
from xml.etree import ElementTree

import pytest

from honeyhold.errors import BadRequest
from honeyhold.heat.calibration import PRIOR_SD, Case, calibration, fit, is_enough, likely_range
from honeyhold.heat.calibration_svg import draw_calibration
from honeyhold.heat.chance import Numbers, logit_of, share_at, shifted_permille


def house(numbers: Numbers, count: int, shift: float) -> list[Case]:
    """A house whose true chances lie `shift` beside those told; told ones as a summer gives them, many small, some large."""
    told = [round(1000 * (numbers.whole() % 1000 / 1000) ** 2.5) for _ in range(count)]
    return [Case(one, numbers.whole() % 1_000_000 < 1_000_000 * share_at(logit_of(one) + shift)) for one in told]


def errors(count: int, shift: float, houses: int = 150) -> tuple[float, float]:
    """Root mean square error of the fitted shift, and the share of houses that would be told their chances do not fit."""
    numbers = Numbers(11)
    fits = [fit(house(numbers, count, shift)) for _ in range(houses)]
    return mean((one.shift - shift) ** 2 for one in fits) ** 0.5, mean(abs(one.shift) >= 2 * one.sd for one in fits)


def test_what_is_called_enough_finds_a_shift_of_one_to_a_third() -> None:
    """With 60 parcels the error is under 0.45 of the scale's unit (the prior alone leaves 1); with ten it is hardly better than half."""
    sixty, found = errors(60, 1.0)
    ten, _ = errors(10, 1.0)
    assert sixty < 0.45 < ten < 1.0 and found > 0.6


def test_a_house_whose_chances_fit_is_hardly_ever_told_otherwise() -> None:
    off, alarms = errors(60, 0.0)
    assert off < 0.42 and alarms < 0.08


def test_two_hundred_parcels_find_it_closely() -> None:
    assert errors(200, -1.0, 60)[0] < 0.3


def test_nothing_heard_moves_nothing_and_a_little_moves_little() -> None:
    assert fit([]).shift == 0 and fit([]).sd == PRIOR_SD and not fit([]).enough
    assert 0 < fit([Case(100, True)]).shift < PRIOR_SD
    assert not is_enough(59, 20) and not is_enough(100, 7) and not is_enough(100, 93) and is_enough(60, 8)


def test_luck_of_a_coin() -> None:
    """Of ten throws of a fair coin 3 to 7 heads in eight of ten tries (binomial table: P(<3) = 0.055, P(<=7) = 0.945)."""
    assert likely_range(0.5, 10) == (3, 7) and likely_range(0.0, 5) == (0, 0) and likely_range(1.0, 5) == (5, 5)


def parcels(told: int, count: int, harmed: int, came: str = "dented") -> list[dict[str, Any]]:
    return [{"told_permille": told, "arrived": came if at < harmed else "fine", "packed_on": "2026-07-20"} for at in range(count)]


def test_the_answer_counts_by_bands_and_says_how_many_are_enough() -> None:
    lost = [{"told_permille": 500, "arrived": "lost"}, {"told_permille": None, "arrived": "run"}, {"told_permille": 5, "arrived": ""}]
    answer = calibration({"parcels": parcels(10, 40, 0) + parcels(400, 10, 9) + lost})
    assert (answer["heard"], answer["harmed"], answer["enough"]) == (50, 9, False)
    small, large = answer["bands"]
    assert (small["parcels"], small["harmed"], small["words"]) == (40, 0, "as told")
    assert (large["expected"], large["harmed"], large["words"]) == (4.0, 9, "more than told")
    assert "60 parcels, 8 of them harmed and 8 not" in answer["enough_words"] and answer["shift_permille"] > 500 and not answer["fits"]


def test_parcels_told_by_another_offset_are_not_learnt_from() -> None:
    assert calibration({"parcels": parcels(10, 40, 0), "since": "2026-07-21"})["heard"] == 0


def test_a_chance_that_is_none_is_refused() -> None:
    with pytest.raises(BadRequest, match="1200"):
        calibration({"parcels": [{"told_permille": 1200, "arrived": "fine"}]})


def test_an_offset_keeps_order_and_what_is_sure() -> None:
    moved = [shifted_permille(chance, 800) for chance in range(1001)]
    assert moved == sorted(moved) and moved[0] == 0 and moved[1000] == 1000 and all(a >= b for b, a in enumerate(moved[:998]))
    assert [shifted_permille(chance, 0) for chance in (0, 20, 500)] == [0, 20, 500]
    assert shifted_permille(500, 1000) == 731  # 1 / (1 + exp(-1))


@pytest.mark.parametrize("given", [[], parcels(10, 40, 1) + parcels(200, 12, 2) + parcels(500, 9, 8) + parcels(900, 4, 4)])
def test_the_picture_says_it_in_words_too(given: list[dict[str, Any]]) -> None:
    svg = draw_calibration({"parcels": given})["svg"]
    words = " ".join(ElementTree.fromstring(svg).itertext())
    assert ("Nothing was heard of yet" in words) is (not given)
    assert svg.count("<circle") == len(calibration({"parcels": given})["bands"])
    ticks = [text for text in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text") if text.get("text-anchor") == "end"]
    assert not given or [text.text for text in ticks] == ["0", "2", "4", "6", "8", "10"]
    assert [float(text.attrib["y"]) for text in ticks] == sorted((float(text.attrib["y"]) for text in ticks), reverse=True)
