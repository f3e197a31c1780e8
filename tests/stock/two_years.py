"""Invented honey houses over two years, and three ways to decide when to melt, which meet the very same callers.

* `ours`: honeyhold.stock.restock.melt_by each morning, told only what a book would hold by then;
* `by_count`: melts at a fixed number of bars left, and always the same number of pours;
* `fixed`: a reorder point worked out once, exactly, from the house's first eight weeks, and pours for as long as ours cover.

Callers are Poisson by day, with a season (few in early spring, many before the holidays), a weekday, now and then two busy days,
and want five or ten bars, now and then one or twenty. A pour is on the shelf the next morning; six bars in a hundred are specked.
Who cannot be served whole waits for the next pour.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil, exp, pi, sin
from typing import Any

from honeyhold.stock.callers import learn
from honeyhold.stock.demand import smallest_covering
from honeyhold.stock.restock import _read, _short
from honeyhold.stock.restock import decide as decide_by_record
from reference.poisson import compound_poisson

START = date(2026, 1, 5)
DAYS = 730
WARM_DAYS = 56
POUR = 10
GOOD_PART = 0.94
PROMISED = 0.05
COVER_DAYS = 14
GOOD = {"name": "bar", "plural": "bars"}


@dataclass
class House:
    """The callers of two years, drawn from one seed."""

    seed: int
    calls: list[list[int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        dice = random.Random(self.seed)
        rate = dice.choice([0.3, 0.6, 1.0, 1.6, 2.5]) * dice.uniform(0.8, 1.25)
        swing, weekday = dice.uniform(0.1, 0.7), [dice.uniform(0.5, 1.5) for _ in range(7)]
        sizes = dice.choice([{5: 0.6, 10: 0.4}, {1: 0.2, 5: 0.5, 10: 0.25, 20: 0.05}, {5: 0.8, 10: 0.15, 20: 0.05}])
        rush, rush_part, rush_times = 0, dice.uniform(0, 0.02), dice.uniform(1.8, 4)
        for day in range(DAYS + 2):
            rush = 2 if dice.random() < rush_part else max(0, rush - 1)
            season = 1 + swing * sin(2 * pi * (day - 200) / 365)
            mean = rate * season * weekday[day % 7] * (rush_times if rush else 1.0)
            count = _poisson(dice, mean)
            self.calls.append(dice.choices(list(sizes), list(sizes.values()), k=count))


def _poisson(dice: random.Random, mean: float) -> int:
    """A Poisson number by Knuth's product of uniforms."""
    count, product, least = 0, dice.random(), exp(-mean)
    while product > least:
        count += 1
        product *= dice.random()
    return count


Decide = Callable[[int, int, int, list[dict[str, Any]]], tuple[int, float | None]]
"""(day, free, waiting, sales so far) -> (pours to start this morning, the chance of falling short that was promised)."""


@dataclass
class Outcome:
    """What came of two years: all counted after the first eight weeks."""

    days_without: int = 0
    mornings: int = 0
    pours: int = 0
    callers: int = 0
    callers_without: int = 0
    shelf_units: int = 0
    days_bare: int = 0
    made_without_callers: int = 0
    days: int = 0
    cycles: int = 0
    short_cycles: int = 0
    promised: float = 0.0


def live(house: House, decide: Decide, days: int = DAYS, warm_days: int = WARM_DAYS, start_units: int = 60) -> Outcome:
    """Two years (or `days`) of one house under one way of deciding, counted after `warm_days`."""
    dice, told = random.Random(house.seed + 10**6), Outcome()
    free, waiting, coming = start_units, 0, 0
    sales: list[dict[str, Any]] = []
    for day in range(days):
        free, waiting, coming = _arrive(free, waiting, coming)
        pours, chance = decide(day, free, waiting, sales)
        counted = day >= warm_days
        coming = sum(dice.random() < GOOD_PART for _ in range(pours * POUR))
        waited_before, without = waiting, 0
        for units in house.calls[day]:
            sales.append({"on": (START + timedelta(days=day)).isoformat(), "units": units})
            if free >= units and not waiting:
                free -= units
            else:
                waiting, without = waiting + units, without + 1
        if counted:
            told.days += 1
            told.callers += len(house.calls[day])
            told.callers_without += without
            told.days_without += without > 0
            told.mornings += pours > 0
            told.pours += pours
            told.shelf_units += free
            told.days_bare += free == 0
            told.made_without_callers += pours * POUR if not sales and pours else 0
            if chance is not None and not waited_before:
                told.cycles += 1
                told.promised += chance
                told.short_cycles += without > 0
    return told


def _arrive(free: int, waiting: int, coming: int) -> tuple[int, int, int]:
    """Yesterday's pour is on the shelf; who waits gets theirs first."""
    free += coming
    given = min(free, waiting)
    return free - given, waiting - given, 0


def ours(day: int, free: int, waiting: int, sales: list[dict[str, Any]]) -> tuple[int, float | None]:
    """The house's own answer. What it draws and says is left out here; `tests/stock/test_two_years.py` holds it to melt_by."""
    request = asked(day, free, waiting, sales)
    house, callers = _read(request), learn(request)
    ahead, pours = decide_by_record(callers, house)
    if ahead != 0:
        return 0, None
    return pours, _short(callers, house, 1) if callers.is_record else None


def asked(day: int, free: int, waiting: int, sales: list[dict[str, Any]]) -> dict[str, Any]:
    """What `melt_by` would be asked that morning."""
    return {
        "good": GOOD, "today": (START + timedelta(days=day)).isoformat(), "free_units": free, "waiting_units": waiting,
        "sales": sales, "counting_since": START.isoformat(), "cover_days": COVER_DAYS, "service_percent": 100 * (1 - PROMISED),
    }  # fmt: skip


def liked(units: int) -> Decide:
    """N on the shelf, for ever: made up to N once half of them are gone."""

    def decide(_day: int, free: int, waiting: int, _sales: list[dict[str, Any]]) -> tuple[int, float | None]:
        missing = max(0, units - free)
        return (ceil((missing + waiting) / GOOD_PART / POUR), None) if waiting or 2 * missing >= units else (0, None)

    return decide


def from_nothing(units: int) -> Decide:
    """The house's own answer from the first day on; the keeper has said how many they like on the shelf."""

    def decide(day: int, free: int, waiting: int, sales: list[dict[str, Any]]) -> tuple[int, float | None]:
        request = {**asked(day, free, waiting, sales), "like_units": units}
        house, callers = _read(request), learn(request)
        ahead, pours = decide_by_record(callers, house)
        return (pours, _short(callers, house, 1) if callers.is_record else None) if ahead == 0 else (0, None)

    return decide


def by_count(units_left: int, pours: int) -> Decide:
    """Melts when so few bars are left."""

    def decide(_day: int, free: int, waiting: int, _sales: list[dict[str, Any]]) -> tuple[int, float | None]:
        return (pours, None) if free <= units_left or waiting else (0, None)

    return decide


def fixed(house: House) -> Decide:
    """A reorder point for two days of callers, exact for the first eight weeks' mean, and never looked at again."""
    early = [units for day in house.calls[:WARM_DAYS] for units in day] or [5]
    per_day = max(1, len([units for day in house.calls[:WARM_DAYS] for units in day])) / WARM_DAYS
    sizes = {units: early.count(units) / len(early) for units in sorted(set(early))}
    point = smallest_covering(compound_poisson(2 * per_day, sizes, 400), 1 - PROMISED)
    pours = max(1, ceil(COVER_DAYS * per_day * sum(u * p for u, p in sizes.items()) / GOOD_PART / POUR))

    def decide(_day: int, free: int, waiting: int, _sales: list[dict[str, Any]]) -> tuple[int, float | None]:
        return (pours, None) if free < point or waiting else (0, None)

    return decide


def all_ways(seed: int) -> dict[str, Outcome]:
    """One house under every way."""
    house = House(seed)
    return {"ours": live(house, ours), "by_count": live(house, by_count(30, 4)), "fixed": live(house, fixed(house))}


def first_year(seed: int, units: int = 40) -> dict[str, Outcome]:
    """One house from an empty book and an empty shelf, over its first year: our answer, N on the shelf, and twice N."""
    house = House(seed)
    ways = {"ours": from_nothing(units), f"{units} on the shelf": liked(units), f"{2 * units} on the shelf": liked(2 * units)}
    return {name: live(house, way, 365, 0, 0) for name, way in ways.items()}
