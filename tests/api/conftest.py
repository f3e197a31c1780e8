"""A small house behind its doors."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from honeyhold.api.app import make_app
from honeyhold.house.house import House
from quick_disk import QUICK_DISK
from replication.houses import Watch, small_house


@pytest.fixture
def watch() -> Watch:
    return Watch()


@pytest.fixture
def house(watch: Watch) -> Iterator[House]:
    with tempfile.TemporaryDirectory(dir=QUICK_DISK) as folder:
        made = small_house(Path(folder), watch)
        yield made
        made.close()


@pytest.fixture
def app(house: House) -> Flask:
    return make_app(house)


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()


@pytest.fixture
def keeper(house: House) -> dict[str, Any]:
    """An enrolled keeper's device."""
    return house.enrol(house.new_code("keeper")["code"], "Shed phone")


@pytest.fixture
def helper(house: House) -> dict[str, Any]:
    """An enrolled helper's device."""
    return house.enrol(house.new_code("helper")["code"], "Tablet")


class Browser(FlaskClient):
    """Reads every answer to its end and closes its file, as a browser does."""

    def open(self, *asked: Any, **more: Any) -> TestResponse:
        return super().open(*asked, **{"buffered": True, **more})


def bearing(identity: dict[str, Any]) -> dict[str, str]:
    """The headers of a device."""
    return {"Authorization": f"Bearer {identity['token']}"}


def assert_problem(answer: TestResponse, status: int, code: str) -> dict[str, Any]:
    """The one shape of everything that goes wrong: RFC 9457, and what to do about it."""
    assert answer.status_code == status, answer.get_data(as_text=True)
    assert answer.content_type == "application/problem+json"
    told: dict[str, Any] = answer.get_json(force=True)
    assert told["type"] == f"urn:honeyhold:{code}" and told["status"] == status
    assert all(told[name] for name in ("title", "detail", "remedy"))
    return told
