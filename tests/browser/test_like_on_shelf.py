"""Before there is a record of callers the Shelf makes nothing up: it says so, and goes by how many the owner likes there."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser


def test_what_is_liked_on_the_shelf_is_said_until_there_is_a_record(phone: Page, house_server: HouseProcess) -> None:
    device = Device(phone, house_server.address)
    device.enrol(house_server.code(), "Shed phone")
    phone.goto(f"{house_server.address}/#shelf/bar")
    expect(phone.get_by_text("no record yet: say how many you like on the shelf")).to_be_visible()
    liked = phone.get_by_role("button", name="60", exact=True)
    liked.click()
    expect(liked).to_have_attribute("aria-pressed", "true")
    expect(phone.get_by_text("you said you like 60 on the shelf")).to_be_visible()
    device.exchange()
    assert house_server.in_person(lambda house: house.settings()["shelf_units"]) == {"bar": 60}
    smallest = phone.wait_for_function("""() => {
      const svg = [...document.querySelectorAll('*')].flatMap(function deep(node) {
        return [node, ...(node.shadowRoot ? [...node.shadowRoot.querySelectorAll('*')].flatMap(deep) : [])];
      }).find((node) => node.localName === 'svg' && /left, day by day/.test(node.textContent + node.getAttribute('aria-label')));
      if (!svg) return 0; // drawn anew since more is liked on the shelf
      const days = [...svg.querySelectorAll('text')].filter((text) => /^(Mo|Tu|We|Th|Fr|Sa|Su)$/.test(text.textContent));
      return Math.min(...days.map((text) => parseFloat(text.getAttribute('font-size')) * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width));
    }""").json_value()
    assert smallest >= 12
