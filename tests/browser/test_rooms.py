"""The rooms as a keeper sees them: every room opens clean, an order by touch or by keyboard alone, nothing is cut off."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from browser.devices import Device, settled
from browser.house_process import HouseProcess
from browser.kept_phones import lent

pytestmark = pytest.mark.browser

PHONE_PX = {"width": 390, "height": 844}
LAPTOP_PX = {"width": 1440, "height": 900}
ROOMS = {
    "counter": "wants", "shelf": "On the shelf", "bench": "To pack and to hand over", "melt": "This morning", "melt/pour": "pour", "book": "Find someone",
    "settings": "this device", "settings/first": "First questions", "settings/first/name": "where is it", "settings/first/goods": "wax bar (1 oz)", "settings/first/prices/bar": "cost?", "settings/first/shelf/bar": "on the shelf now", "settings/first/cartons": "another size", "settings/first/molds": "10 bars", "settings/first/honey": "Not yet", "settings/first/help": "nobody", "settings/device": "set aside for it", "settings/devices": "Other devices", "settings/moved": "The main computer moved", "settings/house": "Parcels go on",
    "settings/melting": "Sets of molds you have", "settings/measures": "Measures", "settings/measures/bar": "with its lid", "settings/goods": "What you sell", "settings/goods/add": "Add something", "settings/goods/add/own": "It looks like", "settings/goods/bar": "change the price", "settings/goods/bar/price": "What does it cost?", "settings/tax": "ask your state", "settings/prices": "no table yet", "settings/late": "ate entries", "settings/needs": "Needs you", "book/lot/": "Which lot?", "shelf/bar": "free", "shelf/bar/count": "lie there", "shelf/walk": "Count the shelf", "book/season/": "Season",
}  # fmt: skip
SMALLEST_TARGET_PX = 48
"""House rule (fingers that are wet or sticky); WCAG 2.2, 2.5.8 Target Size (Minimum) asks for 24."""
LINES = 40
RUTH = {
    "name": "Ruth Amsel", "phone": "+12185550142", "street": "4 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811",
}  # fmt: skip
TARGETS_TOO_SMALL = """(least) => [...document.querySelectorAll('button, a.key, nav a, input')].filter((key) => {
  const { width, height } = key.getBoundingClientRect();
  return key.checkVisibility() && width && !key.closest('.spoken') && (width < least - 0.5 || height < least - 0.5);
}).map((key) => `${key.textContent.trim() || key.name} ${key.offsetWidth}x${key.offsetHeight}`)"""
WIDER_THAN_ITS_PLACE = """() => [...document.querySelectorAll('.board, .deck, .list, .key, .blank')].filter((part) =>
  part.checkVisibility() && part.scrollWidth > part.clientWidth + 1).map((part) => `${part.className}: ${part.textContent.trim().slice(0, 40)}`)"""


@pytest.fixture(scope="module")
def rooms_context(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[BrowserContext]:
    """A phone with touch, enrolled, that knows Ruth Amsel; shared by the tests of this file."""
    with lent(chromium, viewport=PHONE_PX, has_touch=True) as context:
        device = Device(context.new_page(), house_of_the_file.address)
        device.enrol(house_of_the_file.code(), "Shed phone")
        device.promise(3, person=RUTH, way="pick_up")
        device.hold(40)
        device.exchange()
        yield context


@pytest.fixture
def phone(rooms_context: BrowserContext) -> Page:
    """The phone, with an empty sentence and with what its console said in `page.said`."""
    page = rooms_context.pages[0]
    page.set_viewport_size(PHONE_PX)  # type: ignore[arg-type]
    return page


def go(page: Page, house: HouseProcess, place: str) -> Device:
    """Goes to a place as a touch on its name would, with no sentence kept from before."""
    page.goto(f"{house.address}/#settings/needs")
    expect(page.locator("needs-board")).to_be_visible()
    page.evaluate("async () => { localStorage.clear(); await (await import('/store/sentences.js')).sentences.drop(); }")
    page.goto(f"{house.address}/#{place}")
    expect(page.locator(f"{place.partition('/')[0]}-room")).to_be_attached()
    return Device(page, house.address, load=False)


def key(page: Page, words: str) -> None:
    """Taps the key that says exactly this."""
    page.locator(".deck").get_by_role("button", name=words, exact=True).first.tap()


@pytest.mark.parametrize(("place", "words"), ROOMS.items())
def test_a_room_opens_clean(phone: Page, house_of_the_file: HouseProcess, place: str, words: str) -> None:
    """It shows what it is, says nothing on the console, runs over no edge, and every key is large enough."""
    said: list[str] = []
    note = lambda message: said.append(message.text) if message.type in ("error", "warning") else None  # noqa: E731
    fault = lambda error: said.append(str(error))  # noqa: E731
    phone.on("console", note)
    phone.on("pageerror", fault)
    go(phone, house_of_the_file, place)
    expect(phone.locator("main").get_by_text(words).locator("visible=true").first).to_be_visible()
    settled(phone)
    phone.remove_listener("console", note)
    phone.remove_listener("pageerror", fault)
    assert said == []
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE_PX["width"]
    assert phone.evaluate(WIDER_THAN_ITS_PLACE) == []
    assert phone.evaluate(TARGETS_TOO_SMALL, SMALLEST_TARGET_PX) == []


def test_an_order_by_three_digits_and_touches_only(phone: Page, house_of_the_file: HouseProcess) -> None:
    """Found by 1-4-2, ten bars, by check: read back with her number and address, promised, and it stands in the book."""
    device = go(phone, house_of_the_file, "counter")
    for digit in "142":
        key(phone, digit)
    phone.get_by_role("button", name=re.compile("Ruth Amsel")).first.tap()
    key(phone, "10")
    phone.locator("[data-blank=pays]").tap()
    key(phone, "check in the mail")
    key(phone, "Read back, then promise")
    expect(phone.locator(".sentence.aloud")).to_contain_text("Ruth Amsel, at 218-555-0142, wants 10 wax bars")
    expect(phone.locator(".sentence.aloud")).to_contain_text("4 Heron Sill Rd, Duluth MN 55811")
    key(phone, "Promise")
    expect(phone.get_by_role("heading", name="Promised")).to_be_visible()
    order = device.js("return [...house.view.orders.values()].at(-1)")
    assert (order["state"], order["way"], order["pays"]) == ("promised", "post", "check")
    assert device.js("return house.view.linesOf(args[0]).map((l) => [l.good, house.view.sure(l.id)])", order["id"]) == [["bar", 10]]


def test_what_is_not_sure_is_a_choice(phone: Page, house_of_the_file: HouseProcess, rooms_context: BrowserContext) -> None:
    """Five more than this device may promise, without signal: nothing is promised until the keeper says how many."""
    device = go(phone, house_of_the_file, "counter")
    device.wait_for_shell()
    try:
        device.cut_off()
        share = device.js("return house.share('bar')")  # from here on no exchange changes it
        for digit in "142":
            key(phone, digit)
        phone.get_by_role("button", name=re.compile("Ruth Amsel")).first.tap()
        key(phone, "another number")
        for digit in str(share + 5):
            key(phone, digit)
        key(phone, "that many")
        expect(phone.locator(".gist")).to_contain_text("5 not sure")
        expect(phone.get_by_role("button", name="Read back, then promise")).to_have_count(0)
        key(phone, f"take {share + 5}, 5 waiting")
        expect(phone.locator(".gist")).to_contain_text("5 waiting")
        key(phone, "Read back, then promise")
        key(phone, "Promise")
        expect(phone.locator(".under")).to_contain_text("5 wax bars, first come first served from the next pour")
        expect(phone.locator(".under")).to_contain_text("written down on this device for good")
        assert device.status()["inHand"] == 1
    finally:
        rooms_context.set_offline(False)
    device.wait_for("house.status.inHand === 0")


def test_a_promise_with_the_keyboard_alone(phone: Page, house_of_the_file: HouseProcess) -> None:
    """On a laptop: letters of a name, Enter, Tab to ten, Tab to the step that counts; focus is seen at every stop."""
    phone.set_viewport_size(LAPTOP_PX)  # type: ignore[arg-type]
    device = go(phone, house_of_the_file, "counter")
    before = device.js("return house.view.orders.size")
    device.hold(10)
    phone.locator("person-finder input").focus()
    phone.keyboard.type("ams")
    phone.keyboard.press("Enter")
    for words in ("10", "Read back, then promise", "Promise"):
        _tab_to(phone, words)
        phone.keyboard.press("Enter")
    expect(phone.get_by_role("heading", name="Promised")).to_be_visible()
    assert device.js("return house.view.orders.size") == before + 1
    focused = phone.evaluate("document.activeElement.textContent.trim()")
    assert focused == "Next call"


def _tab_to(page: Page, words: str, most: int = 40) -> None:
    here = "document.activeElement.textContent.trim().replace(/\\s+/g, ' ')"
    expect(page.locator(".deck").get_by_role("button", name=re.compile(f"^{words}")).first).to_be_visible()
    for _ in range(most):
        # the step that counts may also say what it goes on without
        if page.evaluate(here).split("without ")[0].strip() == words:
            assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{words!r} is not reached with {most} steps of the Tab key; last at {page.evaluate(here)!r}")


def test_forty_lines_are_not_cut_off(phone: Page, house_of_the_file: HouseProcess) -> None:
    """The most lines an order may hold: each can be scrolled to and lies inside the screen, touched and read aloud."""
    goods = [
        {"id": f"kind-{n}", "name": f"candle of kind {n}", "plural": f"candles of kind {n}", "short": f"kind {n}", "kind": "wax",
         "unit": "each", "price_cents": 300, "row": 10, "rank": 10 + n, "sold": True, "gross_g": 30, "length_mm": 30, "width_mm": 30,
         "height_mm": 30}
        for n in range(1, LINES)
    ]  # fmt: skip
    device = go(phone, house_of_the_file, "counter")
    device.js("for (const good of args[0]) await acts.setGood(good); await house.exchange()", goods)
    order = {"way": "pick_up", "lines": [{"good": "bar", "units": 5}, *({"good": g["id"], "units": 1} for g in goods)]}
    person = device.js("return [...house.view.people.values()].find((one) => one.name === 'Ruth Amsel').id")
    made = device.js("return (await acts.promise(args[0])).order", {**order, "person": {"id": person}})
    phone.goto(f"{house_of_the_file.address}/#counter/change/{made}")
    expect(phone.locator(".sentence .blank[data-blank^='line:']")).to_have_count(LINES)
    for place in (0, LINES // 2, LINES - 1):
        blank = phone.locator(".sentence .blank[data-blank^='line:']").nth(place)
        blank.scroll_into_view_if_needed()
        box = blank.bounding_box()
        assert box and box["x"] >= 0 and box["x"] + box["width"] <= PHONE_PX["width"]
    assert phone.evaluate(WIDER_THAN_ITS_PLACE) == []
    key(phone, "Read back, then change")
    expect(phone.locator(".sentence.aloud strong", has_text="kind")).to_have_count(LINES - 1)
    last = phone.locator(".sentence.aloud strong", has_text=f"candle of kind {LINES - 1}")
    last.scroll_into_view_if_needed()
    assert last.is_visible() and phone.evaluate(WIDER_THAN_ITS_PLACE) == []
    phone.goto(f"{house_of_the_file.address}/#book/order/{made}")
    expect(phone.locator("order-board .under dt").filter(has_text=re.compile("^(wants|and)$"))).to_have_count(LINES)
    phone.goto(f"{house_of_the_file.address}/#bench/{made}")
    expect(phone.locator("parcel-board")).to_be_visible()
    assert phone.evaluate(WIDER_THAN_ITS_PLACE) == []
