"""Where the server's own rules turn, each met exactly and missed by the least there is."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from flask import Flask
from prometheus_client.registry import Collector

from honeyhold.api import health, metrics
from honeyhold.api.json_response import PRESS_FROM_BYTES, told
from honeyhold.api.metrics import Meter
from honeyhold.api.site import _file
from honeyhold.app import certificates
from honeyhold.app.certificates import RENEW_BEFORE_DAYS, SAY_BEFORE_DAYS
from honeyhold.app.forecasts import refresh
from honeyhold.app.forecasts.client import TOO_OLD, ForecastUnavailable, Foretold, point_words
from honeyhold.app.forecasts.norway import NorwayService
from honeyhold.app.forecasts.refresh import CLOCK_OFF_MOST, FORGOTTEN_AFTER, Forecaster
from honeyhold.app.forecasts.united_states import WeatherService
from honeyhold.app.watch_key import LETTERS_LEAST, watch_key_in
from honeyhold.house.house import House
from honeyhold.records.errors import RecordsTrouble

NOW = datetime(2026, 7, 20, 12, tzinfo=UTC)
LEAST = timedelta(microseconds=1)


@pytest.mark.parametrize(("free_bytes", "ok"), [(health.FREE_BYTES_LEAST, True), (health.FREE_BYTES_LEAST - 1, False)])
def test_a_disk_has_enough_room(house: House, monkeypatch: pytest.MonkeyPatch, free_bytes: int, ok: bool) -> None:
    monkeypatch.setattr("shutil.disk_usage", lambda _: SimpleNamespace(free=free_bytes))
    (disk,) = [check for check in health.checks(house) if check["name"] == "disk"]
    assert disk == {"name": "disk", "ok": ok, "free_bytes": free_bytes}


@pytest.mark.parametrize(("length", "pressed"), [(PRESS_FROM_BYTES, True), (PRESS_FROM_BYTES - 1, False)])
def test_an_answer_is_pressed_from_a_length_on(app: Flask, tmp_path: Path, length: int, pressed: bool) -> None:
    (tmp_path / "a.js").write_text("x" * length, "utf-8")
    with app.test_request_context(headers={"Accept-Encoding": "gzip"}):
        answers = told({"a": "x" * (length - len('{"a":""}'))}), _file(tmp_path, "a.js", "no-cache")
        assert [answer.headers.get("Content-Encoding") == "gzip" for answer in answers] == [pressed] * 2
        answers[1].close()


def test_how_long_the_records_took_is_told_in_milliseconds(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    moments = iter((5.0, 6.23456))
    monkeypatch.setattr(health.time, "monotonic", lambda: next(moments, 6.23456))
    (records,) = [check for check in health.checks(house) if check["name"] == "records"]
    assert records["ms"] == 1234.6


@pytest.mark.parametrize(("took_s", "slow", "ms"), [
    (metrics.SLOW_S, 0.0, 1000.0), (metrics.SLOW_S + 0.001, 1.0, 1001.0), (0.012349, 0.0, 12.3), (0.01235001, 0.0, 12.4),
])  # fmt: skip
def test_an_answer_is_slow(took_s: float, slow: float, ms: float, caplog: pytest.LogCaptureFixture) -> None:
    """What the log says of it is told to a tenth of a millisecond."""
    class Nothing(Collector):
        def collect(self) -> list[Any]:
            return []

    noted = Meter(Nothing())
    with caplog.at_level("INFO", "honeyhold"):
        noted.note("/api/health", "GET", 200, took_s)
    assert [record.__dict__["said"]["ms"] for record in caplog.records] == [ms]
    assert (noted.registry.get_sample_value("honeyhold_slow_answers_total", {"door": "/api/health"}) or 0.0) == slow


@pytest.mark.parametrize("service", [NorwayService, WeatherService])
@pytest.mark.parametrize(("age", "told_of"), [(TOO_OLD, True), (TOO_OLD + LEAST, False)])
def test_a_forecast_serves_for_two_days(service: Any, age: timedelta, told_of: bool) -> None:
    sky = service("keeper@example.org")
    place = point_words(45.5, -92.0)
    kept = Foretold(NOW - age, [])
    known = SimpleNamespace(foretold=kept, next_ask=NOW + LEAST, trouble="", unreachable=False)
    sky._points[place] = known
    if told_of:
        assert sky.foretold(45.5, -92.0, NOW) is kept
    else:
        with pytest.raises(ForecastUnavailable, match="48 hours old"):
            sky.foretold(45.5, -92.0, NOW)


@pytest.mark.parametrize(("off", "asks"), [(CLOCK_OFF_MOST, True), (CLOCK_OFF_MOST + LEAST, False)])
@pytest.mark.parametrize("ahead", [1, -1])
def test_a_house_whose_clock_is_off_asks_for_no_weather(off: timedelta, asks: bool, ahead: int) -> None:
    house: Any = SimpleNamespace(clock=SimpleNamespace(now=lambda: NOW), settings=dict)
    assert Forecaster(house, machine_now=lambda: NOW + ahead * off).wanted() is asks
    house.settings = lambda: {"ask_weather": False}
    assert not Forecaster(house, machine_now=lambda: NOW).wanted()


@pytest.mark.parametrize(("days", "age", "gone"), [
    ([1], FORGOTTEN_AFTER, False), ([1], FORGOTTEN_AFTER + timedelta(seconds=1), True), ([], FORGOTTEN_AFTER + timedelta(seconds=1), False),
])  # fmt: skip
def test_a_place_that_nobody_mails_to_is_forgotten_once(days: list[int], age: timedelta, gone: bool) -> None:
    assert refresh._forgotten({"days": days, "fetched_at": f"{NOW - age:%Y-%m-%dT%H:%M:%SZ}"}, NOW) is gone


@pytest.mark.parametrize(
    ("key", "taken"), [("k" * LETTERS_LEAST, True), ("k" * (LETTERS_LEAST - 1), False), ("k" * LETTERS_LEAST + " k", False)]
)
def test_a_key_for_watching_is_one_word_of_so_many_letters(tmp_path: Path, key: str, taken: bool) -> None:
    (tmp_path / "key").write_text(f"{key}\n", "utf-8")
    if taken:
        assert watch_key_in(tmp_path / "key") == key
    else:
        with pytest.raises(RecordsTrouble, match="is no key"):
            watch_key_in(tmp_path / "key")


def test_an_authority_serves_until_so_many_days_are_left_and_says_so_a_year_before() -> None:
    ends = NOW
    authority: Any = SimpleNamespace(not_valid_after_utc=ends)
    pair: Any = (None, authority)
    assert not certificates._serves(pair, ends - timedelta(days=RENEW_BEFORE_DAYS))
    assert certificates._serves(pair, ends - timedelta(days=RENEW_BEFORE_DAYS) - LEAST)
    assert certificates._is_in_its_last_year(authority, ends - timedelta(days=SAY_BEFORE_DAYS))
    assert not certificates._is_in_its_last_year(authority, ends - timedelta(days=SAY_BEFORE_DAYS) - LEAST)
