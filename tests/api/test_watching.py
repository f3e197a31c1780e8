"""What whoever keeps the server may see: figures, deep health, log lines; who may; and that nobody's name, number or address is in any.

OpenMetrics 1.0: the text is read back by the parser of `prometheus_client`, which checks its grammar.
"""

from __future__ import annotations

import io
import json
import math
import re
import sqlite3
from datetime import timedelta
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from prometheus_client.openmetrics.parser import text_string_to_metric_families

from api.conftest import bearing
from honeyhold.api import health, metrics
from honeyhold.api.access import WATCH_KEY
from honeyhold.app.log_lines import say
from honeyhold.house.house import House
from honeyhold.house.last_backup import LastBackup
from replication.busy_house import landed, writer_of

KEY = "a key of many letters"
WATCHED = ("/api/metrics", "/api/health/deep")


@pytest.fixture
def watcher(app: Flask) -> dict[str, str]:
    """The headers of whoever keeps the server."""
    app.extensions[WATCH_KEY] = KEY
    return {"Authorization": f"Bearer {KEY}"}


def unreadable(_house: House) -> int:
    """The disk gives nothing back."""
    raise sqlite3.OperationalError("disk I/O error")


def figures(client: FlaskClient, watcher: dict[str, str]) -> dict[tuple[str, tuple[tuple[str, str], ...]], float]:
    """Every sample by its name and labels."""
    answer = client.get("/api/metrics", headers=watcher)
    assert answer.status_code == 200 and answer.content_type.startswith("application/openmetrics-text; version=1.0.0")
    families = text_string_to_metric_families(answer.get_data(as_text=True))
    return {(one.name, tuple(sorted(one.labels.items()))): one.value for family in families for one in family.samples}


def answered(found: dict[Any, float], door: str, method: str, status: int) -> float:
    """How often a door gave an answer."""
    return found.get(("honeyhold_answers_total", (("door", door), ("method", method), ("status", str(status)))), 0.0)


def test_answers_are_counted_by_the_pattern_of_their_door(client: FlaskClient, watcher: dict[str, str]) -> None:
    for address in ("/api/health", "/api/health", "/api/lots/W-0711/trace", "/api/lots/H-0701/trace", "/nobody/knows/this", "/nor/this"):
        client.get(address)
    client.open("/api/health", method="PURGE")
    found = figures(client, watcher)
    assert answered(found, "/api/health", "GET", 200) == 2
    assert answered(found, "/api/lots/<lot>/trace", "GET", 401) == 2
    assert answered(found, "none", "GET", 404) == 2
    assert answered(found, "none", "other", 405) + answered(found, "/api/health", "other", 405) == 1
    assert not any("W-0711" in str(key) or "nobody" in str(key) for key in found)
    assert found["honeyhold_answer_seconds_count", (("door", "/api/health"),)] >= 2


def test_the_figures_say_how_the_records_stand(client: FlaskClient, house: House, watcher: dict[str, str]) -> None:
    before = figures(client, watcher)
    assert ("honeyhold_backup_age_seconds", ()) not in before
    writer = writer_of(house, "Tablet", 1)
    writer.promise(writer.person(), house.clock.now())
    landed(house, writer)
    house.last_backup = LastBackup(house.clock.now() - timedelta(hours=5), failing=False)
    found = figures(client, watcher)
    assert found["honeyhold_position", ()] == house.position() > before["honeyhold_position", ()]
    assert found["honeyhold_backup_age_seconds", ()] == 5 * 3600
    assert found["honeyhold_streams_open", ()] == 0
    assert found["honeyhold_records_bytes", ()] > 10_000 and found["honeyhold_disk_free_bytes", ()] > 0


@pytest.mark.parametrize("address", WATCHED)
def test_only_who_watches_and_owners_may_look(
    app: Flask, client: FlaskClient, address: str, keeper: dict[str, Any], helper: dict[str, Any]
) -> None:
    assert client.get(address).status_code == 401
    assert client.get(address, headers={"Authorization": "Bearer "}).status_code == 401  # no key was given: an empty one is none
    assert client.get(address, headers=bearing(helper)).status_code == 403
    assert client.get(address, headers=bearing(keeper)).status_code == 200
    app.extensions[WATCH_KEY] = KEY
    assert client.get(address, headers={"Authorization": f"Bearer {KEY}"}).status_code == 200
    assert client.get(address, headers={"Authorization": f"Bearer {KEY}x"}).status_code == 401


def test_deep_health_names_what_does_not_hold(
    client: FlaskClient, house: House, watcher: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing() -> tuple[int, list[str]]:
        answer = client.get("/api/health/deep", headers=watcher)
        told = answer.get_json()
        assert told["ok"] == (answer.status_code == 200)
        return answer.status_code, [check["name"] for check in told["checks"] if not check["ok"]]

    assert failing() == (200, [])
    house.last_backup = LastBackup(None, failing=True)
    assert failing() == (503, ["backup"])
    house.last_backup = None
    with monkeypatch.context() as patch:
        patch.setattr(health, "FREE_BYTES_LEAST", 2**62)
        assert failing() == (503, ["disk"])
    with monkeypatch.context() as patch:
        patch.setattr(House, "recovering", lambda _self: True)
        assert failing() == (503, ["restored"])
    with monkeypatch.context() as patch:
        patch.setattr(House, "position", unreadable)
        assert failing() == (503, ["records", "restored"])
        assert ("honeyhold_disk_free_bytes", ()) in figures(client, watcher)
    assert failing() == (200, [])


def test_a_slow_answer_is_a_line_of_the_log_and_counted(
    client: FlaskClient, watcher: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    window = io.StringIO()
    say("words", window)
    monkeypatch.setattr(metrics, "SLOW_S", math.inf)
    client.get("/api/health")
    assert window.getvalue() == ""
    monkeypatch.setattr(metrics, "SLOW_S", -1.0)
    client.get("/api/lots/W-0711/trace")
    assert re.fullmatch(r"An answer took \d+\.\d s: GET /api/lots/<lot>/trace\n", window.getvalue())
    assert figures(client, watcher)["honeyhold_slow_answers_total", (("door", "/api/lots/<lot>/trace"),)] == 1


def test_each_answer_is_a_line_of_json(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(metrics, "SLOW_S", math.inf)
    window = io.StringIO()
    say("json", window)
    client.get("/api/health")
    client.get("/api/lots/W-0711/trace")
    first, second = (json.loads(line) for line in window.getvalue().splitlines())
    assert (first["level"], first["door"], first["method"], first["status"]) == ("info", "/api/health", "GET", 200)
    assert (second["door"], second["status"]) == ("/api/lots/<lot>/trace", 401)
    assert first["at"].endswith("Z") and first["ms"] >= 0


@pytest.mark.parametrize("form", ["words", "json"])
def test_nobody_is_named_in_figures_health_or_log(
    app: Flask, client: FlaskClient, house: House, keeper: dict[str, Any], watcher: dict[str, str], form: str
) -> None:
    """A person with an order is asked for at every door that knows them, and a mistake of the program speaks of them."""
    window = io.StringIO()
    say(form, window)
    writer = writer_of(house, "Ruth's own phone", 1)
    person = writer.person()
    entry = writer.promise(person, house.clock.now())
    landed(house, writer)
    known = next(row for row in entry["rows"] if row["table"] == "person")
    private = [str(known[field]) for field in ("id", "name", "phone", "street") if known.get(field)]
    order = next(row["id"] for row in entry["rows"] if row["table"] == "order")
    assert len(private) >= 2

    def broken(*_: object, **__: object) -> None:
        raise KeyError(f"{known['name']} {known.get('phone')} of {known['id']}")

    headers = bearing(keeper)
    seen = client.get(f"/api/people/{known['id']}/export.zip", headers=headers)
    assert seen.status_code == 200
    client.get(f"/api/orders?person={known['id']}", headers=headers)
    client.get(f"/api/papers/slip/{order}.pdf", headers=headers)
    client.post(f"/api/people/{known['name']}/forget", headers=headers)
    app.view_functions["lots.trace"] = broken  # type: ignore[assignment]
    assert client.get("/api/lots/W-0711/trace", headers=headers).status_code == 500
    told = window.getvalue() + "".join(client.get(address, headers=watcher).get_data(as_text=True) for address in WATCHED)
    assert "KeyError" in told and "broken" in told, "the mistake itself is told, by its kind and place"
    for words in [*private, order, "Ruth's own phone"]:
        assert words not in told
