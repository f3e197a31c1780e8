"""What the description promises holds for whatever is sent: no mistake of the house, no answer that it does not name, no other shape.

A longer run of the same: `scripts/knock`.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings, strategies

from api.described import check, doors, knock
from api.knocking import entry_of_any_sort, request_at, work_of_any_sort
from honeyhold.api.app import make_app
from honeyhold.api.openapi import description
from honeyhold.api.own import KEY
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


def test_what_the_command_line_is_told_is_described(house: House, keeper: dict[str, Any], tmp_path: Path) -> None:
    """Its doors open to the running server's own key alone, so no drawn request gets in there."""
    app = make_app(house)
    app.extensions[KEY] = "the key in running.json"
    client, paths = app.test_client(), description()["paths"]
    made = knock(client, "/api/own/backup", "post", {"to": str(tmp_path / "copies")}, app.extensions[KEY])
    check(paths["/api/own/backup"]["post"], made, "a backup")
    to = {"to": made.get_json()["file"]}
    asked = {"/api/own/forecast": to, "/api/own/check": {}, "/api/own/codes": {"role": "helper"}, "/api/own/export": {}}
    for path, body in asked.items():
        answer = knock(client, path, "post", body, app.extensions[KEY])
        check(paths[path]["post"], answer, path)
        assert answer.status_code < 300
        answer.close()
