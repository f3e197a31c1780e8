"""The list of people to call, by touch: a pour fills who waited, the text can be changed, and who knows is ticked off and can come back."""

from __future__ import annotations

from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser

WAITS = """
  await acts.savePerson({ id: 'ann', name: 'Ann Lind', phone: '+12185550142', street: '4 Heron Sill Rd', city: 'Duluth' });
  return (await acts.promise({ person: { id: 'ann' }, lines: [{ good: 'bar', units: 410 }], way: 'pick_up' })).order;"""


def test_a_pour_says_whom_to_call_and_who_knows_is_ticked_off(chromium: Browser, house_server: HouseProcess) -> None:
    with owners_phone(chromium, house_server, has_touch=True) as device:
        device.hold(400)
        order = device.js(WAITS)
        hands, page = Hands(device), device.page
        hands.go("book")
        expect(page.get_by_role("link", name="to call")).to_have_count(0)
        device.js("await acts.buy('bar', 20)")
        device.wait_for("house.view.openOrders().some(({ call_for }) => call_for === 'here')")
        hands.touch("1 person to call")
        board = page.locator("calls-board")
        expect(board).to_contain_text("Call these people, their order is here")
        expect(board.get_by_role("link", name="call")).to_have_attribute("href", "tel:+12185550142")
        hands.fill("what to say", "Ann, they are here & warm")
        link = board.get_by_role("link", name="send a text")
        expect(link).to_have_attribute("href", f"sms:+12185550142?body={quote('Ann, they are here & warm')}")
        hands.writes(r"^\s*they know\s*$")
        expect(board).to_contain_text("Nobody waits for a call.")
        assert device.js("return house.view.orders.get(args[0]).called_on === house.today()", order)
        hands.writes("^undo")
        expect(board).to_contain_text("Ann Lind")
        assert device.exchange() and device.status()["needsYou"] == []
