"""What is written on the boards of Settings: once a touch, both when a field is left for a key, and taken back by a key beside it."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device, open_anew
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.test_double_tap import double_tapped, tap_twice
from browser.thumb import until_nothing_rests

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
WRITTEN = "return [...known.entries.values()].filter(({ operation }) => operation.seq > args[0]).map(({ operation }) => operation.kind)"


@pytest.fixture(scope="module")
def device(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    with lent(chromium, viewport=PHONE, has_touch=True, service_workers="block") as context:
        made = Device(context.new_page(), house_of_the_file.address)
        made.enrol(house_of_the_file.code(), "Shed phone")
        yield made


def opened(device: Device, place: str, board: str) -> Page:
    device.page.goto(f"{device.address}/#settings/{place}")
    expect(device.page.locator(f"{board} h1")).to_be_visible()
    return device.page


def test_a_price_is_written_once_and_its_undo_is_not_under_the_finger(device: Device) -> None:
    page, before = device.page, 0

    def trial() -> float:
        nonlocal before
        device.js("await acts.setGood({ id: 'bar', price_cents: 250 })")
        open_anew(page, device.address, "settings/goods/bar/price")
        before = device.js("return known.head.seq")
        page.get_by_role("button", name="3", exact=True).tap()
        return tap_twice(page, page.get_by_role("button", name="write it down"), 100)

    double_tapped(trial)
    page.locator("good-prices undo-key button:not([data-resting])").wait_for()  # whatever was to come has come
    assert device.js(WRITTEN, before) == ["set_good"]
    assert device.js("return house.view.goods.get('bar').price_cents") == 300
    until_nothing_rests(page)
    page.locator("good-prices undo-key button").tap()
    device.wait_for("house.view.goods.get('bar').price_cents === 250")


def test_a_price_that_is_taken_away_leaves_the_figure_that_is_half_typed(device: Device) -> None:
    page = device.page
    device.js("await acts.setPrices('bar', { place: 'mail', since: '', cents: 300 })")
    open_anew(page, device.address, "settings/goods/bar/price")
    page.get_by_role("button", name="3", exact=True).tap()
    page.get_by_role("button", name="take this price away").tap()
    expect(page.locator("good-prices .done")).to_contain_text("Taken away.")
    expect(page.get_by_role("button", name="take this price away")).to_have_count(0)
    expect(page.locator("good-prices number-pad input")).to_have_value("3")


def test_a_field_that_is_left_for_a_key_is_written_and_so_is_the_key(device: Device) -> None:
    """The keyboard is still open when the finger touches the next key: the field is written first, and the key answers at the first touch."""
    page, before = opened(device, "house", "house-board"), device.js("return known.head.seq")
    page.locator("house-board label", has_text="street").locator("input").fill("4 Heron Sill Rd")
    until_nothing_rests(page)
    page.locator("house-board button", has_text="Thu").tap()
    device.wait_for(f"known.head.seq === {before} + 2")
    street, days = device.js("return [house.view.setting('street'), house.view.setting('posting_days')]")
    assert street == "4 Heron Sill Rd" and "Thu" in days


def test_what_a_field_cannot_be_is_said_and_nothing_is_written(device: Device) -> None:
    page, before = opened(device, "padding", "padding-board"), device.js("return known.head.seq")
    page.get_by_role("button", name="add a padding").tap()
    page.locator("padding-board input[name=name]").fill("wool")
    page.locator("padding-board input[name=thickness_mm]").fill("thick")
    page.get_by_role("button", name="add the padding").tap()
    expect(page.get_by_role("alert")).to_contain_text("which is no length")
    assert page.locator("padding-board input[name=name]").input_value() == "wool"
    assert device.js(WRITTEN, before) == []


def test_what_stood_there_and_is_typed_again_takes_the_refusal_away(device: Device) -> None:
    """Nothing is written for it, yet nothing is wrong any more."""
    page = opened(device, "house", "house-board")
    field = page.locator("house-board label", has_text="telephone").locator("input")
    stood = field.input_value()
    field.fill("12")
    field.blur()
    expect(page.locator("house-board [role=alert]")).to_be_visible()
    before = device.js("return known.head.seq")
    field.fill(stood)
    field.blur()
    expect(page.locator("house-board [role=alert]")).to_have_count(0)
    assert device.js(WRITTEN, before) == []


def test_a_code_that_is_not_made_says_why_and_a_later_one_is(device: Device) -> None:
    page = opened(device, "devices", "devices-board")
    page.context.set_offline(True)
    page.get_by_role("button", name="a code for a helper").tap()
    expect(page.locator("devices-board [role=alert]")).to_be_visible()
    page.context.set_offline(False)
    page.get_by_role("button", name="a code for a helper").tap()
    expect(page.get_by_label("the code")).to_be_visible()
    expect(page.locator("devices-board [role=alert]")).to_have_count(0)
