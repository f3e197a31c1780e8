"""A season's sums, worked by hand, and the questions they answer: what can be poured, what stayed in the wax, would a press pay."""

from __future__ import annotations

from typing import Any

import pytest
from demo_seed.goods_of_stages import stage_good_rows

from honeyhold.stock.balances import kept_of, pours_in_a_morning, wax_here
from honeyhold.stock.cooling import cooling_time
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.season import press_from_season, season_sums
from honeyhold.stock.stages import STAGES, goods_of

GOODS = [
    {"id": "bar", "kind": "wax", "net_g": 28, "price_cents": 300, "sold": True},
    {"id": "block", "kind": "wax", "net_g": 454, "price_cents": 2200, "sold": True},
    {"id": "quart", "kind": "honey", "net_g": 1361, "price_cents": 2500, "sold": True},
]
MOVED = [
    ("honey_bulk", "made", 100_000), ("honey_bulk", "used", -82_000), ("honey_bulk", "lost", -400), ("cappings", "made", 10_000),
    ("cappings", "passed", -9_500), ("cappings", "lost", -500), ("honey_residue", "came", 6_200), ("wax_melted", "came", 3_300),
    ("honey_residue", "fed", -4_000), ("wax_melted", "passed", -3_250), ("wax_melted", "lost", -50), ("wax_fine", "came", 3_250),
    ("wax_fine", "used", -2_683), ("wax_fine", "passed", -202), ("wax_back", "came", 202), ("bar", "poured", 93),
    ("quart", "bottled", 60),
]  # fmt: skip
BALANCES = [("honey_bulk", 17_600), ("honey_residue", 2_200), ("wax_fine", 365), ("wax_back", 202), ("bar", 93), ("quart", 60)]


def asked(**more: Any) -> dict[str, Any]:
    """The season above as the door wants it."""
    return {
        "season": 2026,
        "goods": GOODS,
        "moved": [{"good": good, "reason": reason, "year": 2026, "units": units} for good, reason, units in MOVED],
        "balances": [{"good": good, "units": units} for good, units in BALANCES],
        **more,
    }


def test_a_season_worked_by_hand_closes_to_the_gram() -> None:
    sums = season_sums(asked())
    honey, wax, cappings = sums["honey"], sums["wax"], sums["cappings"]
    assert (honey["in_g"], honey["made_g"], honey["fed_g"], honey["lost_g"], honey["left_g"]) == (106_200, 82_000, 4_000, 400, 19_800)
    assert (wax["in_g"], wax["made_g"], wax["lost_g"], wax["left_g"]) == (3_300, 2_683, 50, 567)
    assert (cappings["in_g"], cappings["passed_g"], cappings["lost_g"], cappings["left_g"]) == (10_000, 9_500, 500, 0)
    assert sums["closes"] and [sums[group]["missing_g"] for group in ("honey", "cappings", "wax")] == [0, 0, 0]


def test_a_wrong_balance_is_found() -> None:
    balances = [{"good": good, "units": units - (good == "wax_fine")} for good, units in BALANCES]
    sums = season_sums(asked(balances=balances))
    assert not sums["closes"] and sums["wax"]["missing_g"] == 1


def test_without_a_price_what_stayed_in_the_wax_is_worth_nothing_yet() -> None:
    """Nothing is made up for a price that nobody set; asked whether a press pays, it says what is missing."""
    unpriced = season_sums(asked(goods=[{**good, "price_cents": 0} for good in GOODS]))["left_in_wax"]
    priced = season_sums(asked())["left_in_wax"]
    assert unpriced["honey_g"] == priced["honey_g"] > 0 and priced["honey_cents_per_kg"] == 2500 * 1000 // 1361
    assert unpriced["honey_cents_per_kg"] == unpriced["honey_cents"] == unpriced["wax_lost_cents"] == 0
    with pytest.raises(UnreadableField, match="a jar with a price"):
        press_from_season({"season_sums": {"left_in_wax": unpriced}, "price_cents": 40_000})


def test_giveaway_is_what_went_in_above_the_net_weight() -> None:
    sums = season_sums(asked())
    assert sums["bars"] == {"units": 93, "net_g": 2604, "giveaway_g": 79}
    assert sums["jars"] == {"units": 60, "net_g": 81_660, "giveaway_g": 340}


def test_what_was_carried_over_and_what_came_later_are_other_seasons() -> None:
    earlier = [{"good": "wax_fine", "reason": "came", "year": 2025, "units": 700}]
    later = [{"good": "wax_fine", "reason": "used", "year": 2027, "units": -600}]
    balances = [{"good": good, "units": units + (100 if good == "wax_fine" else 0)} for good, units in BALANCES]
    sums = season_sums(asked(moved=[*asked()["moved"], *earlier, *later], balances=balances))
    assert sums["wax"]["start_g"] == 700 and sums["wax"]["left_g"] == 567 + 700 and sums["closes"]


def test_honey_left_in_the_wax_has_a_price() -> None:
    """A quart of 1361 g at $25.00 is $18.36 a kilogram, rounded down; the cheapest a gram of honey goes for."""
    left = season_sums(asked())["left_in_wax"]
    assert left["honey_cents_per_kg"] == 2_500_000 // 1361 == 1836
    assert (left["honey_g"], left["honey_cents"]) == (6200, 6200 * 1836 // 1000)
    assert (left["wax_lost_g"], left["wax_lost_cents"]) == (50, 50 * (2_200_000 // 454) // 1000)


def test_would_a_press_pay_from_own_weighings() -> None:
    """6.2 kg are 1.15 gallons; at 70 to 90 % and $98.56 a gallon a press of $80 takes one to two years."""
    answer = press_from_season({"season_sums": season_sums(asked()), "price_cents": 8_000})
    assert 1.1 < answer["gallons_lost"] < 1.2 and answer["payback_years"]["high"] < answer["payback_years"]["low"]
    gain = answer["gallons_lost"] * 0.8 * answer["honey_cents_per_gallon"] - 1500
    assert answer["payback_years"]["middle"] == pytest.approx(8000 / gain, rel=0.01)
    assert "came off the cappings this season" in answer["from"] and "Yes" in answer["words"]


def test_without_weighed_cappings_nobody_guesses_about_a_press() -> None:
    empty = season_sums(asked(moved=[], balances=[]))
    with pytest.raises(UnreadableField, match="honey weighed off the cappings"):
        press_from_season({"season_sums": empty, "price_cents": 8_000})


def test_words_say_where_it_went() -> None:
    honey, cappings, wax = season_sums(asked())["words"]
    assert honey.startswith("Honey: 234 lb 2 oz in, 180 lb 12 oz in jars") and "fed to the bees" in honey
    assert "passed on to melting" in cappings and wax.endswith("1.8 oz lost.")


def test_what_can_be_poured_this_morning() -> None:
    """2,450 g are 84 bars of 28.85 g: eight sets of ten; two sets and four hours hold eight too (51 min a round)."""
    here = wax_here({"stages": {"wax_fine": 2450, "wax_coarse": 1000, "cappings": 2000}, "mould_sets": 2})
    assert (here["units"], here["pours"], here["morning_pours"]) == (84, 8, 8)
    assert here["words"] == "8 pours this morning, 80 bars."
    assert [row["good"] for row in here["rows"]] == ["wax_fine", "wax_coarse", "cappings"]
    assert here["rows"][1]["clean_g"] == 990 and here["rows"][1]["steps"] == ["fine screen"]
    assert here["then"].startswith("And about 34 from 2 lb 3 oz of coarse screened wax")


def test_moulds_and_hours_are_a_limit_too() -> None:
    assert pours_in_a_morning(1, 4, 45, 6) == 4 and pours_in_a_morning(20, 4, 45, 6) == 40
    here = wax_here({"stages": {"wax_fine": 2450}, "mould_sets": 1})
    assert here["words"] == "4 pours this morning, 40 bars; wax for 8 is ready, but your molds and hours hold 4."


def test_nothing_to_pour_says_so() -> None:
    assert wax_here({"stages": {}})["words"] == "Nothing to pour yet."
    assert "less than a mold set holds" in wax_here({"stages": {"wax_fine": 200}})["words"]


def test_losses_are_the_houses_own_once_weighed() -> None:
    moved = {("wax_melted", "passed"): -3250, ("wax_melted", "lost"): -50, ("cappings", "passed"): -9500, ("cappings", "lost"): -500,
             ("wax_melted", "came"): 3300}  # fmt: skip
    assert kept_of(moved, "wax_melted") == pytest.approx(1 - 50 / 3300)
    assert kept_of(moved, "cappings") == pytest.approx(0.33)
    assert kept_of({("wax_melted", "passed"): -300}, "wax_melted") == 0.97


def test_cooling_is_learnt_and_a_forgotten_timer_changes_nothing() -> None:
    def cool(pours: list[tuple[int, bool]], fan: bool) -> dict[str, Any]:
        return cooling_time({"pours": [{"cool_s": seconds, "fan": on} for seconds, on in pours], "fan": fan})

    assert cool([], False)["cool_s"] == 2700 and "until your own pours" in cool([], False)["words"]
    own = [(1800, False)] * 6
    assert cool(own, False)["cool_s"] == 1800
    assert cool([*own, (9 * 3600, False), (10, False)], False) == cool(own, False)
    assert cool([*own, (14_000, False)], False)["cool_s"] == 1800
    for counts, beyond in ((5 * 60, 5 * 60 - 1), (4 * 3600, 4 * 3600 + 1)):
        assert (cool([(counts, False)] * 5, False)["cool_s"], cool([(beyond, False)] * 5, False)["cool_s"]) == (counts, 2700)
    assert cool(own, True)["cool_s"] == 1020  # 25 min usual, times 30 / 45, to the whole minute
    assert cool([(1800, False)], False)["cool_s"] == 2700  # one pour does not outvote the usual time


def test_bad_requests_name_the_field() -> None:
    with pytest.raises(UnreadableField, match="fan"):
        cooling_time({"pours": []})
    with pytest.raises(UnreadableField, match="season"):
        season_sums({})
    with pytest.raises(UnreadableField, match="wax_fine"):
        wax_here({"stages": {"wax_fine": "much"}})


def test_every_stage_is_a_good_by_weight_that_no_caller_is_offered() -> None:
    rows = stage_good_rows()
    assert all(row["kind"] == "bulk" and row["unit"] == "g" and row["sold"] is False for row in rows)
    assert len({stage.letter for stage in STAGES}) == len(STAGES) == 8 and goods_of("cappings") == ("cappings",)
