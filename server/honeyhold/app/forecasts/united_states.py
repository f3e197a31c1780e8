"""The National Weather Service's forecast for a point, as the days that heat understands.

Open data without a key, the United States and territories only. Two steps, by its own documentation: a point
gives the address of its grid, the grid gives layers of values with ISO 8601 spans. Nothing here ever stops an
order: every failure becomes one sentence, and the monthly normals stand in. The clock is handed in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import requests

from honeyhold.app.forecasts.client import (
    BACK_OFF,
    DAYLIGHT,
    TOO_OLD,
    ForecastUnavailable,
    Foretold,
    good_for,
    point_words,
    polite_get,
    sensible,
)

HOST = "https://api.weather.gov"
GRID_KEPT = timedelta(days=7)  # grids are realigned without notice
SPAN = re.compile(r"P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?)?")


@dataclass
class _Known:
    """What is kept of a point: its grid's address, its zone, the last forecast, and when not to ask before.
    """

    grid: str = ""
    zone: str = "UTC"
    grid_until: datetime | None = None
    foretold: Foretold | None = None
    next_ask: datetime | None = None
    failures: int = 0
    trouble: str = ""
    unreachable: bool = False


def span_of(valid_time: str) -> tuple[datetime, datetime]:
    """Read "2026-06-08T06:00:00+00:00/PT13H" as start and end. Raises ValueError."""
    start_text, _, length = valid_time.partition("/")
    found = SPAN.fullmatch(length)
    if found is None or not any(found.groups()):
        raise ValueError(f"{valid_time!r} is no span of time")
    days, hours, minutes = (int(part or 0) for part in found.groups())
    start = datetime.fromisoformat(start_text)
    return start, start + timedelta(days=days, hours=hours, minutes=minutes)


def _layer(properties: Mapping[str, Any], name: str) -> Iterable[tuple[datetime, datetime, float]]:
    """Give the spans and values of a layer; a missing layer is empty, a missing value is left out."""
    for entry in (properties.get(name) or {}).get("values") or []:
        if entry.get("value") is not None:
            yield *span_of(entry["validTime"]), float(entry["value"])


def days_of_grid(properties: Mapping[str, Any], zone: str) -> list[dict[str, Any]]:
    """Give the local days that have both a maximum and a minimum, with the mean cloud cover of daylight where
    there is one.

    A day's maximum belongs to the middle of its span, its minimum (the night before) to the end of its span.
    Raises ValueError, KeyError.
    """
    clock = ZoneInfo(zone)
    highs: dict[date, float] = {}
    lows: dict[date, float] = {}
    covers: dict[date, list[float]] = {}
    for start, end, value in _layer(properties, "maxTemperature"):
        highs[(start + (end - start) / 2).astimezone(clock).date()] = value
    for _, end, value in _layer(properties, "minTemperature"):
        lows[end.astimezone(clock).date()] = value
    for start, end, value in _layer(properties, "skyCover"):
        for hour in range(int((end - start) / timedelta(hours=1))):
            local = (start + timedelta(hours=hour)).astimezone(clock)
            if local.hour in DAYLIGHT:
                covers.setdefault(local.date(), []).append(value)
    return [
        {
            "day": on.isoformat(),
            "max_c": round(max(highs[on], lows[on]), 1),
            "min_c": round(lows[on], 1),
            "sky_percent": round(sum(covers[on]) / len(covers[on])) if on in covers else None,
        }
        for on in sorted(highs.keys() & lows.keys())
    ]


@dataclass
class WeatherService:
    """Asks the service, each point once an hour at most, and waits longer after every failure.

    `contact` is the house's address in the User-Agent, which the service requires.
    """

    contact: str
    session: requests.Session = field(default_factory=requests.Session)
    _points: dict[str, _Known] = field(default_factory=dict)
    name: str = "National Weather Service"

    def foretold(self, lat: float, lon: float, now: datetime, zone: str = "UTC") -> Foretold:
        """Give the forecast of a point, its days by the zone that the service names. Raises ForecastUnavailable."""
        place = point_words(lat, lon)
        known = self._points.setdefault(place, _Known())
        if known.next_ask is None or now >= known.next_ask:
            self._refresh(place, known, now)
        if known.foretold is None:
            raise ForecastUnavailable(known.trouble, place, known.unreachable)
        if now - known.foretold.updated > TOO_OLD:
            hours = round((now - known.foretold.updated) / timedelta(hours=1))
            raise ForecastUnavailable(f"The newest forecast for {place} is {hours} hours old.", place)
        return known.foretold

    def _refresh(self, place: str, known: _Known, now: datetime) -> None:
        """Ask anew; after a failure keep what was known and set a later time for the next try."""
        try:
            known.foretold, kept = self._ask(place, known, now)
        except ForecastUnavailable as trouble:
            known.trouble, known.unreachable = str(trouble), trouble.unreachable
            known.next_ask = now + BACK_OFF[min(known.failures, len(BACK_OFF) - 1)]
            known.failures += 1
            return
        known.failures, known.next_ask = 0, now + kept

    def _ask(self, place: str, known: _Known, now: datetime) -> tuple[Foretold, timedelta]:
        if known.grid_until is None or now >= known.grid_until:
            self._find_grid(place, known, now)
        answer = self._get(known.grid, place)
        if answer.status_code == 404:  # realigned: look the point up again, once
            self._find_grid(place, known, now)
            answer = self._get(known.grid, place)
        properties = self._properties(answer, place)
        try:
            updated = datetime.fromisoformat(properties["updateTime"])
            days = sensible(days_of_grid(properties, known.zone), place)
        except ForecastUnavailable:
            raise
        except (KeyError, TypeError, ValueError, AttributeError) as trouble:
            raise ForecastUnavailable(
                f"The forecast for {place} could not be read ({trouble}).", place
            ) from None
        if updated.tzinfo is None:
            raise ForecastUnavailable(f"The forecast for {place} does not say when it was made.", place)
        return Foretold(updated, days), good_for(answer, now)

    def _find_grid(self, place: str, known: _Known, now: datetime) -> None:
        properties = self._properties(self._get(f"{HOST}/points/{place}", place), place)
        grid, zone = properties.get("forecastGridData"), properties.get("timeZone")
        if (
            not isinstance(grid, str)
            or not grid.startswith(f"{HOST}/gridpoints/")
            or not isinstance(zone, str)
        ):
            raise ForecastUnavailable(f"The weather service names no grid for {place}.", place)
        known.grid, known.zone, known.grid_until = grid, zone, now + GRID_KEPT

    def _get(self, address: str, place: str) -> requests.Response:
        headers = {"User-Agent": f"Honeyhold ({self.contact})", "Accept": "application/geo+json"}
        return polite_get(self.session, address, place, headers)

    def _properties(self, answer: requests.Response, place: str) -> Mapping[str, Any]:
        """Give the `properties` of a good answer; anything else (an HTML page, a problem) becomes a sentence.
        """
        try:
            body = answer.json()
        except requests.JSONDecodeError:
            body = {}
        body = body if isinstance(body, dict) else {}
        if answer.status_code != 200 or not isinstance(body.get("properties"), dict):
            reason = str(body.get("title") or "no forecast in it")[:80]
            raise ForecastUnavailable(
                f"The weather service answered {answer.status_code} for {place}: {reason}.", place
            )
        properties: dict[str, Any] = body["properties"]
        return properties
