"""Outdoor air by hour: normals or forecast, the spread of hot days, and the day's shape.

Degrees C throughout. A draw is described by one standard normal number for each day; neighbouring days hang
together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt
from typing import Any

# Share of the day's range below its maximum, standard-time hours 1..24: ASHRAE Handbook of Fundamentals,
# design-day table.
BELOW_MAX = (
    0.88, 0.92, 0.95, 0.98, 1.0, 0.98, 0.91, 0.74, 0.55, 0.38, 0.23, 0.13, 0.05, 0.0, 0.0, 0.06, 0.14, 0.24,
    0.39, 0.50, 0.59, 0.68, 0.75, 0.82,
)  # fmt: skip
# Lag-one correlation of daily maxima: 0.69 Clemson, 0.66 Seattle, 0.50 Chicago (daily records).
DAY_TO_DAY = 0.65
# Sd of the minimum over sd of the maximum; records give 0.74 to 1.3, so this is our own middle for summer.
LOW_FOLLOWS = 0.8
# The normals are centred on 1995; 0.28 K a decade since (1991-2020 against 1981-2010 normals), uncertainty
# 0.4.
WARMING_2026_K = 0.8
WARMING_K_PER_YEAR = 0.028
WARMING_SD_K = 0.4
MOUNTAIN_STATES = frozenset({"AZ", "CO", "ID", "MT", "NM", "NV", "UT", "WY", "CA", "OR", "WA"})
MOUNTAIN_SD_K = 1.5
FORECAST_DAYS = 7


@dataclass(frozen=True)
class Day:
    """What is expected of one day: maximum, minimum, the maximum's standard deviation, and the cloud cover if
    foretold (0..1).
    """

    max_c: float
    min_c: float
    sd_k: float
    cover: float | None = None
    foretold: bool = False


def _between_months(values: Sequence[float], on: date) -> float:
    """Interpolate twelve mid-month values to a date; loses up to 0.3 K at the year's peak."""
    along = on.month - 1 + (on.day - 15) / 30.4
    before = int(along // 1)
    share = along - before
    return values[before % 12] * (1 - share) + values[(before + 1) % 12] * share


def normal_day(climate: Mapping[str, Any], state: str, on: date) -> Day:
    """Give a day's expectation from the monthly normals of a prefix: interpolated, warmed to the present,
    with the whole spread.
    """
    warming = WARMING_2026_K + WARMING_K_PER_YEAR * (on.year - 2026)
    spread = _between_months(climate["sd"], on)
    if "900" <= climate["zip3"] <= "939" and on.month in (9, 10, 11):
        spread = max(spread, 3.5)  # desert winds in autumn, which the fitted spread misses
    squares = spread**2 + climate["spread_c"] ** 2 + WARMING_SD_K**2
    if state in MOUNTAIN_STATES:
        squares += MOUNTAIN_SD_K**2
    return Day(
        _between_months(climate["tx"], on) + warming,
        _between_months(climate["tn"], on) + warming,
        sqrt(squares),
    )


def forecast_sd_k(climate: Mapping[str, Any], lead_days: int) -> float:
    """Give the standard deviation of a foretold maximum: a line through published errors, S (0.36 + 0.04 L),
    at least 1.2 K.
    """
    yearly = sum(climate["sd"]) / 12
    return max(1.2, float(yearly * (0.36 + 0.04 * lead_days)))


def blended_day(climate: Mapping[str, Any], state: str, on: date, issued: date, foretold: Mapping[str, Any] | None) -> Day:
    """Weigh a foretold day against the normals by 1/variance.

    Past the seventh day, or with nothing foretold, the normals stand.
    """
    normal = normal_day(climate, state, on)
    lead = (on - issued).days
    if foretold is None or lead < 0 or lead > FORECAST_DAYS:
        return normal
    own = min(normal.sd_k, sqrt(forecast_sd_k(climate, max(1, lead)) ** 2 + climate["spread_c"] ** 2))
    trust, doubt = 1 / own**2, 1 / normal.sd_k**2
    high = (trust * foretold["max_c"] + doubt * normal.max_c) / (trust + doubt)
    low = (trust * foretold["min_c"] + doubt * normal.min_c) / (trust + doubt)
    sky = foretold.get("sky_percent")
    return Day(high, low, sqrt(1 / (trust + doubt)), None if sky is None else sky / 100, True)


def day_chain(steps: Sequence[Sequence[float]], anchor: int = 0) -> list[list[float]]:
    """Turn independent normal numbers, one row for each draw, into rows whose neighbours correlate by DAY_TO_DAY (first-order).

    The day `anchor` keeps its own number; the days after and before it hang on it, which is the same law either way.
    """
    fresh = sqrt(1 - DAY_TO_DAY**2)
    rows = []
    for row in steps:
        chained = list(row)
        for day in range(anchor + 1, len(row)):
            chained[day] = DAY_TO_DAY * chained[day - 1] + fresh * row[day]
        for day in range(anchor - 1, -1, -1):
            chained[day] = DAY_TO_DAY * chained[day + 1] + fresh * row[day]
        rows.append(chained)
    return rows


def hours_of(days: Sequence[Day], z: Sequence[float], summer: int) -> list[float]:
    """Give outdoor air at clock hours 0, 1, ... of the days on end, for one draw.

    The shape is read in standard time (`summer` = 1 where the clock is an hour ahead). After the afternoon's
    peak the fall goes to the next day's minimum, so that days join without a jump.
    """
    highs = [day.max_c + day.sd_k * number for day, number in zip(days, z, strict=True)]
    lows = [min(day.min_c + LOW_FOLLOWS * day.sd_k * number, high) for day, number, high in zip(days, z, highs, strict=True)]
    hours: list[float] = []
    last, shape = len(days) - 1, DAY_SHAPE[summer]
    for index in range(len(days)):
        high, low = highs[index], lows[index]
        before, after = highs[max(0, index - 1)], lows[min(last, index + 1)]
        # Before dawn from yesterday's maximum, by day within the day, then to tomorrow's minimum.
        ends = ((high, high - low), (high, high - after), (before, before - low))
        hours += [ends[part][0] - share * ends[part][1] for share, part in shape]
    return hours


def _shape(summer: int) -> tuple[tuple[float, int], ...]:
    """Give share and which days' values it lies between (-1 yesterday's high, 0 today, 1 tomorrow's low) for
    clock hours 0..23.
    """
    rows = []
    for clock in range(24):
        standard = clock - summer
        share = BELOW_MAX[(standard - 1) % 24]
        part = -1 if standard < 5 else (1 if standard > 15 else 0)
        rows.append((share, part))
    return tuple(rows)


DAY_SHAPE = (_shape(0), _shape(1))
