"""The second weather service imitated: its data model, its status codes, its manners, and what no thermometer ever showed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import nullcontext
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import requests
import responses
from responses.matchers import header_matcher, query_param_matcher

from honeyhold.app.forecasts.client import FirstOf, ForecastUnavailable, Foretold
from honeyhold.app.forecasts.norway import ADDRESS, NorwayService, days_of_series
from honeyhold.app.forecasts.united_states import HOST, WeatherService

NOW = datetime(2026, 7, 20, 14, 0, tzinfo=UTC)
ZONE = "America/Chicago"


def entry(at: datetime, degrees: Any, ahead: tuple[float, float] | None = None, cover: float | None = 20) -> dict[str, Any]:
    data: dict[str, Any] = {"instant": {"details": {"air_temperature": degrees, "cloud_area_fraction": cover}}}
    if ahead:
        data["next_6_hours"] = {"details": {"air_temperature_min": ahead[0], "air_temperature_max": ahead[1]}}
    return {"time": at.strftime("%Y-%m-%dT%H:%M:%SZ"), "data": data}


def series(high: Any = 30.0, hours: int = 54, steps: int = 24) -> list[dict[str, Any]]:
    """Hourly for two days, then every six hours, as the institute's model gives them; warmest at 20 UTC (3 pm there)."""
    start = NOW.replace(hour=6)

    def at(moment: datetime) -> Any:
        return high - abs((moment.hour - 20 + 12) % 24 - 12) if isinstance(high, float) else high

    near = [entry(start + timedelta(hours=hour), at(start + timedelta(hours=hour))) for hour in range(hours)]
    far = [start + timedelta(hours=hours + 6 * step) for step in range(steps)]
    return near + [entry(moment, at(moment), (at(moment) - 1, high + 0.4 if moment.hour == 18 else at(moment) + 1)) for moment in far]


def answer(high: Any = 30.0, updated: datetime = NOW - timedelta(hours=1)) -> dict[str, Any]:
    return {
        "type": "Feature",
        "properties": {"meta": {"updated_at": updated.strftime("%Y-%m-%dT%H:%M:%SZ")}, "timeseries": series(high)},
    }  # fmt: skip


@pytest.fixture
def service() -> NorwayService:
    return NorwayService("hello@ninelindens.example.org")


@pytest.fixture
def sky() -> Iterator[responses.RequestsMock]:
    with responses.RequestsMock(assert_all_requests_are_fired=False) as mock:
        yield mock


def test_days_are_read_from_hours_and_from_six_hours(service: NorwayService, sky: responses.RequestsMock) -> None:
    who = header_matcher({"User-Agent": "Honeyhold hello@ninelindens.example.org"})
    sky.get(ADDRESS, json=answer(), match=[who, query_param_matcher({"lat": "45.5", "lon": "-92"})])
    foretold = service.foretold(45.5, -92.0, NOW, ZONE)
    assert foretold.updated == NOW - timedelta(hours=1)
    assert foretold.days[0]["day"] == "2026-07-20" and foretold.days[0]["max_c"] == 30.0 and foretold.days[0]["sky_percent"] == 20
    assert foretold.days[4]["max_c"] == 30.4 and len(foretold.days) >= 7
    assert all(day["min_c"] <= 19 for day in foretold.days)


def test_a_day_whose_afternoon_is_past_is_not_told() -> None:
    late = [one for one in series(hours=30, steps=0) if one["time"] >= "2026-07-21T02:00:00Z"]
    assert [day["day"] for day in days_of_series(late, ZONE)] == []
    assert days_of_series([], ZONE) == []


@pytest.mark.parametrize(
    ("hours", "told"), [((8, 12), True), ((3, 17), True), ((9, 12), False), ((2, 12), False), ((8, 11), False), ((8, 18), False)]
)
def test_a_day_counts_when_its_dawn_and_its_afternoon_are_foretold(hours: tuple[int, int], told: bool) -> None:
    """Dawn is from three to nine, the afternoon from noon to six, by the clock there (five hours behind UTC)."""
    at = datetime(2026, 7, 20, 5, tzinfo=UTC)
    assert bool(days_of_series([entry(at + timedelta(hours=hour), 20) for hour in hours], ZONE)) is told


def test_a_days_figures_are_its_warmest_its_coolest_and_its_clouds_while_it_is_light() -> None:
    at = datetime(2026, 7, 20, 5, tzinfo=UTC)
    hours = [(3, 11.04, 90), (8, 12, 90), (9, 14, 10), (12, 20, None), (17, 24.96, 21), (18, 23, 90)]
    told = days_of_series([entry(at + timedelta(hours=hour), degrees, cover=cover) for hour, degrees, cover in hours], ZONE)
    assert told == [{"day": "2026-07-20", "max_c": 25.0, "min_c": 11.0, "sky_percent": 16}]


def test_a_temperature_that_is_missing_is_left_out() -> None:
    holes = [{**one, "data": {"instant": {"details": {}}}} if index % 2 else one for index, one in enumerate(series(steps=0))]
    assert days_of_series(holes, ZONE)[0]["max_c"] == pytest.approx(30, abs=1)


def test_it_is_asked_again_only_after_its_own_time_and_then_says_what_it_has(service: NorwayService, sky: responses.RequestsMock) -> None:
    stamp = "Mon, 20 Jul 2026 13:00:00 GMT"
    sky.get(ADDRESS, json=answer(), headers={"Expires": "Mon, 20 Jul 2026 17:30:00 GMT", "Last-Modified": stamp})
    first = service.foretold(45.5, -92.0, NOW, ZONE)
    for minutes in (30, 120, 209):
        service.foretold(45.5, -92.0, NOW + timedelta(minutes=minutes), ZONE)
    assert len(sky.calls) == 1
    sky.replace(responses.GET, ADDRESS, status=304)
    assert service.foretold(45.5, -92.0, NOW + timedelta(minutes=211), ZONE) == first
    assert len(sky.calls) == 2 and sky.calls[1].request.headers["If-Modified-Since"] == stamp


TROUBLES: list[tuple[dict[str, Any], str]] = [
    ({"body": "<html>Forbidden</html>", "status": 403}, "turned us away (403)"),
    ({"body": "", "status": 429}, "turned us away (429)"),
    ({"body": "<html>Bad request</html>", "status": 400}, "answered 400"),
    ({"body": "", "status": 404}, "answered 404"),
    ({"body": "", "status": 422}, "answered 422"),
    ({"body": "", "status": 502}, "answered 502"),
    ({"body": "", "status": 503}, "answered 503"),
    ({"body": "", "status": 304}, "sent nothing"),
    ({"body": "", "status": 200}, "is no forecast"),
    ({"body": "<html>log in to the wireless</html>", "status": 200}, "is no forecast"),
    ({"json": {}}, "could not be read"),
    ({"json": [1]}, "could not be read"),
    ({"json": {"properties": {"meta": {"updated_at": "soon"}, "timeseries": []}}}, "could not be read"),
    ({"json": {"properties": {"meta": {"updated_at": "2026-07-20T13:00:00Z"}, "timeseries": []}}}, "no whole day"),
    ({"json": answer(200.0)}, "cannot be"),
    ({"json": answer(float("nan"))}, "cannot be"),
    ({"body": requests.ConnectionError("no route")}, "cannot be reached (ConnectionError)"),
    ({"body": requests.ReadTimeout("slow")}, "cannot be reached (ReadTimeout)"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "said"), TROUBLES)
def test_every_failure_becomes_a_sentence(
    service: NorwayService, sky: responses.RequestsMock, given: dict[str, Any], said: str
) -> None:
    sky.get(ADDRESS, **given)
    with pytest.raises(ForecastUnavailable) as trouble:
        service.foretold(45.5, -92.0, NOW, ZONE)
    assert said in str(trouble.value) and trouble.value.remedy and trouble.value.unreachable == ("reached" in said)


def test_turned_away_it_stays_away_for_hours_and_keeps_what_it_had(service: NorwayService, sky: responses.RequestsMock) -> None:
    sky.get(ADDRESS, json=answer())
    first = service.foretold(45.5, -92.0, NOW, ZONE)
    sky.replace(responses.GET, ADDRESS, status=429)
    for hours in (1.1, 2, 3, 4, 5, 6, 7):
        assert service.foretold(45.5, -92.0, NOW + timedelta(hours=hours), ZONE) == first
    assert len(sky.calls) == 2
    with pytest.raises(ForecastUnavailable, match="hours old"):
        service.foretold(45.5, -92.0, NOW + timedelta(hours=60), ZONE)


def test_failures_are_followed_by_longer_silences_and_a_good_answer_ends_them(service: NorwayService, sky: responses.RequestsMock) -> None:
    def asked(minutes: range, good: bool = False) -> list[int]:
        at = []
        for minute in minutes:
            before = len(sky.calls)
            with nullcontext() if good else pytest.raises(ForecastUnavailable):
                service.foretold(45.5, -92.0, NOW + timedelta(minutes=minute), ZONE)
            at += [minute] * (len(sky.calls) > before)
        return at

    sky.get(ADDRESS, status=503)
    assert asked(range(40)) == [0, 1, 5, 20, 35]
    sky.replace(responses.GET, ADDRESS, json=answer())
    assert asked(range(50, 60), good=True) == [50]
    sky.replace(responses.GET, ADDRESS, status=503)
    assert asked(range(60, 117), good=True) == [110, 111, 115]


def test_the_second_service_speaks_where_the_first_has_nothing(sky: responses.RequestsMock, service: NorwayService) -> None:
    sky.get(f"{HOST}/points/45.5,-92", json={"title": "Data Unavailable For Requested Point"}, status=404)
    sky.get(ADDRESS, json=answer())
    both = FirstOf((WeatherService("hello@ninelindens.example.org"), service))
    name, foretold = both.from_any(45.5, -92.0, NOW, ZONE)
    assert name == "MET Norway" and isinstance(foretold, Foretold) and "National" in both.name
    sky.replace(responses.GET, ADDRESS, status=503)
    silent = FirstOf((WeatherService("a"), NorwayService("a")))
    with pytest.raises(ForecastUnavailable, match="Data Unavailable"):
        silent.foretold(45.5, -92.0, NOW, ZONE)


@pytest.mark.parametrize("high", [float("nan"), 200.0, -90.0])
def test_the_first_service_is_not_believed_either_when_it_cannot_be(sky: responses.RequestsMock, high: float) -> None:
    grid = f"{HOST}/gridpoints/MPX/1,1"
    sky.get(f"{HOST}/points/45.5,-92", json={"properties": {"forecastGridData": grid, "timeZone": ZONE}})
    values = [{"validTime": f"2026-07-{day}T12:00:00+00:00/PT13H", "value": high} for day in (20, 21)]
    layers = {"maxTemperature": {"values": values}, "minTemperature": {"values": values}}
    sky.get(grid, json={"properties": {"updateTime": NOW.isoformat(), **layers}})
    with pytest.raises(ForecastUnavailable, match="cannot be"):
        WeatherService("a").foretold(45.5, -92.0, NOW)
