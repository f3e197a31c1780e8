"""The eleven days on which no post goes besides Sundays, by rule.

Rules: 5 U.S.C. 6103 for the dates. For the post a holiday on a Saturday stays on the Saturday (only offices
move it to Friday); one on a Sunday moves to Monday.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from functools import lru_cache
from types import MappingProxyType

MONDAY, THURSDAY, SATURDAY, SUNDAY = 0, 3, 5, 6
FIXED = {
    "New Year's Day": (1, 1),
    "Juneteenth": (6, 19),
    "Independence Day": (7, 4),
    "Veterans Day": (11, 11),
    "Christmas Day": (12, 25),
}
# name: month, weekday, which one of the month
FLOATING = {
    "Martin Luther King Jr. Day": (1, MONDAY, 3),
    "Presidents Day": (2, MONDAY, 3),
    "Labor Day": (9, MONDAY, 1),
    "Columbus Day": (10, MONDAY, 2),
    "Thanksgiving Day": (11, THURSDAY, 4),
}


def _nth_weekday(year: int, month: int, weekday: int, which: int) -> date:
    first = date(year, month, 1)
    return first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (which - 1))


def postal_holidays(year: int) -> dict[date, str]:
    """Give the days of `year` without post that are no Sundays, each with its name."""
    days = {_nth_weekday(year, *rule): name for name, rule in FLOATING.items()}
    last_of_may = date(year, 5, 31)
    days[last_of_may - timedelta(days=last_of_may.weekday())] = "Memorial Day"
    for name, (month, day) in FIXED.items():
        on = date(year, month, day)
        days[on + timedelta(days=1) if on.weekday() == SUNDAY else on] = name
    return dict(sorted(days.items()))


@lru_cache(maxsize=32)
def _of_year(year: int) -> Mapping[date, str]:
    return MappingProxyType(postal_holidays(year))


def no_post(on: date) -> str:
    """Say why no post goes on a day ("Sunday", the holiday's name), or give an empty text."""
    if on.weekday() == SUNDAY:
        return "Sunday"
    return _of_year(on.year).get(on, "")


def post_day_after(on: date, count: int) -> date:
    """Give the `count`-th day with post after `on`; with 0 the first day with post from `on` itself."""
    while no_post(on):
        on += timedelta(days=1)
    for _ in range(count):
        on += timedelta(days=1)
        while no_post(on):
            on += timedelta(days=1)
    return on
