"""A list of people is looked at by an owner, beside who is there already; what the records cannot keep is said as such."""

from __future__ import annotations

import base64
from typing import Any

import pytest
from flask.testing import FlaskClient
from peewee import DataError

from api.conftest import assert_problem, bearing
from honeyhold.house.house import House
from honeyhold.records.errors import RecordsTrouble, SecondHouse, SumsDisagree

LIST = b"Name,Phone,Zip\nRuth Amsel,218-555-0142,55811\nNell Fenn,555-0101,54843\n"


def asked(client: FlaskClient, who: dict[str, Any], data: str) -> Any:
    """What the door answers."""
    return client.post("/api/people/read", json={"data": data}, headers=bearing(who))


def test_each_line_is_read_beside_the_book_and_by_the_houses_area_code(client: FlaskClient, house: House, keeper: dict[str, Any]) -> None:
    """Seven figures get the code under Settings; somebody put away is nobody's double."""
    house.write("set_house", [{"table": "setting", "id": "area_code", "value": "715"}])
    house.write("note_person", [{"table": "person", "id": "p1", "name": "Ruth Amsel", "phone": "+12185550142"}])
    house.write("note_person", [{"table": "person", "id": "p2", "name": "Nell Fenn", "zip": "54843", "hidden": True}])
    lines = asked(client, keeper, base64.b64encode(LIST).decode()).get_json()["lines"]
    assert [(line["state"], line["person"]["phone"]) for line in lines] == [("known", "+12185550142"), ("new", "+17155550101")]


def test_a_helper_and_a_damaged_file_are_refused(client: FlaskClient, keeper: dict[str, Any], helper: dict[str, Any]) -> None:
    """All people of the house stand beside the list."""
    assert asked(client, helper, base64.b64encode(LIST).decode()).status_code == 403
    assert "Open it again." in asked(client, keeper, "no*base64").get_json()["remedy"]


def test_what_the_records_cannot_keep_is_the_askers_to_change(
    client: FlaskClient, house: House, keeper: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A database that refuses a character is no mistake of the main computer's."""

    def refuses(*_: object) -> None:
        raise DataError("a character that is none")

    monkeypatch.setattr(house, "mirror", refuses)
    assert_problem(client.get("/api/mirror", headers=bearing(keeper)), 400, "unkeepable")


@pytest.mark.parametrize(("trouble", "code"), [(SecondHouse, "second-house"), (SumsDisagree, "sums-disagree")])
def test_records_that_cannot_be_used_are_the_houses_own_trouble(
    client: FlaskClient, house: House, keeper: dict[str, Any], monkeypatch: pytest.MonkeyPatch, trouble: type[RecordsTrouble], code: str
) -> None:
    """Nothing the asker could put right: a device keeps what it has and tries again."""

    def troubled(*_: object) -> None:
        raise trouble("They disagree.", "Run: honeyhold check.")

    monkeypatch.setattr(house, "mirror", troubled)
    assert_problem(client.get("/api/mirror", headers=bearing(keeper)), 500, code)
