"""What a morning of melting can do is set in Settings, lands at the house, and can be taken back."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from browser.devices import Device, settled
from browser.house_process import HouseProcess
from browser.thumb import until_nothing_rests
from honeyhold.house.house import House

pytestmark = pytest.mark.browser


def test_mould_sets_and_the_chance_are_kept_and_can_be_undone(phone: Page, house_server: HouseProcess) -> None:
    device = Device(phone, house_server.address)
    device.enrol(house_server.code(), "Shed phone")
    phone.goto(f"{house_server.address}/#settings/melting")
    sets = phone.get_by_role("button", name="3", exact=True)
    sets.click()
    expect(sets).to_have_attribute("aria-pressed", "true")
    chance = phone.get_by_role("button", name="1 in 50", exact=True)
    chance.click()
    expect(chance).to_have_attribute("aria-pressed", "true")
    device.exchange()

    def settings(house: House) -> tuple[int, int]:
        found = house.settings()
        return found["mould_sets"], found["short_one_in"]

    assert house_server.in_person(settings) == (3, 50)
    until_nothing_rests(phone)
    phone.get_by_role("button", name="undo").click()
    expect(chance).to_have_attribute("aria-pressed", "false")


def test_a_mold_of_twelve_makes_twelve(phone: Page, house_server: HouseProcess) -> None:
    """Not everybody's molds take ten: what a set makes is asked, and the pour that is looked over has so many."""
    device = Device(phone, house_server.address)
    device.enrol(house_server.code(), "Shed phone")
    phone.goto(f"{house_server.address}/#settings/melting")
    twelve = phone.get_by_role("group", name="wax bars from one set").get_by_role("button", name="12", exact=True)
    expect(phone.get_by_role("group", name="wax bars from one set").get_by_role("button", name="10", exact=True)).to_have_attribute("aria-pressed", "true")
    twelve.click()
    expect(twelve).to_have_attribute("aria-pressed", "true")
    device.exchange()
    phone.goto(f"{house_server.address}/#melt/pour")
    for step in ("pour", "knock out", "look over"):
        expect(phone.get_by_role("button", name=step).first).to_be_visible()
        settled(phone)  # a key that is drawn anew in the moment of the press hears nothing of it
        phone.get_by_role("button", name=step).first.press("Enter")
    expect(phone.get_by_role("heading", name="Set 1, 12 looked over: how many are specked?")).to_be_visible()
    expect(phone.locator(".specks button")).to_have_count(13)
    assert house_server.in_person(lambda house: house.records.sql("SELECT row FROM good WHERE id = 'bar'").fetchone()[0]) == 12
