"""The weather service imitated: what it sends, what it refuses, and that nothing of it stops an order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import requests
import responses
from responses.matchers import header_matcher
from tests.heat.asking import ask

from honeyhold.app.forecasts.client import OLD, Foretold, WeatherSource, sensible
from honeyhold.app.forecasts.united_states import (
    HOST,
    ForecastUnavailable,
    WeatherService,
    days_of_grid,
    point_words,
    span_of,
)
from honeyhold.heat import advise

NOW = datetime(2026, 7, 20, 14, 0, tzinfo=UTC)
HOME = {"rep_lat": 45.5, "rep_lon": -92.0}
AWAY = {"rep_lat": 46.84, "rep_lon": -92.2}
POINTS = {"from": f"{HOST}/points/45.5,-92", "to": f"{HOST}/points/46.84,-92.2"}
GRIDS = {"from": f"{HOST}/gridpoints/MPX/150,90", "to": f"{HOST}/gridpoints/DLH/86,60"}


def forecast_between(
    service: WeatherSource, origin: Mapping[str, Any], target: Mapping[str, Any], now: datetime
) -> tuple[dict[str, Any] | None, list[str]]:
    """Give the `forecast` of a heat request and what to tell about it.

    `origin` and `target` are rows of the places table (their `rep_lat`, `rep_lon`) or hold a nearer point by
    the same names; `now` knows its zone. An end that fails is left to the normals and named; with both lost
    the forecast is None.
    """
    found: dict[str, Foretold] = {}
    told: list[str] = []
    for end, row in (("from", origin), ("to", target)):
        try:
            found[end] = service.foretold(row["rep_lat"], row["rep_lon"], now, row.get("tz") or "UTC")
        except ForecastUnavailable as trouble:
            told.append(f"{trouble} Monthly normals stand in.")
    if not found:
        return None, told
    oldest = min(foretold.updated for foretold in found.values())
    if now - oldest > OLD:
        told.append(f"The forecast is {round((now - oldest) / timedelta(hours=1))} hours old.")
    days = {end: found[end].days if end in found else None for end in ("from", "to")}
    return {"issued": oldest.astimezone(now.tzinfo).strftime("%Y-%m-%dT%H:%M"), **days}, told


def point_answer(end: str) -> dict[str, Any]:
    return {"properties": {"gridId": "MPX", "forecastGridData": GRIDS[end], "timeZone": "America/Chicago"}}


def grid_answer(high: float = 30.0, updated: datetime = NOW - timedelta(hours=3)) -> dict[str, Any]:
    def layer(hour: int, length: str, value: float) -> dict[str, Any]:
        starts = (datetime(2026, 7, 20 + step, hour, tzinfo=UTC) for step in range(7))
        return {
            "uom": "wmoUnit:degC",
            "values": [{"validTime": f"{s.isoformat()}/{length}", "value": value} for s in starts],
        }

    return {
        "properties": {
            "updateTime": updated.isoformat(),
            "maxTemperature": layer(12, "PT13H", high),
            "minTemperature": layer(0, "PT14H", high - 12),
            "skyCover": {
                "values": [
                    {"validTime": "2026-07-20T06:00:00+00:00/P1DT6H", "value": 20},
                    {"validTime": "2026-07-21T12:00:00+00:00/PT1H", "value": None},
                ]
            },
        }
    }


@pytest.fixture
def service() -> WeatherService:
    return WeatherService("hello@ninelindens.example.org")


@pytest.fixture
def sky() -> Iterator[responses.RequestsMock]:
    with responses.RequestsMock(assert_all_requests_are_fired=False) as mock:
        yield mock


def put_all(
    sky: responses.RequestsMock, high: float = 30.0, updated: datetime = NOW - timedelta(hours=3)
) -> None:
    who = [header_matcher({"User-Agent": "Honeyhold (hello@ninelindens.example.org)"})]
    for end in ("from", "to"):
        sky.get(POINTS[end], json=point_answer(end), match=who)
        sky.get(GRIDS[end], json=grid_answer(high, updated), match=who)


def test_points_have_at_most_four_decimals_and_no_zeros_at_the_end() -> None:
    assert point_words(39.74560, -97.08921) == "39.7456,-97.0892"
    assert point_words(40.0, -97.5) == "40,-97.5"


def test_spans_of_hours_days_and_nonsense() -> None:
    for length, hours in (("PT13H", 13), ("P7DT5H", 173), ("P1D", 24), ("PT30M", 0.5)):
        start, end = span_of(f"2026-06-08T06:00:00+00:00/{length}")
        assert (end - start) / timedelta(hours=1) == hours
    for text in ("2026-06-08T06:00:00+00:00", "2026-06-08T06:00:00+00:00/P", "soon/PT1H"):
        with pytest.raises(ValueError, match="."):
            span_of(text)


def test_days_are_local_ones() -> None:
    days = days_of_grid(grid_answer()["properties"], "America/Chicago")
    assert days[0] == {"day": "2026-07-20", "max_c": 30.0, "min_c": 18.0, "sky_percent": 20}
    assert [day["day"][-2:] for day in days] == ["20", "21", "22", "23", "24", "25", "26"]
    assert days[3]["sky_percent"] is None
    assert days_of_grid({"maxTemperature": {"values": []}}, "America/Chicago") == []


def test_a_forecast_reaches_the_advice(service: WeatherService, sky: responses.RequestsMock) -> None:
    put_all(sky, high=36.0)
    forecast, told = forecast_between(service, HOME, AWAY, NOW)
    assert told == [] and forecast is not None and forecast["issued"] == "2026-07-20T11:00"
    request = ask("55811", "2026-07-20", days=1)
    answer = advise({**request, "forecast": forecast})
    assert answer["basis"].startswith("forecast of 20 July 11 am")
    assert answer["asked"]["chance_permille"] > advise(request)["asked"]["chance_permille"]


def test_each_point_is_asked_once_an_hour(service: WeatherService, sky: responses.RequestsMock) -> None:
    put_all(sky)
    for minutes in (0, 10, 59):
        forecast_between(service, HOME, AWAY, NOW + timedelta(minutes=minutes))
    assert len(sky.calls) == 4
    forecast_between(service, HOME, AWAY, NOW + timedelta(minutes=61))
    assert len(sky.calls) == 6  # grids only: the points' grids are kept a week


def test_one_end_lost_leaves_the_other(service: WeatherService, sky: responses.RequestsMock) -> None:
    problem = {
        "type": f"{HOST}/problems/InvalidPoint",
        "title": "Data Unavailable For Requested Point",
        "status": 404,
    }
    sky.get(POINTS["from"], json=problem, status=404, content_type="application/problem+json")
    sky.get(POINTS["to"], json=point_answer("to"))
    sky.get(GRIDS["to"], json=grid_answer())
    forecast, told = forecast_between(service, HOME, AWAY, NOW)
    assert forecast is not None and forecast["from"] is None and len(forecast["to"]) == 7
    why = "The weather service answered 404 for 45.5,-92: Data Unavailable For Requested Point."
    assert told == [f"{why} Monthly normals stand in."]


ELSEWHERE = {"forecastGridData": "https://elsewhere.example.org/x", "timeZone": "UTC"}


def trouble(sky: responses.RequestsMock, **answer: Any) -> None:
    for end in ("from", "to"):
        sky.get(POINTS[end], **answer)


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ({"body": "<html>Access denied</html>", "status": 403}, "answered 403"),
        ({"json": {"title": "Forecast Grid Expired"}, "status": 503}, "Forecast Grid Expired"),
        ({"json": {"title": "Unexpected Problem"}, "status": 500}, "Unexpected Problem"),
        ({"body": requests.ConnectionError("no route")}, "cannot be reached (ConnectionError)"),
        ({"body": requests.Timeout("slow")}, "cannot be reached (Timeout)"),
        ({"body": "<html>log in to the wireless</html>", "status": 200}, "no forecast in it"),
        ({"json": [1, 2]}, "no forecast in it"),
        ({"json": {"properties": ELSEWHERE}}, "names no grid"),
    ],
)  # fmt: skip
def test_every_failure_becomes_a_sentence(
    service: WeatherService, sky: responses.RequestsMock, answer: dict[str, Any], said: str
) -> None:
    trouble(sky, **answer)
    forecast, told = forecast_between(service, HOME, AWAY, NOW)
    assert (
        forecast is None
        and len(told) == 2
        and said in told[0]
        and told[0].endswith("Monthly normals stand in.")
    )


def test_a_server_error_is_tried_three_times(service: WeatherService, sky: responses.RequestsMock) -> None:
    for _ in range(2):
        sky.get(POINTS["from"], status=500)
    sky.get(POINTS["from"], json=point_answer("from"))
    sky.get(GRIDS["from"], json=grid_answer())
    assert len(service.foretold(45.5, -92.0, NOW).days) == 7


@pytest.mark.parametrize(("status", "asked"), [(500, 3), (502, 3), (504, 3), (503, 1), (404, 1)])
def test_only_a_fault_of_the_server_is_asked_again_at_once_and_no_oftener(
    service: WeatherService, sky: responses.RequestsMock, status: int, asked: int
) -> None:
    sky.get(POINTS["from"], status=status)
    with pytest.raises(ForecastUnavailable, match=f"answered {status}"):
        service.foretold(45.5, -92.0, NOW)
    assert len(sky.calls) == asked


@pytest.mark.parametrize(
    ("headers", "minutes"),
    [
        ({}, 60),
        ({"Cache-Control": "public, max-age=7200, s-maxage=60"}, 120),
        ({"Cache-Control": "max-age=60"}, 60),
        ({"Cache-Control": "max-age=90000"}, 360),
        ({"Cache-Control": "max-age=soon"}, 60),
        ({"Expires": "Mon, 20 Jul 2026 19:00:00 GMT"}, 180),
        ({"Expires": "Mon, 20 Jul 2026 15:00:00 GMT"}, 60),
        ({"Expires": "soon", "Cache-Control": "max-age=7200"}, 60),
        ({"Expires": "Mon, 20 Jul 2026 19:00:00 GMT", "Cache-Control": "max-age=7200"}, 180),
    ],
)  # fmt: skip
def test_an_answer_is_kept_as_long_as_it_says_an_hour_at_least_and_six_at_most(
    service: WeatherService, sky: responses.RequestsMock, headers: dict[str, str], minutes: int
) -> None:
    sky.get(POINTS["from"], json=point_answer("from"))
    sky.get(GRIDS["from"], json=grid_answer(), headers=headers)
    at = datetime(2026, 7, 20, 16, tzinfo=UTC)
    for later, asked in ((0, 2), (minutes - 1, 2), (minutes, 3)):
        service.foretold(45.5, -92.0, at + timedelta(minutes=later))
        assert len(sky.calls) == asked


def test_where_the_grid_is_is_asked_again_after_a_week(service: WeatherService, sky: responses.RequestsMock) -> None:
    sky.get(POINTS["from"], json=point_answer("from"))
    for day in (0, 6, 7):
        sky.upsert(responses.GET, GRIDS["from"], json=grid_answer(updated=NOW + timedelta(days=day)))
        service.foretold(45.5, -92.0, NOW + timedelta(days=day))
    assert [call.request.url for call in sky.calls].count(POINTS["from"]) == 2


def test_after_a_good_answer_a_failure_is_followed_by_a_short_silence_again(service: WeatherService, sky: responses.RequestsMock) -> None:
    sky.get(POINTS["from"], status=503)
    for minute in (0, 1, 5):
        with pytest.raises(ForecastUnavailable):
            service.foretold(45.5, -92.0, NOW + timedelta(minutes=minute))
    sky.upsert(responses.GET, POINTS["from"], json=point_answer("from"))
    sky.get(GRIDS["from"], json=grid_answer())
    first = service.foretold(45.5, -92.0, NOW + timedelta(minutes=20))
    sky.upsert(responses.GET, GRIDS["from"], status=503)
    before = len(sky.calls)
    for minute in (80, 80.5, 81):
        assert service.foretold(45.5, -92.0, NOW + timedelta(minutes=minute)) == first
    assert len(sky.calls) == before + 2


def test_clouds_are_those_of_the_hours_from_nine_to_six_by_the_clock_there() -> None:
    """Clear all day, overcast before nine and from six on (14:00 and 23:00 UTC in Chicago's summer)."""
    cover = [("2026-07-20T06:00:00+00:00/PT8H", 100), ("2026-07-20T14:00:00+00:00/PT9H", 10), ("2026-07-20T23:00:00+00:00/PT5H", 100)]
    layers = {**grid_answer()["properties"], "skyCover": {"values": [{"validTime": time, "value": value} for time, value in cover]}}
    assert days_of_grid(layers, "America/Chicago")[0]["sky_percent"] == 10


def test_a_night_that_was_warmer_than_the_day_after_it_leaves_no_day_cooler_than_its_night() -> None:
    highs = {"values": [{"validTime": "2026-07-20T12:00:00+00:00/PT13H", "value": 10}]}
    lows = {"values": [{"validTime": "2026-07-20T00:00:00+00:00/PT14H", "value": 12.34}]}
    (day,) = days_of_grid({"maxTemperature": highs, "minTemperature": lows}, "America/Chicago")
    assert (day["max_c"], day["min_c"]) == (12.3, 12.3)


@pytest.mark.parametrize(
    ("high", "low", "sky", "can_be"),
    [
        (57, -60, 0, True), (30, 20, 100, True), (30, 20, None, True), (57.1, 20, 0, False), (30, -60.1, 0, False), (30, 20, -1, False),
        (30, 20, 101, False),
    ],
)  # fmt: skip
def test_only_figures_that_can_be_are_believed(high: float, low: float, sky: int | None, can_be: bool) -> None:
    days = [{"day": "2026-07-20", "max_c": high, "min_c": low, "sky_percent": sky}]
    if can_be:
        assert sensible(days, "here") == days
    else:
        with pytest.raises(ForecastUnavailable, match="cannot be"):
            sensible(days, "here")


def test_failures_are_followed_by_longer_silences(
    service: WeatherService, sky: responses.RequestsMock
) -> None:
    sky.get(POINTS["from"], status=503)
    asked_at = []
    for minute in range(40):
        before = len(sky.calls)
        with pytest.raises(ForecastUnavailable):
            service.foretold(45.5, -92.0, NOW + timedelta(minutes=minute))
        if len(sky.calls) > before:
            asked_at.append(minute)
    assert asked_at == [0, 1, 5, 20, 35]


def test_a_realigned_grid_is_looked_up_again(service: WeatherService, sky: responses.RequestsMock) -> None:
    sky.get(POINTS["from"], json=point_answer("from"))
    sky.get(GRIDS["from"], status=404)
    sky.get(POINTS["from"], json=point_answer("to"))
    sky.get(GRIDS["to"], json=grid_answer())
    assert len(service.foretold(45.5, -92.0, NOW).days) == 7


BROKEN: list[dict[str, Any]] = [
    {"updateTime": "soon"},
    {"updateTime": None},
    {"maxTemperature": {"values": [{"validTime": "x", "value": 1}]}},
    {"minTemperature": None},
]


@pytest.mark.parametrize("broken", BROKEN)
def test_a_grid_that_cannot_be_read(
    service: WeatherService, sky: responses.RequestsMock, broken: dict[str, Any]
) -> None:
    sky.get(POINTS["from"], json=point_answer("from"))
    sky.get(GRIDS["from"], json={"properties": {**grid_answer()["properties"], **broken}})
    with pytest.raises(ForecastUnavailable) as said:
        service.foretold(45.5, -92.0, NOW)
    assert said.value.place == "45.5,-92" and said.value.remedy


def test_age_is_judged_by_when_it_was_made(service: WeatherService, sky: responses.RequestsMock) -> None:
    put_all(sky, updated=NOW - timedelta(hours=30))
    assert forecast_between(service, HOME, AWAY, NOW)[1] == ["The forecast is 30 hours old."]
    later = WeatherService("hello@ninelindens.example.org")
    forecast, told = forecast_between(later, HOME, AWAY, NOW + timedelta(hours=20))
    assert forecast is None and "is 50 hours old" in told[0]
