"""What every weather service here has in common: one question, one sort of answer, one sort of trouble, and good manners.

A service is asked for one point at a time. Whatever goes wrong becomes one sentence in `ForecastUnavailable`; the monthly
normals stand in, and no order waits for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from email.utils import parsedate_to_datetime
from math import isfinite
from typing import TYPE_CHECKING, Any, Protocol

from honeyhold.errors import HoneyholdError

if TYPE_CHECKING:
    import requests

TIMEOUT_S = 8.0
TRIES = 3  # a server's own error (500, 502, 504) is often gone at the second or third try
ASK_AGAIN_AFTER = timedelta(hours=1)
ASK_AGAIN_MOST = timedelta(hours=6)
BACK_OFF = (timedelta(minutes=1), timedelta(minutes=4), timedelta(minutes=15))
OLD, TOO_OLD = timedelta(hours=18), timedelta(hours=48)
DAYLIGHT = range(9, 18)
COLDEST_C, HOTTEST_C = -60.0, 57.0
"""No day of the United States was ever outside: Prospect Creek -62 C, Death Valley 56.7 C (records; from memory)."""


class ForecastUnavailable(HoneyholdError, ConnectionError):
    """No forecast for now: `place` says which point, the message why; `unreachable`: nobody answered at all."""

    code = "forecast-unavailable"

    def __init__(self, message: str, place: str, unreachable: bool = False) -> None:
        super().__init__(message, "Monthly normals stand in; the forecast is asked for again later.")
        self.place = place
        self.unreachable = unreachable


@dataclass(frozen=True)
class Foretold:
    """A forecast as read: when the service made it, and its days in the form `heat.advise` takes."""

    updated: datetime
    days: list[dict[str, Any]]


class WeatherSource(Protocol):
    """A weather service. `name` is said wherever its forecast is used."""

    @property
    def name(self) -> str:
        """The service's name, as it wants to be credited."""

    def foretold(self, lat: float, lon: float, now: datetime, zone: str = "UTC") -> Foretold:
        """Give the forecast of a point, its days by the clock of `zone`. Raises ForecastUnavailable."""


def point_words(lat: float, lon: float) -> str:
    """Write a point as the services want it: at most four decimals, no zeros at the end."""
    return ",".join(f"{value:.4f}".rstrip("0").rstrip(".") for value in (lat, lon))


def polite_get(
    session: requests.Session, address: str, place: str, headers: Mapping[str, str], params: Mapping[str, str] | None = None
) -> requests.Response:
    """Ask once, and again at once after a server's own error, three times in all. Raises ForecastUnavailable."""
    import requests  # as `services` in refresh.py does: not before something is asked

    for attempt in range(TRIES):
        try:
            answer = session.get(address, headers=dict(headers), params=params, timeout=TIMEOUT_S)
        except requests.RequestException as trouble:
            reason = type(trouble).__name__
            raise ForecastUnavailable(f"The weather service cannot be reached ({reason}).", place, unreachable=True) from None
        if answer.status_code not in (500, 502, 504) or attempt == TRIES - 1:
            return answer
    raise AssertionError("the last try returns")


def good_for(answer: requests.Response, now: datetime) -> timedelta:
    """How long an answer may be kept by its own headers (`Expires`, else `max-age`): an hour at least, six at most."""
    headers = answer.headers
    kept = timedelta(0)
    try:
        if headers.get("Expires"):
            kept = parsedate_to_datetime(headers["Expires"]) - now
        for part in headers.get("Cache-Control", "").split(","):
            name, _, value = part.strip().partition("=")
            if name == "max-age":
                kept = max(kept, timedelta(seconds=int(value)))
    except (TypeError, ValueError):
        kept = timedelta(0)
    return min(ASK_AGAIN_MOST, max(ASK_AGAIN_AFTER, kept))


def sensible(days: list[dict[str, Any]], place: str) -> list[dict[str, Any]]:
    """The days as they are if every figure can be true. Raises ForecastUnavailable for what no thermometer ever showed."""
    for day in days:
        for value in (day["max_c"], day["min_c"]):
            if not isfinite(value) or not COLDEST_C <= value <= HOTTEST_C:
                raise ForecastUnavailable(f"The forecast for {place} says {value} °C on {day['day']}, which cannot be.", place)
        sky = day["sky_percent"]
        if sky is not None and not 0 <= sky <= 100:
            raise ForecastUnavailable(f"The forecast for {place} says {sky} % of clouds on {day['day']}, which cannot be.", place)
    if not days:
        raise ForecastUnavailable(f"The forecast for {place} holds no whole day.", place)
    return days


@dataclass(frozen=True)
class FirstOf:
    """Several services, asked in order until one answers; all silent, the first one's trouble is told."""

    sources: tuple[WeatherSource, ...]

    @property
    def name(self) -> str:
        """All their names."""
        return ", ".join(source.name for source in self.sources)

    def from_any(self, lat: float, lon: float, now: datetime, zone: str) -> tuple[str, Foretold]:
        """The name of the service that answered, and what it foretells. Raises ForecastUnavailable."""
        troubles: list[ForecastUnavailable] = []
        for source in self.sources:
            try:
                return source.name, source.foretold(lat, lon, now, zone)
            except ForecastUnavailable as trouble:
                troubles.append(trouble)
        assert troubles, "no weather service at all"
        troubles[0].unreachable = all(trouble.unreachable for trouble in troubles)
        raise troubles[0]

    def foretold(self, lat: float, lon: float, now: datetime, zone: str = "UTC") -> Foretold:
        """Give the forecast of the first service that has one. Raises ForecastUnavailable."""
        return self.from_any(lat, lon, now, zone)[1]
