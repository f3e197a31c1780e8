"""To the second: how old a forecast may be, when a place is asked for again or let go, and how far a clock may be off."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import responses

from honeyhold.app.forecasts import norway, refresh, united_states
from honeyhold.app.forecasts.client import TOO_OLD, FirstOf, ForecastUnavailable, Foretold
from honeyhold.app.forecasts.norway import ADDRESS, NorwayService
from honeyhold.app.forecasts.refresh import (
    ALONE_S,
    CLOCK_OFF_MOST,
    FORGOTTEN_AFTER,
    FRESH_FOR,
    LOOK_EVERY_S,
    PLACES_MOST,
    Forecaster,
    Lookout,
    _row,
)
from honeyhold.app.forecasts.united_states import HOST, WeatherService
from honeyhold.house.house import House
from replication.houses import Watch, small_house

NOW = datetime(2026, 7, 20, 14, 0, tzinfo=UTC)
SECOND = timedelta(seconds=1)
DAY = {"day": "2026-07-20", "max_c": 30.0, "min_c": 20.0, "sky_percent": 20}
PLACE = "45.5,-92"


@pytest.fixture
def sky() -> Iterator[responses.RequestsMock]:
    with responses.RequestsMock(assert_all_requests_are_fired=False) as mock:
        yield mock


@pytest.fixture
def watch() -> Watch:
    return Watch()


@pytest.fixture
def house(tmp_path: Path, watch: Watch) -> Iterator[House]:
    made = small_house(tmp_path, watch)
    made.write("set_house", [{"table": "setting", "id": "zip", "value": "54843"}])
    yield made
    made.close()


class Sky:
    """A weather service without a network."""

    name = "A sky"

    def __init__(self) -> None:
        self.asked = 0

    def foretold(self, lat: float, lon: float, now: datetime, zone: str = "UTC") -> Foretold:
        self.asked += 1
        return Foretold(now, [DAY])


@pytest.mark.parametrize(("older", "told"), [(timedelta(0), True), (SECOND, False)])
@pytest.mark.parametrize("module", [united_states, norway])
def test_a_forecast_is_told_until_it_is_two_days_old(module: Any, older: timedelta, told: bool) -> None:
    made = WeatherService("a") if module is united_states else NorwayService("a")
    known = Foretold(NOW - TOO_OLD - older, [DAY])
    made._points[PLACE] = module._Known(foretold=known, next_ask=NOW + SECOND)
    if told:
        assert made.foretold(45.5, -92.0, NOW) is known
        return
    with pytest.raises(ForecastUnavailable, match=f"^The newest forecast for {PLACE} is 48 hours old.$") as trouble:
        made.foretold(45.5, -92.0, NOW)
    assert not trouble.value.unreachable and trouble.value.place == PLACE


def test_a_forecast_that_does_not_say_where_its_clock_is_is_not_believed(sky: responses.RequestsMock) -> None:
    grid = f"{HOST}/gridpoints/MPX/1,1"
    sky.get(f"{HOST}/points/{PLACE}", json={"properties": {"forecastGridData": grid, "timeZone": "America/Chicago"}})
    layer = {"values": [{"validTime": "2026-07-20T12:00:00+00:00/PT13H", "value": 20}]}
    sky.get(grid, json={"properties": {"updateTime": "2026-07-20T13:00:00", "maxTemperature": layer, "minTemperature": layer}})
    with pytest.raises(ForecastUnavailable, match=f"^The forecast for {PLACE} does not say when it was made.$"):
        WeatherService("a").foretold(45.5, -92.0, NOW)
    sky.get(ADDRESS, json={"properties": {"meta": {"updated_at": "2026-07-20T13:00:00"}, "timeseries": []}})
    with pytest.raises(ForecastUnavailable, match="could not be read .*no zone in updated_at"):
        NorwayService("a").foretold(45.5, -92.0, NOW)


@pytest.mark.parametrize(
    ("off", "asks"),
    [(CLOCK_OFF_MOST, True), (CLOCK_OFF_MOST + SECOND, False), (-CLOCK_OFF_MOST, True), (-CLOCK_OFF_MOST - SECOND, False)],
)
def test_a_house_that_lives_on_another_day_asks_nobody(house: House, watch: Watch, off: timedelta, asks: bool) -> None:
    assert Forecaster(house, FirstOf((Sky(),)), machine_now=lambda: watch.now + off).wanted() == asks


def test_a_place_is_asked_for_again_after_three_hours_to_the_second(house: House, watch: Watch) -> None:
    forecaster, asked = Forecaster(house, FirstOf((sky := Sky(),))), []
    for gap in (timedelta(0), FRESH_FOR - SECOND, SECOND):
        watch.now += gap
        forecaster.look()
        asked.append(sky.asked)
    assert asked == [1, 1, 2]


def test_a_place_that_nobody_posts_to_is_let_go_once_after_three_days(house: House, watch: Watch) -> None:
    forecaster = Forecaster(house, FirstOf((Sky(),)))
    assert forecaster.look() == 1
    house.write("set_house", [{"table": "setting", "id": "zip", "value": "85281"}])
    written = []
    for gap in (timedelta(0), FORGOTTEN_AFTER, SECOND, SECOND):
        watch.now += gap
        written.append(forecaster.look())
    assert written == [1, 1, 1, 0]  # the new place, the new place again, the old one, nothing


def test_no_more_places_are_asked_for_than_so_many(house: House, monkeypatch: pytest.MonkeyPatch) -> None:
    zips = [f"{number}01" for number in range(100, 150)]
    monkeypatch.setattr(refresh, "destination", lambda row, _person: row)
    monkeypatch.setattr(house.records, "dicts", lambda _query: [{"zip": one} for one in [*zips[:2], "9980", "abcde", "9970x", *zips]])
    places = refresh.places_of(house.records, {"zip": "99901-1234"})
    assert places == ["999", *(one[:3] for one in zips[: PLACES_MOST - 1])] and PLACES_MOST == 40
    assert refresh.places_of(house.records, {})[0] == "100"


@pytest.mark.parametrize(
    ("high", "low", "tenths"), [(30.06, 20.04, (301, 200)), (10.0, 12.0, (100, 100)), (-0.06, -3.0, (-1, -30)), (5.0, 5.0, (50, 50))]
)
def test_a_day_is_kept_in_tenths_and_no_night_is_warmer_than_its_day(high: float, low: float, tenths: tuple[int, int]) -> None:
    row = _row("548", "A sky", Foretold(NOW, [{**DAY, "max_c": high, "min_c": low}]), NOW)
    (day,) = row["days"]
    assert (day["max_tenths"], day["min_tenths"]) == tenths and (row["table"], row["id"], row["service"]) == ("forecast", "548", "A sky")


@pytest.mark.parametrize(("made", "issued"), [(-3, "2026-07-20T11:00:00Z"), (0, "2026-07-20T14:00:00Z"), (3, "2026-07-20T14:00:00Z")])
def test_no_forecast_was_made_later_than_it_was_fetched(made: int, issued: str) -> None:
    row = _row("548", "A sky", Foretold(NOW + timedelta(hours=made), [DAY]), NOW)
    assert (row["issued"], row["fetched_at"]) == (issued, "2026-07-20T14:00:00Z")


class Waits:
    """What ends the lookout: it notes for how long it was waited, and may be set by then."""

    def __init__(self, times: int) -> None:
        self.waited_s: list[float] = []
        self._times, self._event = times, threading.Event()

    def wait(self, seconds: float) -> bool:
        """A look is due at once."""
        self.waited_s.append(seconds)
        return self._event.is_set() or len(self.waited_s) > self._times

    def set(self) -> None:
        """It is to end."""
        self._event.set()

    def is_set(self) -> bool:
        """Whether it is to end."""
        return self._event.is_set()


def test_between_two_looks_it_waits_longer_where_nobody_answered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(refresh, "random", SimpleNamespace(uniform=lambda least, most: (least + most) / 2))
    found = iter([True, False, True])
    forecaster = SimpleNamespace(alone=False, told={})
    forecaster.look = lambda: setattr(forecaster, "alone", next(found))
    lookout = Lookout(forecaster, first_look_s=7)  # type: ignore[arg-type]
    lookout._stopped = Waits(3)  # type: ignore[assignment]
    lookout._run()
    assert lookout._stopped.waited_s == [7, ALONE_S, LOOK_EVERY_S, ALONE_S]  # type: ignore[attr-defined]


@pytest.mark.parametrize(("stopped", "told"), [(True, {}), (False, {"house": "The forecast could not be written: it is closed"})])
def test_what_breaks_because_the_house_is_closed_is_told_to_nobody(stopped: bool, told: dict[str, str]) -> None:
    looks: list[None] = []

    def look() -> None:
        looks.append(None)
        if stopped:
            lookout.stop()
        raise OSError("it is closed")

    forecaster = SimpleNamespace(alone=False, told={}, look=look)
    lookout = Lookout(forecaster)  # type: ignore[arg-type]
    lookout._stopped = Waits(2)  # type: ignore[assignment]
    lookout._run()
    assert forecaster.told == told and len(looks) == (1 if stopped else 2)
