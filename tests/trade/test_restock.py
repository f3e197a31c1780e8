"""When to melt: the day, the pours and the words, and whether the chance is kept in invented seasons."""

from __future__ import annotations

import random
from datetime import date, timedelta
from typing import Any

import pytest

from honeyhold.trade.callers import learn
from honeyhold.trade.days import day_words
from honeyhold.trade.errors import UnreadableField
from honeyhold.trade.reorder import make_once, reorder_figures
from honeyhold.trade.restock import melt_by

BAR = {"name": "wax bar", "plural": "wax bars"}
TODAY = date(2026, 7, 21)


def sales(per_day: float, days: int, seed: int, until: date = TODAY) -> list[dict[str, Any]]:
    """Callers of an invented record: Poisson by day, five bars or ten."""
    dice, rows = random.Random(seed), []
    clock = dice.expovariate(per_day)
    while clock < days:
        on = until - timedelta(days=days - 1 - int(clock))
        rows.append({"on": on.isoformat(), "units": 5 if dice.random() < 0.6 else 10})
        clock += dice.expovariate(per_day)
    return rows


def ask(**change: Any) -> dict[str, Any]:
    return melt_by(
        {"good": BAR, "today": TODAY.isoformat(), "free_units": 45, "sales": sales(1.0, 60, 5), **change}
    )


def test_fewer_free_bars_mean_an_earlier_day() -> None:
    days = [ask(free_units=free)["melt_by"] for free in (0, 15, 45, 90, 200)]
    assert days == sorted(days) and days[0] == TODAY.isoformat() and len(set(days)) >= 4
    assert ask(free_units=2000)["melt_by"] is None
    assert ask(free_units=2000)["words"] == "no melt needed within four weeks"
    assert ask(free_units=2000)["pours"] == 0


def test_words_and_wax() -> None:
    answer = ask(free_units=90, wax_ready_g=2452)
    assert answer["words"] == f"melt by {day_words(answer['melt_by'], TODAY)}: {answer['pours']} pours"
    assert answer["units"] == 10 * answer["pours"]
    assert answer["wax_needed_g"] == round(answer["units"] * 28.85)
    assert answer["wax_ready_units"] == 84
    assert answer["wax_short_g"] == max(0, answer["wax_needed_g"] - 2452)
    assert 0 <= answer["short_percent"] <= 5


def test_somebody_waiting_means_today_and_more_pours() -> None:
    quiet, waited = ask(free_units=0), ask(free_units=0, waiting_units=20)
    assert waited["melt_by"] == TODAY.isoformat() and waited["words"].startswith("melt today: ")
    assert waited["pours"] > quiet["pours"]
    assert any("20 wax bars already waited for" in sentence for sentence in waited["why"])


def test_melting_only_on_the_houses_days() -> None:
    answer = ask(free_units=90, melt_weekdays=[3])  # Thursdays
    assert date.fromisoformat(answer["melt_by"]).weekday() == 3
    assert answer["melt_by"] <= ask(free_units=90)["melt_by"]


def test_run_down_falls_and_keeps_its_order() -> None:
    rows = ask(free_units=90)["run_down"]
    assert rows[0] == {"on": TODAY.isoformat(), "low": 90, "middle": 90, "high": 90, "short_percent": 0}
    for row, following in zip(rows, rows[1:], strict=False):
        assert 0 <= row["low"] <= row["middle"] <= row["high"]
        assert all(following[name] <= row[name] for name in ("low", "middle", "high"))
        assert following["short_percent"] >= row["short_percent"]


def test_a_house_without_a_record_still_gets_an_answer() -> None:
    answer = ask(sales=[])
    assert answer["melt_by"] is not None and answer["callers_per_week"] == pytest.approx(3.5)


def test_recent_weeks_count_more() -> None:
    early = sales(3.0, 30, 1, TODAY - timedelta(days=60)) + sales(0.2, 30, 2)
    late = sales(0.2, 30, 2, TODAY - timedelta(days=60)) + sales(3.0, 30, 1)
    assert ask(sales=late)["callers_per_week"] > 2 * ask(sales=early)["callers_per_week"]


def test_busy_weekday_is_learned() -> None:
    rows = [
        {"on": (TODAY - timedelta(days=n)).isoformat(), "units": 5} for n in range(3, 90, 7)
    ] * 6  # Saturdays
    factors = learn({"today": TODAY, "sales": rows, "counting_since": TODAY - timedelta(days=90)}).weekday
    assert max(factors) == factors[5] > 3 * min(factors)
    assert sum(factors) == pytest.approx(7)


def test_last_years_weeks_are_compared() -> None:
    """A year ago the coming four weeks were three times as busy as the four before them."""
    then = TODAY - timedelta(days=364)
    rows = sales(0.5, 28, 3, then - timedelta(days=1)) + sales(1.5, 28, 4, then + timedelta(days=27))
    since = then - timedelta(days=40)
    with_year = ask(sales=rows + sales(0.5, 60, 5), counting_since=since)
    assert any("more callers" in sentence for sentence in with_year["why"])
    assert learn({"today": TODAY, "sales": rows, "counting_since": since}).season > 1.5


def test_the_stated_chance_is_kept() -> None:
    """In 300 invented houses nobody goes without before the pour is ready about 95 times in 100, or more."""
    kept = 0
    for seed in range(300):
        dice = random.Random(10_000 + seed)
        per_day = dice.choice([0.5, 1.0, 2.0])
        answer = ask(free_units=60, sales=sales(per_day, 90, seed), counting_since=TODAY - timedelta(days=89))
        if answer["melt_by"] is None:
            kept += 1
            continue
        days = (date.fromisoformat(answer["melt_by"]) - TODAY).days + 1
        coming = sum(row["units"] for row in sales(per_day, days, 50_000 + seed))
        kept += coming <= 60
    assert 0.93 <= kept / 300 <= 1.0


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"sales": [{"on": "2026-07-22", "units": 5}]}, "sales.on"),
        ({"sales": [{"on": "2026-07-20", "units": 0}]}, "units"),
        ({"free_units": None}, "free_units"),
        ({"good": {}}, "good"),
        ({"service_percent": 100}, "service_percent"),
        ({"melt_weekdays": []}, "melt_weekdays"),
        ({"today": "21 July"}, "today"),
    ],
)
def test_bad_requests_name_the_field(change: dict[str, Any], named: str) -> None:
    with pytest.raises(UnreadableField, match=named):
        ask(**change)


def test_wax_that_must_be_screened_first_means_a_day_earlier() -> None:
    ready, screened_first = ask(wax_ready_g=100_000), ask(wax_ready_g=0, wax_later_g=9_000)
    gap = date.fromisoformat(ready["melt_by"]) - date.fromisoformat(screened_first["melt_by"])
    assert gap == timedelta(days=1) and any("screen it the day before" in words for words in screened_first["why"])
    assert ask(wax_ready_g=0)["melt_by"] == ready["melt_by"]  # no wax anywhere: melting earlier helps nobody


def test_more_pours_than_a_morning_holds_begin_earlier() -> None:
    """Two mould sets, two hours and 45 minutes of cooling: two rounds of two, four pours a morning."""
    easy, tight = ask(free_units=90, mould_sets=12), ask(free_units=90, mould_sets=2, morning_hours=2, cool_min=45)
    assert (easy["mornings"], tight["pours_a_morning"]) == (1, 4)
    assert tight["mornings"] == -(-tight["pours"] // 4) > 1 and tight["melt_by"] < easy["melt_by"]
    assert any("your moulds and hours hold 4 pours in one" in words for words in tight["why"])
    assert ask()["mornings"] == 1 and ask(free_units=2000)["mornings"] == 0


def test_the_same_for_bottling() -> None:
    jar = {"name": "quart", "plural": "quarts", "kind": "honey"}
    answer = ask(good=jar, free_units=12, pour_units=6, wax_ready_g=3_000, wax_per_unit_mg=1_361_000)
    assert answer["words"].startswith("bottle ") and answer["words"].endswith(f": {answer['units']} quarts")
    assert answer["units"] % 6 == 0 and answer["wax_needed_g"] == answer["units"] * 1361
    assert any(words.startswith("Honey is ready for 2 quarts") for words in answer["why"])
    assert ask(good=jar, free_units=2000)["words"] == "no bottling needed within four weeks"


def test_the_keeper_sets_the_chance() -> None:
    days = [ask(free_units=60, service_percent=percent)["melt_by"] for percent in (99.5, 95, 75)]
    assert days == sorted(days) and days[0] < days[2]


def test_bad_reorder_input_is_refused() -> None:
    with pytest.raises(UnreadableField):
        reorder_figures([1.0], 0, {5: 1.0}, 10, 0)
    with pytest.raises(UnreadableField):
        make_once([1.0], 0, 0, 1)
