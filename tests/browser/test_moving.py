"""Going from place to place with the keyboard and with large text: what was entered is named and stands under the keyboard; the key that counts is seen."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device, open_anew, settled
from browser.house_process import HouseProcess
from browser.kept_phones import lent

pytestmark = pytest.mark.browser

ZOOMED = {"width": 320, "height": 256}
"""A screen of 1280 by 1024 at 400 % (WCAG 2.2, 1.4.10 Reflow)."""
SIDEWAYS = {"width": 844, "height": 390}
FOCUSED = "document.activeElement.textContent.trim().replace(/\\s+/g, ' ')"


@pytest.fixture(scope="module")
def device(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    with lent(chromium, viewport={"width": 390, "height": 844}, service_workers="block") as context:
        made = Device(context.new_page(), house_of_the_file.address)
        made.enrol(house_of_the_file.code(), "Shed phone")
        made.hold(20)
        yield made


def test_a_board_is_named_and_entered_and_left_by_the_keyboard(device: Device) -> None:
    order = device.promise(2, "Ruth Amsel", way="pick_up")
    device.wait_for("house.status.inHand === 0")  # its row is drawn anew when the main computer has it
    page = device.page
    page.goto(f"{device.address}/#book")
    link = page.locator(f"a[href='#book/order/{order['order']}']").first
    expect(link).to_be_visible()
    settled(page)  # a row that is drawn anew between the focus and the key has lost it
    link.press("Enter")
    page.wait_for_function(f"() => {FOCUSED} === 'Ruth Amsel' && document.activeElement.matches('h1')")
    assert page.title() == "Ruth Amsel · Book · Honeyhold"
    page.locator("order-board a.back").focus()
    page.keyboard.press("Enter")
    page.wait_for_function(f"() => document.activeElement.getAttribute('href') === '#book/order/{order['order']}'")
    assert "Book" in page.title()


def _compose(device: Device) -> Page:
    draft = {"fresh": {"name": "Orla", "phone": ""}, "lines": [{"good": "bar", "units": 1, "settled": True}], "way": "pick_up", "started": 1}
    device.js("localStorage.setItem('honeyhold.draft', JSON.stringify(args[0])); await (await import('/store/sentences.js')).sentences.drop()", draft)
    device.page.goto(f"{device.address}/#counter")
    device.page.reload()
    device.load()
    expect(device.page.locator("counter-room .key.say")).to_be_visible()
    return device.page


@pytest.mark.parametrize("size", [ZOOMED, SIDEWAYS], ids=["400 %", "sideways"])
def test_the_key_that_counts_is_in_sight(device: Device, size: dict[str, int]) -> None:
    """At once, without scrolling, whole; and nothing runs over the edge sideways."""
    page = _compose(device)
    page.set_viewport_size(size)  # type: ignore[arg-type]
    for room in ("counter-room", "read-back", "order-promised"):
        key = page.locator(f"{room} .deck > .key.say:not([data-resting])")
        key.wait_for()
        expect(key).to_be_in_viewport(ratio=0.99)
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
        key.click()
    page.set_viewport_size({"width": 390, "height": 844})


@pytest.mark.parametrize("size", [ZOOMED, SIDEWAYS], ids=["400 %", "sideways"])
@pytest.mark.parametrize("place", ["counter", "shelf", "bench", "melt", "book", "settings", "settings/device", "shelf/bar/count", "book/season/"])
def test_every_place_can_be_read_whole(device: Device, size: dict[str, int], place: str) -> None:
    page = device.page
    page.set_viewport_size(size)  # type: ignore[arg-type]
    open_anew(page, device.address, place)
    expect(page.locator("needs-board")).to_have_count(0)  # otherwise the place before would be looked at
    page.locator("main h1, main h2").locator("visible=true").first.wait_for()
    settled(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    cut = """() => [...document.querySelectorAll('.board, .deck, .list')].filter((part) => part.checkVisibility() && part.scrollWidth > part.clientWidth + 1)
        .map((part) => part.className + ': ' + part.textContent.trim().slice(0, 40))"""
    assert page.evaluate(cut) == []
    page.set_viewport_size({"width": 390, "height": 844})
