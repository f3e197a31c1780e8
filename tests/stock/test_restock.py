"""When to melt: the day, the pours and the words, and whether the chance is kept in invented seasons."""

from __future__ import annotations

import random
import re
from datetime import date, timedelta
from typing import Any

import pytest

from honeyhold.stock.callers import learn
from honeyhold.stock.days import day_words
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.restock import melt_by
from honeyhold.stock.run_down import run_down_picture
from reference.reorder import make_once, reorder_figures

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


def test_while_the_record_is_short_the_houses_own_order_sizes_count() -> None:
    """Where people usually buy twenty at a time the shelf is sooner bare than where they buy one."""
    record = [{"on": (TODAY - timedelta(days=before)).isoformat(), "units": 5} for before in range(1, 25, 3)]
    ones, twenties = (ask(free_units=60, sales=record, order_sizes={size: 1.0}) for size in ("1", "20"))
    assert twenties["units_per_week"] > ones["units_per_week"]
    assert twenties["melt_by"] < (ones["melt_by"] or "9999")


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
    assert rows[0] == {"on": TODAY.isoformat(), "low": 90, "middle": 90, "high": 90, "short_percent": 0, "wanted": [0, 0, 0]}
    for row, following in zip(rows, rows[1:], strict=False):
        assert 0 <= row["low"] <= row["middle"] <= row["high"]
        assert all(following[name] <= row[name] for name in ("low", "middle", "high"))
        assert following["short_percent"] >= row["short_percent"]


def few(callers: int, days: int) -> list[dict[str, Any]]:
    """So many callers for five bars, the first so many days ago."""
    return [{"on": (TODAY - timedelta(days=days - 1 if at == 0 else at % days)).isoformat(), "units": 5} for at in range(callers)]


@pytest.mark.parametrize(("callers", "days"), [(0, 1), (1, 30), (3, 60), (10, 13)])
def test_without_a_record_no_wishes_are_made_up(callers: int, days: int) -> None:
    for free in (0, 45):
        answer = ask(sales=few(callers, days), free_units=free)
        assert (answer["melt_by"], answer["pours"], answer["callers_per_week"], answer["units_per_week"]) == (None, 0, 0, 0)
        assert answer["words"] == "no record yet: say how many you like on the shelf" and not answer["record"] and answer["lasts"] is None
        assert not any("a week" in sentence for sentence in answer["why"])


def test_four_callers_in_two_weeks_are_a_record() -> None:
    assert ask(sales=few(4, 14))["record"] and ask(sales=few(4, 14))["callers_per_week"] > 0
    assert not ask(sales=few(3, 14))["record"] and not ask(sales=few(4, 13))["record"]


def test_without_a_record_as_many_as_the_keeper_likes() -> None:
    answer = ask(sales=[], free_units=20, like_units=60)
    assert answer["words"] == "no record yet; you said you like 60 on the shelf: melt 5 pours" and answer["units"] == 50
    assert answer["melt_by"] == TODAY.isoformat() and answer["due"]
    enough = ask(sales=[], free_units=45, like_units=60)
    assert enough["words"] == "no record yet; you said you like 60 on the shelf: enough is there" and enough["melt_by"] is None
    waited = ask(sales=[], free_units=0, waiting_units=8)
    assert waited["words"] == "no record yet; 8 wax bars waited for: melt 1 pour" and waited["melt_by"] == TODAY.isoformat()
    assert ask(like_units=60)["words"] == ask()["words"]  # a record counts for more than a liking


def test_one_bulk_sale_orders_nothing_of_its_size() -> None:
    """Sixty at once, once: the pours stay what five and ten a caller ask for; sixty twice is a habit."""
    usual = sales(1.0, 60, 5)
    once = ask(sales=[*usual, {"on": "2026-07-18", "units": 60}])
    assert once["pours"] <= ask(sales=[*usual, {"on": "2026-07-18", "units": 10}])["pours"]
    assert any("One sale of 60 wax bars is far above all others" in sentence for sentence in once["why"])
    twice = ask(sales=[*usual, *({"on": day, "units": 60} for day in ("2026-07-01", "2026-07-18"))])
    assert twice["pours"] > once["pours"] and not any("far above" in sentence for sentence in twice["why"])


def test_where_wax_is_ready_nothing_is_due_tomorrow() -> None:
    calm = ask(free_units=90, wax_ready_g=100_000)
    assert calm["melt_by"] > TODAY.isoformat() and not calm["due"]
    to, by = (day_words(calm["lasts"][name], TODAY) for name in ("usually_to", "gone_by"))
    assert calm["words"] == f"usually lasts to {to}; 1 chance in 20 it is gone by {by}"
    assert calm["lasts"]["gone_by"] < calm["lasts"]["usually_to"]
    assert ask(free_units=90, wax_ready_g=0, wax_later_g=9000)["words"].startswith("melt ")
    assert ask(free_units=5, wax_ready_g=100_000)["words"].startswith("melt today")


def test_how_long_it_lasts_is_the_run_down_read_the_other_way() -> None:
    """By the record's own distribution, asked day by day."""
    answer, callers = ask(free_units=90, wax_ready_g=100_000), learn({"today": TODAY, "sales": sales(1.0, 60, 5)})
    gone = [1 - sum(callers.units(TODAY, days, 89)) for days in range(60)]
    usually, early = (next(days for days, chance in enumerate(gone) if chance >= least) for least in (0.5, 0.05))
    assert answer["lasts"]["usually_to"] == (TODAY + timedelta(days=usually - 1)).isoformat()
    assert answer["lasts"]["gone_by"] == (TODAY + timedelta(days=early)).isoformat()


@pytest.mark.parametrize("change", [{}, {"free_units": 0}, {"sales": []}, {"sales": [], "free_units": 0}, {"free_units": 5000}])
def test_the_chart_is_never_empty_and_its_days_can_be_read(change: dict[str, Any]) -> None:
    answer = ask(**change)
    told = {name: answer[name] for name in ("run_down", "melt_by", "record")}
    drawn = run_down_picture({"good": BAR, "today": TODAY.isoformat(), **told})
    line = re.search(r'd="(M[^"]*)"[^>]*stroke-width="3"', drawn["svg"])
    heights = {point.split(" ")[1] for point in re.split("[ML]", line[1])[1:]} if line else set()
    said = "no record yet" in drawn["svg"]
    assert said == (change.get("sales") == []) and (said or len(heights) > 1)
    days = re.findall(r'font-size="([\d.]+)"[^>]*>(?:Mo|Tu|We|Th|Fr|Sa|Su)<', drawn["svg"])
    assert len(days) >= 7 and all(float(size) * 0.85 >= 12 for size in days)


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


@pytest.mark.parametrize(
    ("field", "least", "most"),
    [("lead_days", 0, 28), ("cover_days", 1, 90), ("service_percent", 50, 99.9), ("pour_units", 1, 1000),
     ("good_percent", 10, 100), ("screen_days", 0, 14), ("like_units", 0, 100_000)],
)  # fmt: skip
def test_figures_are_taken_up_to_their_bounds_and_no_further(field: str, least: float, most: float) -> None:
    for kept in (least, most):
        assert ask(free_units=0, **{field: kept})["pours"] >= 0
    for beyond in (least - 1, most + 1):
        with pytest.raises(UnreadableField, match=field):
            ask(**{field: beyond})


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
    assert any("your molds and hours hold 4 pours in one" in words for words in tight["why"])
    assert ask()["mornings"] == 1 and ask(free_units=2000)["mornings"] == 0


def test_mornings_are_told_where_one_is_not_enough() -> None:
    told = {ask(free_units=0, cover_days=days, mould_sets=2, morning_hours=2, cool_min=45)["mornings"]: days for days in (1, 2, 3, 4)}
    assert {1, 2} <= told.keys()
    for mornings, days in told.items():
        why = ask(free_units=0, cover_days=days, mould_sets=2, morning_hours=2, cool_min=45)["why"]
        said = [words for words in why if "in one" in words]
        assert said == ([f"{mornings} mornings: your molds and hours hold 4 pours in one."] if mornings > 1 else [])


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
