"""Busy days: a market, a mention in the paper, the week before a holiday. How often they come and how busy they are.

Every day of the record is either ordinary or busy; how likely it was busy follows from its callers against those of the
weeks around it (two Poisson counts compared, Bayes' rule). Before there is a record: one day in sixty, two and a half
times the callers, and a busy day is followed by another one time in two (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp, log

USUAL_PART, USUAL_DAYS = 1 / 60, 120.0  # before a record, and what it weighs against one, in days
USUAL_TIMES, USUAL_CALLERS = 2.5, 8.0  # so many times an ordinary day, and its weight in expected callers
AGAIN = 0.5  # a busy day is followed by another
AROUND_DAYS, NEAR_DAYS = 14, 1
LEAST_AROUND = 7
LOG_ODDS, LOG_TIMES = log(USUAL_PART / (1 - USUAL_PART)), log(USUAL_TIMES)
TIMES_MAX = 6.0


@dataclass(frozen=True)
class Rushes:
    """`part` of the days are busy, with `times` the callers; today follows a busy day with chance `yesterday`."""

    part: float = USUAL_PART
    times: float = USUAL_TIMES
    yesterday: float = 0.0

    def chance_within(self, days: int) -> float:
        """The chance that at least one of the next `days` days is busy; today more likely after a busy yesterday."""
        if days <= 0:
            return 0.0
        today = 1 - (1 - self.part) * (1 - AGAIN * self.yesterday)
        return 1 - (1 - today) * (1 - self.part) ** (days - 1)

    def exposures(self, exposure: float, days: int) -> tuple[float, float]:
        """Ordinary days' worth of callers in a window without and with a rush, which lasts two days.

        `exposure` is counted in average days of the record, busy ones among them.
        """
        plain = exposure / (1 + self.part * (self.times - 1))
        return plain, plain * (1 + (self.times - 1) * min(2, days) / max(1, days))


def learn_rushes(counts: Mapping[date, int], weekday: tuple[float, ...], since: date, today: date) -> Rushes:
    """Busy days from callers by day, `since` to yesterday (today is not over). `weekday` are the factors of the weekdays."""
    days = min((today - since).days, 730)
    if days < LEAST_AROUND:
        return Rushes()
    seen = [counts.get(today - timedelta(days=ago), 0) for ago in range(1, days + 1)]
    total = [0]
    for count in seen:
        total.append(total[-1] + count)
    first = today.weekday()
    busy = called = meant = last = 0.0
    for at, count in enumerate(seen):
        mean = _around(total, at, days) * weekday[(first - 1 - at) % 7]
        chance = _busy(count, mean)
        busy, called, meant = busy + chance, called + chance * count, meant + chance * mean
        if at == 0:
            last = chance
    times = (called + USUAL_TIMES * USUAL_CALLERS) / (meant + USUAL_CALLERS)
    return Rushes((busy + USUAL_PART * USUAL_DAYS) / (days + USUAL_DAYS), min(TIMES_MAX, max(1.5, times)), last)


def _around(total: list[int], at: int, days: int) -> float:
    """The mean of the weeks around a day, that day and its neighbours left out; a little above zero."""
    low, high = max(0, at - AROUND_DAYS), min(days, at + AROUND_DAYS + 1)
    near_low, near_high = max(0, at - NEAR_DAYS), min(days, at + NEAR_DAYS + 1)
    callers = total[high] - total[low] - (total[near_high] - total[near_low])
    return (callers + 0.5) / (high - low - (near_high - near_low) + 1)


def _busy(count: int, mean: float) -> float:
    """The chance that a day was busy: odds x times^count x e^-(times - 1) mean."""
    odds = LOG_ODDS + count * LOG_TIMES - (USUAL_TIMES - 1) * mean
    return 1 / (1 + exp(-max(-50.0, min(50.0, odds))))
