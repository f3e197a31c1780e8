"""How long what is free lasts if nothing is made: usually, and at worst once in so many times."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from honeyhold.stock.callers import Callers
from honeyhold.stock.days import day_words, parse_day
from honeyhold.stock.demand import at_most

LASTING_DAYS_MOST = 120
"""Nobody asks how it will be in half a year."""


def lasting(callers: Callers, today: date, free: int, service: float) -> dict[str, Any]:
    """`{"usually_to", "gone_by", "one_in"}`: the day to which it lasts one time in two, and by which it is gone one time in `one_in`.

    Days are mornings; None is later than four months from now.
    """

    def gone(days: int) -> float:
        return round(1 - at_most(callers.units(today, days, free - 1), free - 1), 9)

    one_in = max(2, round(1 / (1 - service)))
    usually, early = _first(lambda days: gone(days) > 0.5), _first(lambda days: gone(days) >= 1 / one_in)
    return {
        "usually_to": None if usually is None else (today + timedelta(days=usually - 1)).isoformat(),
        "gone_by": None if early is None else (today + timedelta(days=early)).isoformat(),
        "one_in": one_in,
    }


def _first(holds: Callable[[int], bool]) -> int | None:
    """The first number of days, from 1 on, of which something holds that holds of all later ones."""
    if not holds(LASTING_DAYS_MOST):
        return None
    low, high = 1, LASTING_DAYS_MOST
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle + 1, high)
    return low


def lasting_words(lasts: dict[str, Any], today: date) -> str:
    """ "usually lasts to Saturday, Aug 1; 1 chance in 20 it is gone by Monday"."""
    usually = "lasts four months or more" if lasts["usually_to"] is None else f"lasts to {day_words(parse_day(lasts['usually_to']), today)}"
    if lasts["gone_by"] is None:
        return f"usually {usually}"
    return f"usually {usually}; 1 chance in {lasts['one_in']} it is gone by {day_words(parse_day(lasts['gone_by']), today)}"
