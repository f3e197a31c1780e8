"""The Norwegian Meteorological Institute's forecast for any point on earth, for where the first service has none.

Written from its public documentation (Locationforecast 2.0: data model, status codes, terms of service): open data (CC BY 4.0, so
it is named wherever it is used), no key, commercial use allowed. It wants a User-Agent with a contact, at most four
decimals in a point, no asking before `Expires`, and `If-Modified-Since` with exactly the last `Last-Modified`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
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

ADDRESS = "https://api.met.no/weatherapi/locationforecast/2.0/complete"
LONG_SILENCE = timedelta(hours=6)  # after "forbidden" or "too many": asking on would only make it worse
AFTERNOON, DAWN = range(12, 18), range(3, 9)
"""A day counts only if its warmest and its coolest hours were foretold."""


@dataclass
class _Known:
    """What is kept of a point."""

    foretold: Foretold | None = None
    last_modified: str = ""
    next_ask: datetime | None = None
    failures: int = 0
    trouble: str = ""
    unreachable: bool = False


@dataclass
class NorwayService:
    """Asks the institute, each point no sooner than its own answer allows. `contact` goes into the User-Agent."""

    contact: str
    session: requests.Session = field(default_factory=requests.Session)
    name: str = "MET Norway"
    _points: dict[str, _Known] = field(default_factory=dict)

    def foretold(self, lat: float, lon: float, now: datetime, zone: str = "UTC") -> Foretold:
        """Give the forecast of a point, its days by the clock of `zone`. Raises ForecastUnavailable."""
        place = point_words(lat, lon)
        known = self._points.setdefault(place, _Known())
        if known.next_ask is None or now >= known.next_ask:
            self._refresh(place, known, now, zone)
        if known.foretold is None:
            raise ForecastUnavailable(known.trouble, place, known.unreachable)
        if now - known.foretold.updated > TOO_OLD:
            hours = round((now - known.foretold.updated) / timedelta(hours=1))
            raise ForecastUnavailable(f"The newest forecast for {place} is {hours} hours old.", place)
        return known.foretold

    def _refresh(self, place: str, known: _Known, now: datetime, zone: str) -> None:
        try:
            answer = self._get(place, known)
            if answer.status_code != 304:
                known.foretold = _read(answer, place, zone)
                known.last_modified = answer.headers.get("Last-Modified", "")
        except ForecastUnavailable as trouble:
            known.trouble, known.unreachable = str(trouble), trouble.unreachable
            long = isinstance(trouble, _TurnedAway)
            known.next_ask = now + (LONG_SILENCE if long else BACK_OFF[min(known.failures, len(BACK_OFF) - 1)])
            known.failures += 1
            return
        known.failures, known.next_ask = 0, now + good_for(answer, now)

    def _get(self, place: str, known: _Known) -> requests.Response:
        lat, lon = place.split(",")
        headers = {"User-Agent": f"Honeyhold {self.contact}", "Accept": "application/json"}
        if known.foretold and known.last_modified:
            headers["If-Modified-Since"] = known.last_modified
        answer = polite_get(self.session, ADDRESS, place, headers, {"lat": lat, "lon": lon})
        if answer.status_code in (401, 403, 429):
            raise _TurnedAway(f"The weather service turned us away ({answer.status_code}) for {place}.", place)
        if answer.status_code == 304 and known.foretold is None:
            raise ForecastUnavailable(f"The weather service sent nothing for {place}.", place)
        if answer.status_code not in (200, 203, 304):  # 203: an older version of the product, still good
            raise ForecastUnavailable(f"The weather service answered {answer.status_code} for {place}.", place)
        return answer


class _TurnedAway(ForecastUnavailable):
    """Forbidden, or asked too often."""


def _read(answer: requests.Response, place: str, zone: str) -> Foretold:
    try:
        properties = answer.json()["properties"]
        updated = datetime.fromisoformat(properties["meta"]["updated_at"])
        days = days_of_series(properties["timeseries"], zone)
        if updated.tzinfo is None:
            raise ValueError("no zone in updated_at")
    except requests.JSONDecodeError:
        raise ForecastUnavailable(f"What the weather service sent for {place} is no forecast.", place) from None
    except (KeyError, TypeError, ValueError, AttributeError) as trouble:
        raise ForecastUnavailable(f"The forecast for {place} could not be read ({trouble!r:.60}).", place) from None
    return Foretold(updated, sensible(days, place))


def _marks(series: list[Mapping[str, Any]]) -> Iterator[tuple[datetime, float, float, float | None]]:
    """Moments with the least and the greatest temperature there, and the cloud cover: instants, and the middles of six hours."""
    for entry in series:
        at = datetime.fromisoformat(entry["time"])
        data = entry["data"]
        instant = data["instant"]["details"]
        if instant.get("air_temperature") is not None:
            here = float(instant["air_temperature"])
            yield at, here, here, instant.get("cloud_area_fraction")
        ahead = (data.get("next_6_hours") or {}).get("details") or {}
        if ahead.get("air_temperature_max") is not None and ahead.get("air_temperature_min") is not None:
            yield at + timedelta(hours=3), float(ahead["air_temperature_min"]), float(ahead["air_temperature_max"]), None


def days_of_series(series: list[Mapping[str, Any]], zone: str) -> list[dict[str, Any]]:
    """Give the local days whose afternoon and dawn are foretold: greatest, least, mean cloud cover of daylight.

    Raises KeyError, TypeError, ValueError.
    """
    clock = ZoneInfo(zone)
    by_day: dict[date, list[tuple[int, float, float, float | None]]] = {}
    for at, low, high, cover in _marks(series):
        local = at.astimezone(clock)
        by_day.setdefault(local.date(), []).append((local.hour, low, high, cover))
    days = []
    for on, marks in sorted(by_day.items()):
        hours = {hour for hour, *_ in marks}
        if not hours.intersection(AFTERNOON) or not hours.intersection(DAWN):
            continue
        covers = [cover for hour, _, _, cover in marks if cover is not None and hour in DAYLIGHT]
        days.append({
            "day": on.isoformat(),
            "max_c": round(max(high for _, _, high, _ in marks), 1),
            "min_c": round(min(low for _, low, _, _ in marks), 1),
            "sky_percent": round(sum(covers) / len(covers)) if covers else None,
        })
    return days
