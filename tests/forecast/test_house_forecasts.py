"""The house and the weather: where it asks, how often, what reaches the devices, and that nothing of it ever stops an order."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from honeyhold.app.forecasts.client import FirstOf, ForecastUnavailable, Foretold
from honeyhold.app.forecasts.refresh import Forecaster, Lookout
from honeyhold.house.house import House
from replication.houses import Watch, device, small_house

LONG_S = 60.0
"""A bound for what has gone wrong; what is right comes long before."""


class Sky:
    """A weather service without a network: what it says, and who asked."""

    name = "A sky"

    def __init__(self) -> None:
        self.asked: list[tuple[float, float]] = []
        self.high = 33.1
        self.trouble: Callable[[], Exception] | None = None

    def foretold(self, lat: float, lon: float, now: datetime, zone: str = "UTC") -> Foretold:
        self.asked.append((lat, lon))
        if self.trouble:
            raise self.trouble()
        days = [
            {"day": (now + timedelta(days=step)).date().isoformat(), "max_c": self.high, "min_c": 20.0, "sky_percent": None}
            for step in range(7)
        ]
        return Foretold(now - timedelta(hours=2), days)


@pytest.fixture
def watch() -> Watch:
    return Watch()


@pytest.fixture
def house(tmp_path: Path, watch: Watch) -> House:
    made = small_house(tmp_path, watch)
    made.write("set_house", [{"table": "setting", "id": "zip", "value": "54843"}])
    return made


def order(house: House, zip_code: str, way: str = "post") -> str:
    hand = device(house, bars=5)
    taken = hand.promise([("bar", 5)], person=hand.note_person(name="Ruth", zip=zip_code), way=way, leave_on="2026-07-22")
    hand.exchange()
    return taken.order


def test_it_asks_for_the_house_and_for_open_parcels_and_every_device_hears_of_it(house: House) -> None:
    sky = Sky()
    order(house, "85281")
    order(house, "33101", way="pick_up")
    order(house, "00000")
    assert Forecaster(house, FirstOf((sky,))).look() == 2
    rows = device(house, "Late").view.rows["forecast"]
    assert set(rows) == {"548", "852"} and rows["852"]["service"] == "A sky"
    assert rows["852"]["issued"] == "2026-07-20T12:10:00Z" and rows["852"]["fetched_at"] == "2026-07-20T14:10:00Z"
    assert rows["852"]["days"][0] == {"day": "2026-07-20", "max_tenths": 331, "min_tenths": 200, "sky_percent": None}
    house.close()


@pytest.mark.parametrize(("days", "kept"), [(15, 15), (16, 16), (17, 16)])
def test_no_more_than_sixteen_days_are_kept(house: House, days: int, kept: int) -> None:
    class Far(Sky):
        def foretold(self, lat: float, lon: float, now: datetime, zone: str = "UTC") -> Foretold:
            (first, *_) = super().foretold(lat, lon, now, zone).days
            return Foretold(now, [{**first, "day": (now + timedelta(days=step)).date().isoformat()} for step in range(days)])

    order(house, "85281")
    Forecaster(house, FirstOf((Far(),))).look()
    assert len(device(house, "Late").view.rows["forecast"]["852"]["days"]) == kept
    house.close()


def test_no_place_is_asked_for_oftener_than_every_three_hours(house: House, watch: Watch) -> None:
    sky = Sky()
    forecaster = Forecaster(house, FirstOf((sky,)))
    order(house, "85281")
    for minutes in range(0, 360, 5):
        forecaster.look()
        watch.later(minutes=5)
        assert len(sky.asked) <= 2 * (1 + minutes // 180)
    assert len(sky.asked) == 4
    house.close()


def test_alone_in_the_world_it_tries_once_and_writes_nothing(house: House) -> None:
    sky = Sky()
    sky.trouble = lambda: ForecastUnavailable("The weather service cannot be reached (ConnectionError).", "x", unreachable=True)
    for zip_code in ("85281", "33101", "55811"):
        order(house, zip_code)
    forecaster, before = Forecaster(house, FirstOf((sky,))), house.position()
    assert forecaster.look() == 0 and len(sky.asked) == 1 and forecaster.alone and house.position() == before
    assert device(house, "B").view.rows["forecast"] == {}
    house.close()


def test_a_place_without_a_forecast_is_told_and_the_others_are_written(house: House) -> None:
    class Half(Sky):
        def foretold(self, lat: float, lon: float, now: datetime, zone: str = "UTC") -> Foretold:
            if lat < 40:
                raise ForecastUnavailable("Data Unavailable For Requested Point", "x")
            return super().foretold(lat, lon, now, zone)

    order(house, "85281")
    forecaster = Forecaster(house, FirstOf((Half(),)))
    assert forecaster.look() == 1 and forecaster.told == {"852": "Data Unavailable For Requested Point"}
    house.close()


def test_places_nobody_posts_to_any_more_are_let_go(house: House, watch: Watch) -> None:
    hand = device(house, bars=5)
    taken = hand.promise([("bar", 5)], person=hand.note_person(name="Ruth", zip="85281"), way="post", leave_on="2026-07-22")
    hand.exchange()
    forecaster = Forecaster(house, FirstOf((Sky(),)))
    forecaster.look()
    hand.let_go(taken.order)
    hand.exchange()
    watch.later(days=4)
    forecaster.look()
    rows = device(house, "B").view.rows["forecast"]
    assert rows["852"]["days"] == [] and rows["548"]["days"]
    house.close()


def test_a_house_that_said_no_or_lives_on_another_day_asks_nobody(house: House, watch: Watch) -> None:
    sky = Sky()
    other_day = Forecaster(house, FirstOf((sky,)), machine_now=lambda: watch.now - timedelta(days=300))
    assert other_day.look() == 0
    house.write("set_house", [{"table": "setting", "id": "ask_weather", "value": False}])
    assert Forecaster(house, FirstOf((sky,))).look() == 0 and sky.asked == []
    house.close()


def test_a_slow_service_holds_nobody_up(house: House) -> None:
    """The lookout waits for a sky that does not answer until the order is taken; meanwhile a device promises and exchanges."""
    sky, asked, taken = Sky(), threading.Event(), threading.Event()

    def slow() -> Exception:
        asked.set()
        taken.wait(LONG_S)
        return ForecastUnavailable("too late", "x", unreachable=True)

    sky.trouble = slow
    lookout = Lookout(Forecaster(house, FirstOf((sky,))), first_look_s=0)
    lookout.start()
    assert asked.wait(LONG_S)
    order(house, "85281")
    assert sky.asked and not taken.is_set()
    taken.set()
    lookout.stop()
    house.close()


def test_whatever_happens_the_lookout_goes_on(house: House) -> None:
    sky, again = Sky(), []

    def broken() -> Exception:
        again.append(1)
        return ZeroDivisionError("a defect of ours")

    sky.trouble = broken
    forecaster = Forecaster(house, FirstOf((sky,)))
    lookout = Lookout(forecaster, first_look_s=0)
    lookout.start()
    until = time.monotonic() + LONG_S
    while not forecaster.told and time.monotonic() < until:
        time.sleep(0.05)
    assert again and "could not be written" in forecaster.told["house"]
    lookout.stop()
    house.close()
