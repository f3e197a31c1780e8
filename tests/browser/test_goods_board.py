"""What you sell, by thumb: added from the usual ones, priced, by the ten, put in order, stopped and brought back; the Counter follows."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.thumb import until_nothing_rests

pytestmark = pytest.mark.browser

PHONE_PX = {"width": 390, "height": 844}
SMALLEST_TARGET_PX = 48
TOO_SMALL = """(least) => [...document.querySelectorAll('main button, main a.key')].filter((key) => key.checkVisibility()
  && (key.getBoundingClientRect().width < least - 0.5 || key.getBoundingClientRect().height < least - 0.5)).map((key) => key.textContent.trim())"""


@pytest.fixture
def board(chromium: Browser, house_server: HouseProcess) -> Iterator[Device]:
    """An owner's phone with touch, at what you sell."""
    with lent(chromium, viewport=PHONE_PX, has_touch=True) as context:
        device = Device(context.new_page(), house_server.address)
        device.enrol(house_server.code(), "Shed phone")
        go(device, "settings/goods")
        yield device


def go(device: Device, place: str) -> None:
    device.page.evaluate("localStorage.clear()")
    device.page.goto(f"{device.address}/#{place}")


def tap(page: Page, words: str) -> None:
    page.get_by_role("button", name=words, exact=True).or_(page.get_by_role("link", name=words, exact=True)).locator("visible=true").first.tap()


def type_in(page: Page, figures: str) -> None:
    for figure in figures:
        tap(page, "point" if figure == "." else figure)


def test_a_usual_good_is_added_priced_and_offered_at_the_counter(board: Device) -> None:
    """Touches alone: the tub, $8.50, two for $16; the Counter names it and two of them come to $16.00 in the sentence."""
    page = board.page
    first = page.locator("goods-board .good-row").first
    drawn, said = first.locator("svg").bounding_box(), first.locator("span, strong").first.bounding_box()
    assert drawn and said and drawn["width"] < PHONE_PX["width"] / 3, "the drawing leaves room for the words beside it"
    tap(page, "add something")
    page.get_by_role("button", name=re.compile(r"tub of creamed honey \(10")).tap()
    expect(page.get_by_role("heading", name="What does it cost?")).to_be_visible()
    type_in(page, "8.50")
    tap(page, "write it down")
    expect(page.locator(".deck")).to_contain_text("One costs $8.50. Orders already promised keep what they were told.")
    tap(page, "some together")
    type_in(page, "2")
    tap(page, "what do 2 cost?")
    type_in(page, "16")
    tap(page, "write it down")
    expect(page.locator(".under")).to_contain_text("$8.50 each, 2 for $16.00")
    assert page.evaluate(TOO_SMALL, SMALLEST_TARGET_PX) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE_PX["width"]
    row = board.js("return house.view.goods.get('tub_10oz')")
    assert (row["form"], row["typical"], row["price_cents"], row["steps"]) == ("tub", True, 850, [[2, 1600]])
    go(board, "counter")
    board.js("await acts.addGood({usual: 'jar_8oz', price_cents: 500})")
    tap(page, "someone is here now")
    tap(page, "something else")
    page.get_by_role("button", name=re.compile("tubs of creamed honey")).tap()
    expect(page.locator(".deck")).to_contain_text("2 for $16.00")
    tap(page, "1")
    expect(page.locator(".sentence")).to_contain_text("pays $8.50")
    tap(page, "2")
    expect(page.locator(".sentence")).to_contain_text("pays $16.00")


def test_stopped_it_keeps_its_stock_is_not_offered_and_comes_back(board: Device) -> None:
    page = board.page
    board.js("await acts.addGood({usual: 'comb_12oz', price_cents: 1400}); await acts.buy('comb_12oz', 7); await house.exchange()")
    go(board, "settings/goods/comb_12oz")
    tap(page, "stop selling it")
    expect(page.locator(".deck")).to_contain_text("No longer offered at the Counter. 7 on the shelf stay there.")
    expect(page.locator(".good-head")).to_contain_text("7 on the shelf: they stay as they are")
    assert board.js("return [house.view.onHand('comb_12oz'), house.view.goods.get('comb_12oz').sold]") == [7, False]
    go(board, "counter")
    tap(page, "someone is here now")
    tap(page, "something else")
    expect(page.locator(".keyrow.goods")).to_be_visible()
    expect(page.locator(".keyrow.goods")).not_to_contain_text("cut comb")
    go(board, "settings/goods")
    expect(page.get_by_role("heading", name="Not sold now")).to_be_visible()
    tap(page, "sell it again")
    expect(page.locator(".deck")).to_contain_text("offered again")
    assert board.js("return house.view.goods.get('comb_12oz').sold") is True


def test_the_order_is_changed_by_thumb_and_reaches_the_counter(board: Device) -> None:
    page = board.page
    before = board.js("return acts.goodsKept().filter((good) => good.sold).map((good) => good.id)")
    last = before[-1]
    name = board.js("return house.view.goods.get(args[0]).name", last)
    tap(page, "change the order")
    tap(page, f"{name}: up")
    board.wait_for(f"acts.goodsKept().filter((good) => good.sold).at(-2).id === '{last}'")
    tap(page, "this is the order")
    expect(page.locator("goods-board .goods-list").first.locator("li strong").nth(len(before) - 2)).to_have_text(re.compile(re.escape(name[:8])))
    until_nothing_rests(page)
    page.locator("undo-key button").tap()
    board.wait_for(f"acts.goodsKept().filter((good) => good.sold).at(-1).id === '{last}'")


def test_renamed_measured_and_never_drawn_as_something_else(board: Device) -> None:
    """A bar is a bar wherever it is drawn; measured, it is no longer typical."""
    page = board.page
    board.js("await acts.addGood({usual: 'block_1lb', price_cents: 2200})")
    go(board, "settings/goods/block_1lb")
    expect(page.locator(".good-head .good-picture")).to_have_attribute("data-form", "block")
    expect(page.locator(".under")).to_contain_text("typical: measure yours")
    tap(page, "rename it")
    page.locator("input[name=name]").fill("candle maker's block")
    tap(page, "write it down")
    expect(page.get_by_role("heading", name="candle maker's block")).to_be_visible()
    tap(page, "measure it")
    expect(page.locator(".measure-picture .good-picture")).to_have_attribute("data-form", "block")
    page.locator("input[name=H]").fill("46 mm")
    tap(page, "write it down")
    board.wait_for("house.view.goods.get('block_1lb').height_mm === 46 && !house.view.goods.get('block_1lb').typical")
    assert board.js("return [house.view.goods.get('block_1lb').net_g, house.view.goods.get('block_1lb').bears_g]") == [454, None]
    go(board, "settings/measures/bar")  # an old good that never said its form
    expect(page.locator(".measure-picture .good-picture")).to_have_attribute("data-form", "bar")


WRITING_WAITS = """() => {
  const [real, free] = [navigator.locks.request.bind(navigator.locks), new Promise((done) => { window.letGo = done; })];
  navigator.locks.request = (name, ...rest) => (name === 'honeyhold-log' ? free.then(() => real(name, ...rest)) : real(name, ...rest));
}"""
"""What is written from now on waits for its turn, as where the disk is slow, until it is let go."""


def test_a_rate_that_is_typed_while_a_tick_is_written_down_stays(board: Device) -> None:
    page = board.page
    board.js("await acts.setHouse('sales_tax', { on: true, rate: 0 })")
    go(board, "settings/tax")
    expect(page.get_by_label("wax bars", exact=True)).to_be_visible()
    page.evaluate(WRITING_WAITS)
    page.get_by_label("wax bars", exact=True).check()
    type_in(page, "5.5")
    page.evaluate("window.letGo()")
    board.wait_for("house.view.goods.get('bar').taxed")
    expect(page.locator("tax-board").get_by_role("status").first).to_contain_text("Written down.")
    expect(page.locator("tax-board number-pad input")).to_have_value("5.5")
    tap(page, "use this rate")
    board.wait_for("house.view.setting('sales_tax')?.rate === 5500")
    expect(page.get_by_role("button", name="use this rate")).to_be_disabled()


def test_sales_tax_is_off_until_switched_on_and_said_in_the_sentence(board: Device) -> None:
    page = board.page
    go(board, "settings/tax")
    expect(page.locator(".board")).to_contain_text("ask your state")
    assert board.js("return house.view.setting('sales_tax')") is None
    tap(page, "on")
    page.get_by_label("wax bars", exact=True).check()
    type_in(page, "5.5")
    tap(page, "use this rate")
    board.wait_for("house.view.setting('sales_tax')?.rate === 5500")
    go(board, "counter")
    tap(page, "someone is here now")
    tap(page, "10")
    expect(page.locator(".sentence")).to_contain_text("pays $26.38, $1.38 of it sales tax, in cash")
    board.js("await acts.setHouse('sales_tax', {on: false, rate: 5500})")
    expect(page.locator(".sentence")).to_contain_text("pays $25.00 in cash")
