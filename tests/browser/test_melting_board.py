"""What a morning of melting can do is set in Settings, lands at the house, and can be taken back."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess
from honeyhold.house.house import House

pytestmark = pytest.mark.browser


def test_mould_sets_and_the_chance_are_kept_and_can_be_undone(phone: Page, house_server: HouseProcess) -> None:
    device = Device(phone, house_server.address)
    device.enrol(house_server.code(), "Shed phone")
    phone.goto(f"{house_server.address}/#settings/melting")
    sets = phone.get_by_role("button", name="3", exact=True)
    sets.click()
    expect(sets).to_have_attribute("aria-pressed", "true")
    phone.get_by_role("button", name="1 in 50", exact=True).click()
    device.exchange()

    def settings(house: House) -> tuple[int, int]:
        found = house.settings()
        return found["mould_sets"], found["short_one_in"]

    assert house_server.in_person(settings) == (3, 50)
    phone.get_by_role("button", name="undo").click()
    expect(phone.get_by_role("button", name="1 in 50", exact=True)).to_have_attribute("aria-pressed", "false")
