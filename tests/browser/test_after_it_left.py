"""Mailed by mistake and undone without signal; the tracking number with its link; what never came is sent again."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess
from browser.thumb import until_nothing_rests

pytestmark = pytest.mark.browser

PACKED = """
  await acts.savePerson({ id: 'ann', name: 'Ann Lind', phone: '+12185550142', street: '4 Heron Sill Rd', city: 'Duluth', state: 'MN' });
  const { order } = await acts.promise({ person: { id: 'ann' }, lines: [{ good: 'bar', units: 10 }], way: 'post', leave_on: house.today() });
  await acts.pack(order, { parcels: [{ gross_g: 400 }] });
  await acts.setHouse('tracking_link', 'https://follow.example.org/?n={number}');
  return order;"""


def test_mailed_is_undone_without_signal_and_followed_to_its_end(chromium: Browser, house_server: HouseProcess) -> None:
    with owners_phone(chromium, house_server, has_touch=True) as device:
        device.hold(20)
        order = device.js(PACKED)
        device.exchange()
        hands, page = Hands(device), device.page
        hands.go(f"bench/{order}")
        expect(page.get_by_role("button", name="Mailed", exact=True)).to_be_visible()
        device.page.context.set_offline(True)
        hands.writes(r"^\s*Mailed\s*$")
        assert device.js("return [house.view.orders.get(args[0]).state, house.view.onHand('bar')]", order) == ["gone", 390]
        until_nothing_rests(page)
        page.locator("pack-deck undo-key button").tap()
        device.wait_for("house.view.openOrders().length === 1")
        assert device.js("return [house.view.orders.get(args[0]).state, house.view.onHand('bar')]", order) == ["packed", 400]
        device.page.context.set_offline(False)
        hands.go(f"bench/{order}")
        hands.writes(r"^\s*Mailed\s*$")
        hands.go(f"book/order/{order}")
        page.locator("tracking-form input").fill("AB 123 456 789")
        hands.writes("keep the number")
        expect(page.get_by_role("link", name="where is it?")).to_have_attribute("href", "https://follow.example.org/?n=AB123456789")
        hands.writes(r"^\s*never came\s*$")
        hands.writes(r"^\s*it never came\s*$")
        expect(page.locator("send-again")).to_contain_text("Promised again as order A-2")
        device.wait_for("house.status.signal === 'shared' && house.status.inHand === 0")
        assert device.status()["needsYou"] == []
