"""Goal: a calendar that any program reads and that names nobody; method: written by icalendar, read back by vobject; cards likewise."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import vobject
from demo_seed.client.device import DeviceClient
from hypothesis import given, settings
from hypothesis import strategies as st

from honeyhold.api.app import make_app
from honeyhold.house.calendar_feed import feed, secret
from honeyhold.house.cards import cards_of
from honeyhold.house.export import whole
from honeyhold.house.house import House
from honeyhold.operations.errors import NoSuchThing
from replication.houses import device, small_house

PARTS = ("name", "phone", "street", "unit", "city", "state", "zip", "note")
NOBODY = {**dict.fromkeys(PARTS, ""), "id": "p1", "hidden": False, "same_as": None}
TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc")) | st.sampled_from(",;\\:\n "), max_size=90)


@pytest.fixture
def place(tmp_path: Path) -> Iterator[tuple[House, DeviceClient]]:
    """A house whose bars run out, with parcels and pick-ups promised."""
    house = small_house(tmp_path)
    keeper = device(house, bars=36)
    ruth = keeper.note_person(name="Ruth Amsel", phone="+12185550142", street="4 Heron Sill Rd", city="Duluth", note="rings; at seven")
    for day, way in ((22, "post"), (22, "post"), (24, "post"), (23, "pick_up"), (23, "pick_up")):
        keeper.promise([("bar", 7)], person=ruth, way=way, leave_on=f"2026-07-{day}")
    keeper.set_house({"name": "Alder Hill", "shelf_units": {"bar": 40}})
    keeper.exchange()
    yield house, keeper
    house.close()


def _read(content: bytes) -> dict[str, date]:
    calendar = vobject.readOne(content.decode())
    return {event.summary.value: event.dtstart.value for event in calendar.vevent_list}


def test_another_library_reads_the_days(place: tuple[House, DeviceClient]) -> None:
    house, _ = place
    days = _read(feed(house, secret(house)))
    assert days["Mail 2 parcels"] == date(2026, 7, 22) and days["Mail 1 parcel"] == date(2026, 7, 24)
    assert days["Picked up: A-4, A-5"] == date(2026, 7, 23)
    assert "Melt by today: bar" in days


def test_it_names_nobody_and_each_entry_keeps_its_name(place: tuple[House, DeviceClient]) -> None:
    house, _ = place
    content = feed(house, secret(house)).decode()
    assert not any(words in content for words in ("Ruth", "Amsel", "555", "Heron", "Duluth", "seven"))
    uids = [line for line in content.splitlines() if line.startswith("UID")]
    again = feed(house, secret(house)).decode().splitlines()
    assert len(set(uids)) == len(uids) and uids == [line for line in again if line.startswith("UID")]


def test_two_orders_in_one_parcel_are_one(place: tuple[House, DeviceClient]) -> None:
    house, keeper = place
    first, second = [row["id"] for row in keeper.view.rows["order"].values() if row["leave_on"] == "2026-07-22"]
    keeper.amend(second, goes_with=first)
    keeper.exchange()
    assert keeper.needs_you == []
    events = vobject.readOne(feed(house, secret(house)).decode()).vevent_list
    assert [event.summary.value for event in events if event.dtstart.value == date(2026, 7, 22)] == ["Mail 1 parcel"]


def test_whose_host_was_canceled_is_a_parcel_of_its_own(place: tuple[House, DeviceClient]) -> None:
    house, keeper = place
    first, second = (row["id"] for row in keeper.view.rows["order"].values() if row["leave_on"] == "2026-07-22")
    keeper.amend(second, goes_with=first)
    keeper.let_go(first)
    keeper.exchange()
    events = vobject.readOne(feed(house, secret(house)).decode()).vevent_list
    assert sorted(one.dtstart.value for one in events if one.summary.value == "Mail 1 parcel") == [date(2026, 7, 22), date(2026, 7, 24)]


def test_only_its_address_opens_it_and_a_renewed_one_closes_the_old(place: tuple[House, DeviceClient]) -> None:
    house, keeper = place
    client = make_app(house).test_client()
    owner = {"Authorization": f"Bearer {keeper.identity['token']}"}
    assert client.get("/calendar/guess.ics").status_code == 404
    before = client.get("/api/calendar", headers=owner).json["address"]
    assert client.get("/api/calendar", headers=owner).json["address"] == before and len(before.rsplit("/", 1)[1]) >= 32
    answer = client.get(before.removeprefix("http://localhost"))
    assert answer.status_code == 200 and answer.mimetype == "text/calendar" and "Mail 2 parcels" in _read(answer.data)
    after = client.post("/api/calendar/renew", headers=owner).json["address"]
    assert after != before
    assert client.get(before.removeprefix("http://localhost")).status_code == 404
    assert client.get(after.removeprefix("http://localhost")).status_code == 200


def test_only_an_owner_hears_the_address(place: tuple[House, DeviceClient]) -> None:
    house, _ = place
    client = make_app(house).test_client()
    helper = {"Authorization": f"Bearer {device(house, 'Kitchen', role='helper').identity['token']}"}
    for call, address in ((client.get, "/api/calendar"), (client.post, "/api/calendar/renew")):
        assert call(address, headers=helper).status_code == 403 and call(address).status_code == 401
    with pytest.raises(NoSuchThing):
        feed(house, "")


def test_the_people_of_an_export_are_cards(place: tuple[House, DeviceClient]) -> None:
    house, _ = place
    (card,) = vobject.readComponents(zipfile.ZipFile(io.BytesIO(whole(house))).read("people.vcf").decode())
    assert (card.fn.value, card.tel.value) == ("Ruth Amsel", "+12185550142")
    assert (card.adr.value.city, card.note.value) == ("Duluth", "rings; at seven")


@given(TEXT, TEXT, TEXT)
@settings(max_examples=80, deadline=None)
def test_whatever_a_person_is_called_another_library_reads_it_back(name: str, street: str, note: str) -> None:
    person: dict[str, Any] = {**NOBODY, "name": f"x{name}", "street": f"y{street}", "note": f"z{note}"}
    text = cards_of([person, {**person, "hidden": True}, {**person, "same_as": "p2"}])
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    (card,) = vobject.readComponents(text)
    assert (card.fn.value, card.note.value) == (f"x{name}", f"z{note}")
    assert card.adr.value.street == f"y{street}"
