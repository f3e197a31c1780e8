"""A day's air out of the monthly normals and what was foretold of it: how far a forecast reaches, and how much each of the two weighs.

Two independent estimates are combined by the inverse of their variances, which makes the variance of the mean the least it can be (worked
out here by itself): the nearer the day, the more the forecast has to say.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from honeyhold.heat.air import blended_day, forecast_sd_k, normal_day

CLIMATE: dict[str, Any] = {"zip3": "548", "tx": [25.0] * 12, "tn": [14.0] * 12, "sd": [3.0] * 12, "spread_c": 1.0}
ISSUED = date(2026, 7, 20)
FORETOLD = {"max_c": 36.0, "min_c": 22.0, "sky_percent": 30}


def on(lead_days: int, foretold: dict[str, Any] | None = FORETOLD) -> Any:
    """The day so many days after the forecast was made."""
    return blended_day(CLIMATE, "WI", ISSUED + timedelta(days=lead_days), ISSUED, foretold)


@pytest.mark.parametrize("lead_days", [-1, 8, 9, 30])
def test_past_the_seventh_day_and_before_the_first_the_normals_stand(lead_days: int) -> None:
    normal = normal_day(CLIMATE, "WI", ISSUED + timedelta(days=lead_days))
    assert on(lead_days) == normal and not normal.foretold


@pytest.mark.parametrize("lead_days", range(8))
def test_up_to_the_seventh_each_weighs_by_its_variance(lead_days: int) -> None:
    normal = normal_day(CLIMATE, "WI", ISSUED + timedelta(days=lead_days))
    told = on(lead_days)
    own_variance = forecast_sd_k(CLIMATE, max(1, lead_days)) ** 2 + 1.0
    weight = normal.sd_k**2 / (normal.sd_k**2 + own_variance)
    assert told.foretold and told.cover == 0.3
    assert told.max_c == pytest.approx(normal.max_c + weight * (36.0 - normal.max_c))
    assert told.min_c == pytest.approx(normal.min_c + weight * (22.0 - normal.min_c))
    assert told.sd_k == pytest.approx((own_variance * normal.sd_k**2 / (own_variance + normal.sd_k**2)) ** 0.5)


def test_a_later_day_is_believed_less_and_none_more_than_the_normals_are_doubted() -> None:
    highs = [on(lead).max_c for lead in range(1, 8)]
    assert highs == sorted(highs, reverse=True) and highs[0] > highs[-1] > normal_day(CLIMATE, "WI", ISSUED).max_c
    assert all(on(lead).sd_k < normal_day(CLIMATE, "WI", ISSUED).sd_k for lead in range(8))


def test_nothing_foretold_leaves_the_normals() -> None:
    assert on(2, None) == normal_day(CLIMATE, "WI", ISSUED + timedelta(days=2))
