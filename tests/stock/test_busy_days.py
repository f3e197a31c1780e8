"""Busy days learned from a record: by hand where the record is even, and by their own two counts where it is not."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from honeyhold.errors import HoneyholdError
from honeyhold.stock.busy_days import USUAL_CALLERS, USUAL_DAYS, USUAL_PART, USUAL_TIMES, Rushes, _around, _busy, learn_rushes
from honeyhold.stock.demand import panjer, read_sizes

TODAY = date(2026, 7, 22)
EVEN = (1.0,) * 7


def recorded(counts: list[int]) -> Rushes:
    """What is learned of so many callers yesterday, the day before, and so on."""
    days = {TODAY - timedelta(days=ago): count for ago, count in enumerate(counts, 1)}
    return learn_rushes(days, EVEN, TODAY - timedelta(days=len(counts)), TODAY)


@pytest.mark.parametrize(("at", "days_around"), [(30, 26), (0, 13), (1, 13), (59, 13), (14, 26)])
def test_the_weeks_around_a_day_leave_it_and_its_neighbours_out(at: int, days_around: int) -> None:
    """Three callers a day: two weeks on either side, as far as the record goes; half a caller and a day are added, so none is nothing."""
    total = [3 * day for day in range(61)]
    assert _around(total, at, 60) == pytest.approx((3 * days_around + 0.5) / (days_around + 1))


def test_an_even_record_has_fewer_busy_days_than_the_usual_one_in_sixty() -> None:
    """What is learned is the record and the usual, weighed by days and by callers."""
    found = recorded([3] * 60)
    total = [3 * day for day in range(61)]
    means = [_around(total, at, 60) for at in range(60)]
    chances = [_busy(3, mean) for mean in means]
    called, meant = sum(3 * one for one in chances), sum(one * mean for one, mean in zip(chances, means, strict=True))
    assert found.part == pytest.approx((sum(chances) + USUAL_PART * USUAL_DAYS) / (60 + USUAL_DAYS)) and found.part < USUAL_PART
    assert found.times == pytest.approx((called + USUAL_TIMES * USUAL_CALLERS) / (meant + USUAL_CALLERS))
    assert found.yesterday == pytest.approx(chances[0]) and found.yesterday < 0.2


def test_a_market_is_seen_and_the_day_after_it_may_be_busy_too() -> None:
    """Twelve callers where there were two: surely busy, and yesterday's rush may go on."""
    market = recorded([12, *[2] * 40])
    assert market.yesterday > 0.95 and market.times > USUAL_TIMES
    assert market.chance_within(1) > 0.45 > recorded([2, 12, *[2] * 39]).chance_within(1)
    assert recorded([2] * 6) == Rushes() and market.chance_within(0) == 0.0


@pytest.mark.parametrize("sizes", [{}, [1], None, "5", {"0": 1}, {"5": -1}, {"5": True}, {"five": 1}, {"5": 0}])
def test_sizes_that_are_none_are_refused(sizes: object) -> None:
    with pytest.raises(HoneyholdError, match="order_sizes"):
        read_sizes(sizes)


def test_one_size_for_a_poisson_number_is_the_poisson_law() -> None:
    """Panjer (1981): with a = 0 and b the mean, orders of one piece are the law itself; of two pieces, the same on even numbers."""
    mean = 2.0
    law = [0.1353352832, 0.2706705665, 0.2706705665, 0.1804470443, 0.0902235222]
    assert panjer(law[0], 0.0, mean, {1: 1.0}, 4) == pytest.approx(law)
    assert panjer(law[0], 0.0, mean, {2: 1.0}, 4) == pytest.approx([law[0], 0, law[1], 0, law[2]])
