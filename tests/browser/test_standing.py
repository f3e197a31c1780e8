"""Standing orders by touch: noted at the person, asked about on the day's list, promised once from two devices, paused, left out, ended."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device, owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser

ANN = """await acts.savePerson({ id: 'ann', name: 'Ann Lind', phone: '+12185550142', street: '4 Heron Sill Rd', city: 'Duluth',
  state: 'MN', zip: '55811' });"""
STANDING = "[...house.view.orders.values()].filter((order) => order.standing_on)"


def test_a_standing_order_is_noted_and_promised_by_one_touch(chromium: Browser, house_server: HouseProcess) -> None:
    with owners_phone(chromium, house_server, has_touch=True) as device:
        device.hold(30)
        device.js(ANN)
        hands, page = Hands(device), device.page
        hands.go("book/person/ann")
        hands.touch(r"^\s*a standing order\s*$")
        hands.touch(r"^\s*write it down\s*$")
        expect(page.locator("standing-form")).to_contain_text("Say how many of what.")
        page.locator("standing-form input[name='units bar']").fill("10")
        page.locator("standing-form select[name=way]").select_option(label="picked up")
        hands.writes(r"^\s*write it down\s*$")
        expect(page.locator("standing-list")).to_contain_text("every month on the")
        hands.go("counter")
        due = page.locator("due-standing")
        expect(due).to_contain_text("Ann Lind")
        hands.writes(r"^\s*promise it\s*$")
        expect(due).to_contain_text(re.compile(r"Promised to Ann Lind as order A-\d"))
        assert device.js(f"return {STANDING}.map((order) => house.view.linesOf(order.id).map(({{ units }}) => units))") == [[10]]
        hands.writes("^undo")
        hands.writes(r"^\s*promise it\s*$")
        device.wait_for(f"{STANDING}.filter(({{ state }}) => state === 'promised').length === 1")
        assert device.exchange() and device.status()["needsYou"] == []
        hands.go("counter")
        expect(page.locator(".day-list")).to_be_visible()
        expect(due.get_by_role("button", name="promise it")).to_have_count(0)


def test_two_devices_that_promise_the_same_day_make_one_order_and_nobody_is_asked(device: Device, other_device: Device) -> None:
    device.hold(20)
    device.js(ANN)
    standing = device.js("""return (await acts.saveStanding({ person: 'ann', wanted: [{ good: 'bar', units: 2 }], way: 'pick_up', every: 'week',
      interval: 2, first_on: house.today() })).standing""")
    assert device.exchange() and other_device.exchange()
    for one in (device, other_device):
        one.cut_off()  # who hears of the other's is told so, and promises nothing
    for one in (device, other_device):
        one.js("await acts.promiseStanding(args[0], house.today())", standing)
        one.page.context.set_offline(False)
    for one in (device, other_device, device):
        assert one.exchange() and one.status()["needsYou"] == []
    for one in (device, other_device):
        assert one.js(f"return {STANDING}.map((order) => house.view.linesOf(order.id).length)") == [1]
        told = one.js("try { await acts.promiseStanding(args[0], house.today()) } catch (error) { return error.message }", standing)
        assert "promised already" in told


def test_honey_by_mail_has_no_key_while_mailing_honey_is_off(device: Device) -> None:
    """The words stand in its place; once it was asked about, the key does."""
    device.js(ANN)
    device.js("""await acts.saveStanding({ person: 'ann', wanted: [{ good: 'pint', units: 2 }], way: 'post', every: 'month', interval: 1,
        first_on: house.today() });""")
    device.page.goto(f"{device.address}/#counter")
    due = device.page.locator("due-standing")
    expect(due).to_contain_text("Mailing honey is off")
    expect(due.get_by_role("button", name="promise it")).to_have_count(0)
    device.js("await acts.setHouse('posting_honey_asked', true)")
    expect(due.get_by_role("button", name="promise it")).to_be_visible()
