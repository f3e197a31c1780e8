"""Every screen of the demo says that it is one, and one touch there tells how to start one's own; a real house says nothing of it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.kept_phones import lent

pytestmark = pytest.mark.browser

PLACES = ("counter", "shelf", "bench", "melt", "book", "settings", "settings/device")
LEAST_PX = 48


def test_every_screen_of_the_demo_says_so_and_leads_to_ones_own(chromium: Browser, demo_house: HouseProcess) -> None:
    with lent(chromium, viewport={"width": 390, "height": 844}) as context:
        page = context.new_page()
        page.goto(demo_house.address)
        mark = page.locator("house-head a.demo")
        expect(mark).to_have_text("demo")  # before it is a device too
        device = Device(page, demo_house.address)
        device.enrol(demo_house.code(), "Demo phone")
        for place in PLACES:
            page.goto(f"{demo_house.address}/#{place}")
            expect(mark).to_be_visible()
        box = mark.bounding_box()
        assert box and box["width"] >= LEAST_PX and box["height"] >= LEAST_PX
        mark.click()
        expect(page.get_by_role("heading", name="Start my own")).to_be_visible()
        expect(page.locator("own-board")).to_contain_text("scripts/run")


def test_a_real_house_is_no_demo(phone: Page, house_server: HouseProcess) -> None:
    device = Device(phone, house_server.address)
    device.enrol(house_server.code(), "Shed phone")
    device.exchange()
    expect(phone.locator("house-head")).to_contain_text("all sent")
    expect(phone.locator("house-head a.demo")).to_have_count(0)
    phone.goto(f"{house_server.address}/#settings")
    expect(phone.get_by_role("link", name="this device")).to_be_visible()
    expect(phone.get_by_role("link", name="start my own")).to_have_count(0)
