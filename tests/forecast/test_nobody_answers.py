"""Where nobody answers at all, by the real services over a net that is not there: nobody is asked in vain again and again."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import requests
import responses

from honeyhold.app.forecasts.client import FirstOf, ForecastUnavailable
from honeyhold.app.forecasts.norway import ADDRESS, NorwayService
from honeyhold.app.forecasts.refresh import Forecaster, contact_of, services
from honeyhold.app.forecasts.united_states import HOST, WeatherService
from replication.houses import Watch, device, small_house

NOW = datetime(2026, 7, 20, 14, 0, tzinfo=UTC)
SILENT = requests.ConnectionError("no route")
TURNED_AWAY = 403
NOT_THERE = 404


@pytest.fixture
def sky() -> Iterator[responses.RequestsMock]:
    with responses.RequestsMock(assert_all_requests_are_fired=False) as mock:
        yield mock


@pytest.fixture(params=[WeatherService, NorwayService])
def service(request: pytest.FixtureRequest) -> Any:
    made: Callable[[str], Any] = request.param
    return made("hello@ninelindens.example.org")


def says(sky: responses.RequestsMock, first: Exception | int, second: Exception | int) -> None:
    """What each of the two services does with every question."""
    for place, said in ((f"{HOST}/points/45.5,-92", first), (ADDRESS, second)):
        if isinstance(said, Exception):
            sky.get(place, body=said)
        else:
            sky.get(place, json={}, status=said)


@pytest.mark.parametrize(("said", "alone"), [(SILENT, True), (requests.Timeout("slow"), True), (NOT_THERE, False), (503, False)])
def test_a_service_tells_whether_it_was_reached_at_all_also_while_it_waits_to_ask_again(
    sky: responses.RequestsMock, service: Any, said: Exception | int, alone: bool
) -> None:
    says(sky, said, said)
    for seconds in (0, 30):
        with pytest.raises(ForecastUnavailable) as trouble:
            service.foretold(45.5, -92.0, NOW + timedelta(seconds=seconds))
        assert trouble.value.unreachable == alone and trouble.value.place == "45.5,-92"
    assert len(sky.calls) in (1, 3)  # a service's own error is asked again at once; the second time nobody was asked


def test_a_service_that_answers_again_is_no_longer_out_of_reach(sky: responses.RequestsMock, service: Any) -> None:
    says(sky, SILENT, SILENT)
    with pytest.raises(ForecastUnavailable):
        service.foretold(45.5, -92.0, NOW)
    sky.reset()
    says(sky, NOT_THERE, NOT_THERE)
    with pytest.raises(ForecastUnavailable) as trouble:
        service.foretold(45.5, -92.0, NOW + timedelta(minutes=1))
    assert not trouble.value.unreachable


@pytest.mark.parametrize(
    ("first", "second", "alone"),
    [(SILENT, SILENT, True), (SILENT, TURNED_AWAY, False), (NOT_THERE, SILENT, False), (NOT_THERE, TURNED_AWAY, False)],
)
def test_nobody_answered_only_where_neither_of_the_two_did(
    sky: responses.RequestsMock, first: Exception | int, second: Exception | int, alone: bool
) -> None:
    """Which trouble is told is another matter: the first one's."""
    says(sky, first, second)
    with pytest.raises(ForecastUnavailable) as trouble:
        services("hello@ninelindens.example.org").from_any(45.5, -92.0, NOW, "UTC")
    assert trouble.value.unreachable == alone
    assert ("cannot be reached" if first is SILENT else "answered 404") in str(trouble.value)


def test_a_house_without_a_net_asks_for_one_place_and_then_rests(tmp_path: Path, sky: responses.RequestsMock) -> None:
    house = small_house(tmp_path, Watch())
    house.write("set_house", [{"table": "setting", "id": "zip", "value": "54843"}])
    hand = device(house, bars=5)
    hand.promise([("bar", 5)], person=hand.note_person(name="Ruth", zip="85281"), way="post", leave_on="2026-07-22")
    hand.exchange()
    forecaster = Forecaster(house)
    assert forecaster.look() == 0 and forecaster.alone and len(sky.calls) == 2 and list(forecaster.told) == ["548"]
    house.close()


def test_the_services_are_asked_in_their_order_and_told_who_asks() -> None:
    made = services("hello@ninelindens.example.org")
    assert isinstance(made, FirstOf) and [type(one) for one in made.sources] == [WeatherService, NorwayService]
    assert made.name == "National Weather Service, MET Norway"
    assert {one.contact for one in made.sources if isinstance(one, WeatherService | NorwayService)} == {"hello@ninelindens.example.org"}


@pytest.mark.parametrize(
    ("settings", "contact"),
    [
        ({"email": "a@b", "phone": "1", "name": "N"}, "a@b"), ({"email": "", "phone": "1", "name": "N"}, "1"),
        ({"phone": None, "name": "N"}, "N"), ({"name": ""}, "a honey house"), ({}, "a honey house"),
    ],
)  # fmt: skip
def test_a_service_may_reach_the_house_by_mail_else_by_telephone_else_by_name(settings: dict[str, Any], contact: str) -> None:
    assert contact_of(settings) == contact
