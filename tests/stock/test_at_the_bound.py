"""Where a rule of the shelf turns, each met exactly and missed by one."""

from __future__ import annotations

import re
from datetime import date, timedelta
from types import SimpleNamespace
from typing import Any
from xml.etree import ElementTree

import pytest
from tests.stock.test_lots import movement
from tests.stock.test_pictures_and_words import BAR, JAR, SVG

from honeyhold.stock import restock, season
from honeyhold.stock.balances import KEPT, WAX_OF_CAPPINGS, kept_of
from honeyhold.stock.demand import TAIL, compound_gamma_poisson, smallest_covering
from honeyhold.stock.errors import UnreadableField
from honeyhold.stock.looking_back_picture import LEFT, _months
from honeyhold.stock.lots import trace
from honeyhold.stock.pictures import run_down_picture, shelf_picture
from honeyhold.stock.pricing import STEPS_MAX, price_on, read_steps
from honeyhold.stock.run_down import DAYS_MAX
from honeyhold.stock.yields import pours_needed

TODAY = date(2026, 7, 20)


@pytest.mark.parametrize(("went_g", "is_own"), [(1000, True), (999, False)])
def test_a_kilogram_makes_a_habit(went_g: int, is_own: bool) -> None:
    assert kept_of({("cappings", "passed"): -went_g, ("wax_melted", "came"): 400}, "cappings") == (0.4 if is_own else WAX_OF_CAPPINGS)
    melted = kept_of({("wax_melted", "passed"): -went_g + 100, ("wax_melted", "lost"): -100}, "wax_melted")
    assert melted == (0.9 if is_own else KEPT["wax_melted"])


def test_with_a_scale_of_nothing_nobody_calls_and_a_shape_of_nothing_is_none() -> None:
    assert compound_gamma_poisson(1.0, 0.0, {5: 1.0}, 3) == [1.0, 0.0, 0.0, 0.0]
    for shape, scale in ((0.0, 1.0), (1.0, -0.001)):
        with pytest.raises(UnreadableField, match="a shape above 0 and a scale of 0 or more"):
            compound_gamma_poisson(shape, scale, {5: 1.0}, 3)


def test_a_chance_that_is_just_enough_is_enough() -> None:
    assert smallest_covering([0.5 - TAIL, 0.5], 0.5) == 0 and smallest_covering([0.5 - 2 * TAIL, 0.5], 0.5) == 1


@pytest.mark.parametrize(("year", "week"), [(2021, 9), (2022, 9), (2026, 9)])
def test_a_month_stands_under_the_week_of_its_first_day(year: int, week: int) -> None:
    """1 March 2021 is the Monday of week 9, 1 March 2022 the Tuesday of it, 1 March 2026 the Sunday of it (ISO 8601)."""
    assert date(year, 3, 1).isocalendar().week == week
    weeks = [{"monday": str(date.fromisocalendar(year, number, 1))} for number in range(1, 53)]
    (march,) = [ElementTree.fromstring(words) for words in _months(year, weeks, 10.0) if ">Mar" in words]
    assert float(march.attrib["x"]) == LEFT + 10.0 * (week - 1)


def test_what_came_back_whole_is_with_nobody_and_nothing_of_it_on_the_shelf() -> None:
    lots = [{"id": "W1", "good": "bar", "made_on": "2026-07-18"}]
    moved = [
        movement("W1", 10, "poured"), movement("W1", -10, "gone", order="o1"), movement("W1", 10, "canceled", order="o1"),
        movement("W1", -10, "broken"),
    ]  # fmt: skip
    request = {"lots": lots, "movements": moved, "orders": [{"id": "o1", "number": "A-1"}], "people": []}
    found = trace({**request, "lot": "W1"})
    assert (found["who_has"], found["not_named"], found["on_the_shelf"]) == ([], [], [])
    assert trace({**request, "order": "o1"})["lots"] == []


@pytest.mark.parametrize(("bars", "higher"), [(60, True), (61, False)])
def test_up_to_ten_rows_of_bars_are_drawn_large(bars: int, higher: bool) -> None:
    svg = shelf_picture({"good": {**BAR, "row": 6}, "on_hand": bars, "promised": 0, "share": 0, "row": 6})["svg"]
    bars_drawn, *_legend = [path.get("d", "") for path in ElementTree.fromstring(svg).iter(f"{SVG}path") if path.get("class") == "ink"]
    assert {float(height) for height in re.findall(r"v([\d.]+)h", bars_drawn)} == {22.0 if higher else 14.0}


def test_lots_with_nothing_on_them_have_no_row() -> None:
    lots = [{"lot": "A", "units": 0}, {"lot": "", "units": 3}, {"lot": "B", "units": 1}]
    svg = shelf_picture({"good": JAR, "on_hand": 2, "promised": 0, "share": 0, "lots": lots})["svg"]
    said = ["".join(line.itertext()) for line in ElementTree.fromstring(svg).iter(f"{SVG}text")]
    assert said[:2] == ["B: 1", "lot not known: 1"]


@pytest.mark.parametrize(("day", "cents"), [("2026-07-19", 250), ("2026-07-20", 300), ("2026-07-21", 300)])
def test_a_price_holds_from_the_morning_of_its_day(day: str, cents: int) -> None:
    good = {"price_cents": 250, "prices": [{"place": "", "since": "2026-07-20", "cents": 300, "steps": []}]}
    assert price_on(good, "pick_up", day)["price_cents"] == cents


def test_so_many_quantities_have_a_price() -> None:
    steps = [[units, 100 * units] for units in range(2, 2 + STEPS_MAX)]
    assert read_steps({"steps": steps}) == steps
    with pytest.raises(UnreadableField, match=f"at most {STEPS_MAX} pairs"):
        read_steps({"steps": [*steps, [99, 5000]]})


@pytest.mark.parametrize(("free", "melts"), [(10, True), (11, False), (20, False)])
def test_without_a_record_there_is_melting_once_half_are_gone(free: int, melts: bool) -> None:
    callers: Any = SimpleNamespace(is_record=False)
    house: Any = SimpleNamespace(
        today=TODAY, free=free, like=20, waiting=0, melt_weekdays=frozenset(range(7)), good_percent=100.0, pour_units=10
    )
    ahead, pours = restock.decide(callers, house)
    assert (ahead is not None, pours > 0) == (melts, melts)


@pytest.mark.parametrize(
    ("days", "labels", "first"), [(12, 12, "Mo"), (13, 7, "Mo"), (29, 15, "Mo"), (30, 5, "7/20"), (DAYS_MAX, 18, "7/20")]
)
def test_days_under_a_run_down_are_as_many_as_can_be_read(days: int, labels: int, first: str) -> None:
    rows = [{"on": str(TODAY + timedelta(days=n)), "low": 1, "middle": 2, "high": 3} for n in range(days)]
    svg = run_down_picture({"good": BAR, "today": str(TODAY), "run_down": rows})["svg"]
    said = ["".join(line.itertext()) for line in ElementTree.fromstring(svg).iter(f"{SVG}text") if line.get("text-anchor") == "middle"]
    assert (len(said), said[0]) == (labels, first)


def test_a_run_down_of_too_many_days_or_of_a_day_twice_is_none() -> None:
    rows = [{"on": str(TODAY + timedelta(days=n)), "low": 1, "middle": 2, "high": 3} for n in range(DAYS_MAX + 1)]
    for wrong in (rows, [rows[0], rows[0]]):
        with pytest.raises(UnreadableField, match="one after the other"):
            run_down_picture({"good": BAR, "today": str(TODAY), "run_down": wrong})


def test_what_moved_in_the_season_itself_was_not_carried_over() -> None:
    moved = [{"good": "honey_bulk", "reason": "made", "year": year, "units": units} for year, units in ((2025, 5), (2026, 7), (2027, 9))]
    assert season._sums({"moved": moved}, 2026) == ({("honey_bulk", "made"): 7}, {"honey_bulk": 5})


@pytest.mark.parametrize(
    ("good", "percent", "pours"), [(0, 90, 0), (1, 100, 1), (10, 100, 1), (11, 100, 2), (9, 95, 1), (10_000, 100, 1000)]
)
def test_pours_that_are_just_enough(good: int, percent: float, pours: int) -> None:
    """Of ten at 95 in 100 nine or more come out well with a chance of 0.914: at 91 in 100 asked for one pour does."""
    assert pours_needed(good, percent, 10, 91) == pours


def test_a_chance_that_is_asked_for_exactly_is_met() -> None:
    """One bar of one poured, at 90 in 100."""
    assert pours_needed(1, 90, 1, 90) == 1 and pours_needed(1, 90, 1, 91) == 2


def test_more_than_can_be_poured_is_refused() -> None:
    with pytest.raises(UnreadableField, match="good bars"):
        pours_needed(10_001, 100, 10, 91)


@pytest.mark.parametrize(("ratio", "said"), [(1.2, ""), (1.21, "more"), (0.8, ""), (0.79, "fewer"), (1.0, "")])
def test_a_season_is_told_where_it_is_another_by_a_fifth(ratio: float, said: str) -> None:
    callers: Any = SimpleNamespace(is_record=False, seen=3, left_out=None, season=ratio)
    house: Any = SimpleNamespace(bottling=False, free=10, waiting=0)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(restock, "_why_material", lambda *_: [])
        why = restock._why(house, callers, {"melt_by": None}, ("wax bar", "wax bars"))
    told = f"A year ago the coming four weeks brought {said} callers than the four before."
    assert why[1:] == ([told] if said else [])
