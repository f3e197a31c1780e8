"""The calendar's address under Settings: shown to an owner, renewed after a second touch; the feed is there, and the old one is not."""

from __future__ import annotations

import pytest
import requests
from playwright.sync_api import Browser, expect

from browser.devices import Device
from browser.every_screen import Hands
from browser.house_process import HouseProcess
from browser.kept_phones import lent

pytestmark = pytest.mark.browser


def test_the_address_is_shown_and_renewed(chromium: Browser, house_server: HouseProcess) -> None:
    with lent(chromium, viewport={"width": 390, "height": 844}, has_touch=True) as context:
        device = Device(context.new_page(), house_server.address)
        device.enrol(house_server.code(), "Shed phone")
        hands, page = Hands(device), device.page
        hands.go("settings/calendar")
        hands.touch("show the address")
        field = page.locator("calendar-board input")
        expect(field).not_to_have_value("")
        before = field.input_value()
        assert requests.get(before, timeout=10).text.startswith("BEGIN:VCALENDAR")
        hands.touch("a new address")
        hands.touch("yes, a new address")
        expect(field).not_to_have_value(before)
        assert requests.get(before, timeout=10).status_code == 404 and requests.get(field.input_value(), timeout=10).status_code == 200
