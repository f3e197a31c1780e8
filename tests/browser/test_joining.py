"""Somebody who stands in the book twice, by touch: joined, all seen together, found by the other number, and parted again."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser

TWICE = """
  await acts.savePerson({ id: 'ann', name: 'Ann Lind', phone: '+12185550142', street: '4 Heron Sill Rd', city: 'Duluth', state: 'MN' });
  await acts.savePerson({ id: 'anne', name: 'Anne L', phone: '+12185550177' });
  for (const id of ['ann', 'anne']) await acts.promise({ person: { id }, lines: [{ good: 'bar', units: 5 }], way: 'pick_up' });"""
ORDERS = "house.view.ordersOf(args[0]).length"


def test_joined_by_a_touch_and_parted_by_another(chromium: Browser, house_server: HouseProcess) -> None:
    with owners_phone(chromium, house_server, has_touch=True) as device:
        device.hold(20)
        device.js(TWICE)
        hands, page = Hands(device), device.page
        hands.go("book/person/ann")
        hands.touch("in the book twice")
        hands.fill("the other one", "0177")
        hands.writes("Anne L is Ann Lind too")
        expect(page.locator("same-person")).to_contain_text("Also in the book as Anne L")
        assert device.js(f"return {ORDERS}", "ann") == 2
        assert device.js("return find('0177').map(({ person }) => house.view.people.get(person.id).name)") == ["Ann Lind"]
        hands.go("book/person/anne")
        expect(page.get_by_role("heading", name="Ann Lind")).to_be_visible()
        hands.go("book/person/ann")
        hands.writes("somebody else after all")
        assert device.js(f"return {ORDERS}", "ann") == 1 and device.js(f"return {ORDERS}", "anne") == 1
        assert device.exchange() and device.status()["needsYou"] == []
