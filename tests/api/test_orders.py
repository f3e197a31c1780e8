"""Orders of long ago can be asked for, page by page."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from api.conftest import bearing
from honeyhold.api.app import make_app
from replication.busy_house import Clock, Writer, landed, open_house, writer_of

ORDERS = 25


@pytest.fixture
def old(tmp_path: Path) -> Iterator[tuple[FlaskClient, Writer, Writer, str, list[str]]]:
    """A client, a keeper's and a helper's device, a person with 25 gone orders and one open one, the gone ones' ids in order."""
    clock = Clock()
    house = open_house(tmp_path / "house", clock)
    writer, helper = writer_of(house, "Shed phone", 1), Writer(house.enrol(house.new_code("helper")["code"], "Tablet"), random.Random(2))
    person = writer.person()
    writer.unpaid = 0
    ids = []
    for number in range(ORDERS):
        promised = writer.promise(person if number == 0 else person["id"], clock.now)
        writer.hand_over(promised, clock.now)
        ids.append(next(row["id"] for row in promised["rows"] if row["table"] == "order"))
    writer.promise(person["id"], clock.now)
    landed(house, writer)
    clock.now += timedelta(days=300)
    yield make_app(house).test_client(), writer, helper, person["id"], ids
    house.close()


def asked(client: FlaskClient, writer: Writer, question: str, status: int = 200) -> dict[str, Any]:
    answer = client.get(f"/api/orders?{question}", headers=bearing(writer.identity))
    assert answer.status_code == status, answer.get_data(as_text=True)
    return dict(answer.get_json())


def test_pages_hold_every_closed_order_once_latest_first(old: Any) -> None:
    client, writer, helper, person, ids = old
    found: list[str] = []
    before = ""
    for _page in range(3):
        answer = asked(client, helper if before else writer, f"person={person}&limit=10{before}")
        found += [row["id"] for row in answer["orders"]]
        before = f"&before={answer['before']}"
    assert found == ids[::-1] and answer["before"] is None
    assert len(asked(client, writer, f"person={person}")["orders"]) == 20


def test_an_order_comes_with_all_that_belongs_to_it(old: Any) -> None:
    client, writer, _, person, _ids = old
    answer = asked(client, writer, f"person={person}&limit=100")
    assert len(answer["orders"]) == ORDERS == len(answer["parcels"]) == len(answer["payments"])
    for order in answer["orders"]:
        lines = [row for row in answer["lines"] if row["order"] == order["id"]]
        handed = {row["line"]: row["units"] for row in answer["handed"]}
        assert lines and all(handed[line["id"]] == line["units"] for line in lines)
        owed = order["posting_cents"] + sum(line["units"] * line["price_cents"] for line in lines)
        assert owed == sum(row["cents"] for row in answer["payments"] if row["order"] == order["id"])
        assert order["state"] == "gone" and order["closed_on"] == "2024-01-02"
    mirror = client.get("/api/mirror", headers=bearing(writer.identity)).get_json()
    assert [row["state"] for row in mirror["rows"] if row["table"] == "order"] == ["promised"], "devices have long forgotten them"


@pytest.mark.parametrize(
    ("question", "status"),
    [("", 422), ("person=", 422), ("person=nobody", 404), ("person=a&before=x", 422), ("person=a&before=0", 422),
     ("person=a&limit=101", 422), ("person=a&more=1", 422), ("person=a&before=99999999999999999999", 422)],
)  # fmt: skip
def test_a_bad_question_is_answered_with_a_remedy(old: Any, question: str, status: int) -> None:
    client, writer, *_ = old
    assert asked(client, writer, question, status)["remedy"]


def test_strangers_hear_nothing(old: Any) -> None:
    client, *_, person, _ids = old
    assert client.get(f"/api/orders?person={person}").status_code == 401


def test_it_is_described(old: Any) -> None:
    client = old[0]
    door = client.get("/api/openapi.json").get_json()["paths"]["/api/orders"]["get"]
    assert {part["name"]: part["required"] for part in door["parameters"]} == {"person": True, "before": False, "limit": False}
