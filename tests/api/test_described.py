"""What the description promises holds for whatever is sent: no mistake of the house, no answer that it does not name, no other shape.

A longer run of the same: `scripts/knock`.
"""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings, strategies

from api.described import doors
from api.knocking import entry_of_any_sort, request_at, work_of_any_sort
from honeyhold.house.house import House

FEW = settings(max_examples=20, suppress_health_check=list(HealthCheck))


@pytest.mark.parametrize("door", doors(), ids=lambda door: f"{door[1]} {door[0]}")
@given(data=strategies.data())
@FEW
def test_every_answer_is_described(client: FlaskClient, keeper: dict[str, Any], door: Any, data: Any) -> None:
    request_at(client, keeper["token"], door, data)


@given(data=strategies.data())
@settings(max_examples=80, suppress_health_check=list(HealthCheck))
def test_whatever_entry_lands_the_records_agree(client: FlaskClient, house: House, keeper: dict[str, Any], data: Any) -> None:
    entry_of_any_sort(client, house, keeper, data)


@given(data=strategies.data())
@settings(max_examples=150, suppress_health_check=list(HealthCheck))
def test_whatever_work_is_asked_for_is_done_or_refused(client: FlaskClient, keeper: dict[str, Any], data: Any) -> None:
    work_of_any_sort(client, keeper["token"], data)
