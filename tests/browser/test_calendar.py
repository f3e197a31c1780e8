"""The calendar's address under Settings: shown to an owner, renewed after a second touch; the feed is there, and the old one is not."""

from __future__ import annotations

import pytest
import requests
from playwright.sync_api import Browser, expect

from browser.devices import owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser


def test_the_address_is_shown_and_renewed(chromium: Browser, house_server: HouseProcess) -> None:
    with owners_phone(chromium, house_server, has_touch=True) as device:
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
