"""A weather service in every bad mood, seen from a device: the order lands, the normals stand in, and the answer says so."""

from __future__ import annotations

import re
from typing import Any

import pytest
import requests
import responses
from demo_seed.client.device import DeviceClient
from demo_seed.client.transport import DirectTransport
from demo_seed.nine_lindens import SETTINGS, carton_rows, good_rows
from flask.testing import FlaskClient

from api.conftest import bearing
from honeyhold.app.forecasts.norway import ADDRESS
from honeyhold.app.forecasts.refresh import Forecaster
from honeyhold.app.forecasts.united_states import HOST
from honeyhold.house.house import House

ZONE = "America/Chicago"
DAY = "2026-07-20"
GOODS = {row["id"]: row for row in good_rows()}


def grid(high: Any) -> dict[str, Any]:
    values = [{"validTime": f"2026-07-{day}T12:00:00+00:00/PT13H", "value": high} for day in range(20, 27)]
    lows = [{"validTime": f"2026-07-{day}T00:00:00+00:00/PT14H", "value": high - 12} for day in range(20, 27)]
    layers = {"maxTemperature": {"values": values}, "minTemperature": {"values": lows}}
    return {"properties": {"updateTime": "2026-07-20T12:00:00+00:00", **layers}}


MOODS: dict[str, dict[str, Any]] = {
    "down": {"status": 503, "json": {"title": "Forecast Grid Expired"}},
    "slow": {"body": requests.ReadTimeout("slow")},
    "not a number": {"json": grid(float("nan"))},
    "200 degrees": {"json": grid(200.0)},
    "empty": {"body": ""},
    "a page": {"body": "<html>log in to the wireless</html>"},
    "no internet": {"body": requests.ConnectionError("no route")},
}


def asked(client: FlaskClient, keeper: dict[str, Any]) -> dict[str, Any]:
    """What the device asks about ten bars to Duluth, with the forecasts its mirror holds."""
    mirror = client.get("/api/mirror", headers=bearing(keeper)).get_json()
    rows = {row["id"]: row for row in mirror["rows"] if row["table"] == "forecast"}
    request = {
        "goods": [GOODS["bar"]], "cartons": [{**row, "in_stock": 5} for row in carton_rows()[1]], "house": {**SETTINGS, "zip": "54843"},
        "lines": [{"good": "bar", "units": 10}], "to": {"zip": "55811"}, "way": "post", "leave_on": DAY, "today": DAY,
        "now": "2026-07-20T14:00:00Z", "dressing": "plain", "forecasts": rows,
    }  # fmt: skip
    answer = client.post("/api/work/quoting.call", json=request, headers=bearing(keeper))
    assert answer.status_code == 200
    return dict(answer.get_json())


def order_for_duluth(house: House, keeper: dict[str, Any]) -> DeviceClient:
    house.write("set_house", [{"table": "setting", "id": "zip", "value": "54843"}])
    hand = DeviceClient(keeper, DirectTransport(house), None, house.clock.now)
    hand.exchange()
    hand.promise([("bar", 10)], person=hand.note_person(name="Ruth", zip="55811"), way="post", leave_on=DAY)
    hand.exchange()
    return hand


@pytest.mark.parametrize("mood", [*MOODS, "outside its area"])
def test_no_mood_of_a_weather_service_stops_an_order(client: FlaskClient, house: House, keeper: dict[str, Any], mood: str) -> None:
    hand = order_for_duluth(house, keeper)
    before = asked(client, keeper)
    with responses.RequestsMock(assert_all_requests_are_fired=False) as sky:
        for place in ("points/", "gridpoints/"):
            given = MOODS.get(mood) or {"status": 404, "json": {"title": "Data Unavailable For Requested Point"}}
            sky.get(re.compile(f"{HOST}/{place}.*"), **_point(place, given))
        sky.get(ADDRESS, **(MOODS.get(mood) if mood in ("slow", "no internet", "empty", "a page") else {"status": 503}))
        forecaster = Forecaster(house)
        assert forecaster.look() == 0 and forecaster.told
    after = asked(client, keeper)
    assert after == before and after["basis"] == "monthly normals" and after["heat"]["verdict"] and after["parcel"]["ok"]
    hand.promise([("bar", 5)], person=hand.note_person(name="Dez"))
    hand.exchange()
    assert hand.needs_you == []


def _point(place: str, given: dict[str, Any]) -> dict[str, Any]:
    """Where the mood lies in the grid the point itself is found."""
    grid_is_wrong = place == "points/" and isinstance(given.get("json"), dict) and "properties" in given["json"]
    return {"json": {"properties": {"forecastGridData": f"{HOST}/gridpoints/DLH/1,1", "timeZone": ZONE}}} if grid_is_wrong else given


def test_a_service_in_a_good_mood_reaches_the_answer(client: FlaskClient, house: House, keeper: dict[str, Any]) -> None:
    order_for_duluth(house, keeper)
    before = asked(client, keeper)
    with responses.RequestsMock() as sky:
        sky.get(re.compile(f"{HOST}/points/.*"), **_point("points/", {"json": grid(36.0)}))
        sky.get(f"{HOST}/gridpoints/DLH/1,1", json=grid(36.0))
        assert Forecaster(house).look() == 2
    after = asked(client, keeper)
    assert after["basis"] == "forecast of 2 hours ago (National Weather Service)"
    assert after["heat"]["chance_permille"] > before["heat"]["chance_permille"]
