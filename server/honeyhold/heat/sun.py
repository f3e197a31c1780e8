"""Where the sun stands and how hard it shines on a clear day. Held against pvlib."""

from __future__ import annotations

from datetime import date, timedelta
from math import cos, exp, pi, radians, sin

from honeyhold.errors import BadRequest

# Standard time, hours from UTC, of every zone the places table names.
STANDARD_HOURS = {
    "America/New_York": -5,
    "America/Detroit": -5,
    "America/Indiana/Indianapolis": -5,
    "America/Indiana/Vincennes": -5,
    "America/Kentucky/Louisville": -5,
    "America/Chicago": -6,
    "America/Denver": -7,
    "America/Boise": -7,
    "America/Phoenix": -7,
    "America/Los_Angeles": -8,
    "America/Anchorage": -9,
    "America/Juneau": -9,
    "America/Sitka": -9,
    "Pacific/Honolulu": -10,
    "America/Puerto_Rico": -4,
    "America/St_Thomas": -4,
    "Pacific/Guam": 10,
}
NO_SUMMER_TIME = frozenset({"America/Phoenix", "Pacific/Honolulu", "America/Puerto_Rico", "America/St_Thomas", "Pacific/Guam"})


def clock_hours(tz: str, on: date) -> int:
    """Give the local clock's hours from UTC at noon of a day (US rule since 2007: second Sunday of March to
    first of November).

    Raises BadRequest for a zone outside the table.
    """
    if tz not in STANDARD_HOURS:
        raise BadRequest(f"The time zone {tz!r} is not known here.", f"Use one of {', '.join(sorted(STANDARD_HOURS))}.")
    return STANDARD_HOURS[tz] + summer_hour(tz, on)


def summer_hour(tz: str, on: date) -> int:
    """Give 1 where and when clocks show summer time, else 0."""
    if tz in NO_SUMMER_TIME:
        return 0
    march, november = date(on.year, 3, 8), date(on.year, 11, 1)
    begins = march + timedelta(days=(6 - march.weekday()) % 7)
    ends = november + timedelta(days=(6 - november.weekday()) % 7)
    return int(begins <= on < ends)


def sin_elevation(lat: float, lon: float, on: date, utc_hour: float) -> float:
    """Give the sine of the sun's height above the horizon.

    Declination and equation of time by the series of Spencer 1971 (Search 2(5), 172), within about 0.1 degree
    of the full theory.
    """
    turn = 2 * pi * (on.timetuple().tm_yday - 1 + (utc_hour - 12) / 24) / 365
    declination = (
        0.006918 - 0.399912 * cos(turn) + 0.070257 * sin(turn) - 0.006758 * cos(2 * turn)
        + 0.000907 * sin(2 * turn) - 0.002697 * cos(3 * turn) + 0.00148 * sin(3 * turn)
    )  # fmt: skip
    minutes = 229.18 * (
        0.000075 + 0.001868 * cos(turn) - 0.032077 * sin(turn) - 0.014615 * cos(2 * turn) - 0.040849 * sin(2 * turn)
    )
    hour_angle = radians(15 * (utc_hour - 12) + lon + minutes / 4)
    height = sin(radians(lat)) * sin(declination) + cos(radians(lat)) * cos(declination) * cos(hour_angle)
    return max(-1.0, min(1.0, height))


def haurwitz(sin_height: float) -> float:
    """Give clear-sky global irradiance on level ground, W/m2: 1098 cos z exp(-0.059 / cos z) (Haurwitz 1945);
    0 below the horizon.
    """
    if sin_height <= 0:
        return 0.0
    return 1098.0 * sin_height * exp(-0.059 / sin_height)


def cloud_factor(cover: float) -> float:
    """Give the share of clear-sky irradiance that is left under a cloud cover 0..1 (Kasten and Czeplak 1980,
    Solar Energy 24, 177).
    """
    return float(1.0 - 0.75 * cover**3.4)


def clear_day(lat: float, lon: float, tz: str, on: date) -> list[float]:
    """Give clear-sky irradiance at clock hours 0..23 of a day, W/m2."""
    offset = clock_hours(tz, on)
    return [haurwitz(sin_elevation(lat, lon, on, hour - offset)) for hour in range(24)]
