"""Everything out in one touch, and one person out or forgotten, on the screen."""

from __future__ import annotations

import zipfile

import pytest
from playwright.sync_api import expect

from browser.devices import Device
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser


def test_everything_is_saved_in_one_touch_and_a_person_is_forgotten(device: Device, house_server: HouseProcess) -> None:
    device.hold(3)
    order = device.promise(2, "Orla Tennick")
    device.exchange()
    device.wait_for("(await house.call('/api/health')).backup?.made_at")  # the first is made beside the doors; the board asks once
    page = device.page
    page.goto(f"{device.address}/#settings/out")
    expect(page.get_by_text("The newest backup on the main computer was made just now.")).to_be_visible()
    with page.expect_download() as saved:
        page.get_by_role("button", name="save everything").click()
    assert "Orla Tennick" in zipfile.ZipFile(saved.value.path()).read("person.csv").decode()
    expect(page.get_by_role("status")).to_contain_text("Saved")
    page.goto(f"{device.address}/#book/person/{order['person']}")
    page.get_by_text("if they ask what you keep").click()
    with page.expect_download() as one:
        page.get_by_role("button", name="save all that is kept of them").click()
    assert "Orla Tennick" in zipfile.ZipFile(one.value.path()).read("all.json").decode()
    page.get_by_role("button", name="forget them …").click()
    page.get_by_role("button", name="forget them now").click()
    expect(page.get_by_role("heading", name="(forgotten)")).to_be_visible()
    device.load()
    assert device.js("return house.view.openOrders().some(({ id }) => id === args[0])", order["order"])
