"""What mailing costs where nobody knows it: never a silent $0.00; said in the tile, the sentence and the reading back; typed by hand it stands."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from browser.devices import Device
from browser.packing import opened

pytestmark = pytest.mark.browser

CALL = """const room = document.querySelector('counter-room'); const { emptyDraft } = await import('/rooms/counter/draft.js');
  room.draft = { ...emptyDraft(), started: Date.now(), leave_on: house.today(), lines: [{ good: 'bar', units: 5, settled: true }],
    fresh: { name: 'Nell Fenn', phone: '', street: '1 Larch Rd', unit: '', city: 'Duluth', state: 'MN', zip: args[0] } };
  room.opened = null;"""
LACKS = """row,service,zone,up_to_oz,what,over,cents,example
price,ground,8,80,,,1900,
"""


def called(device: Device, zip_code: str) -> Page:
    """The Counter with five bars for Duluth, once it has taken up what was written there before."""
    page = opened(device, "counter")
    page.locator("counter-room .sentence").wait_for()
    device.js(CALL, zip_code)
    return page


def test_an_order_without_a_zip_says_that_mailing_is_not_known(bench: Device) -> None:
    """Tile, sentence and reading back name what is missing; with the ZIP the table's price stands instead."""
    page = called(bench, "")
    expect(page.get_by_text("price of mailing not known: no ZIP for this order")).to_be_visible(timeout=60_000)
    expect(page.locator(".sentence")).to_contain_text("$15.00 plus mailing")
    page.get_by_role("button", name="Read back").click()
    expect(page.get_by_text("The price of mailing is not known yet: no ZIP for this order. It comes on top.")).to_be_visible()
    page = called(bench, "55811")
    expect(page.get_by_text("by your table")).to_be_visible(timeout=60_000)
    expect(page.locator(".sentence")).not_to_contain_text("plus mailing")
    bench.wait_for("document.querySelector('counter-room').draft.posting_cents === 700")


def test_a_table_that_lacks_the_zone_says_so_and_a_typed_price_stands(bench: Device) -> None:
    """“no zone 2 in your table”, one touch to type it; then the sum is whole and nothing is said any more."""
    bench.js("window.table = house.view.setting('posting_prices'); await acts.setHouse('posting_prices', args[0])", LACKS)
    page = called(bench, "55811")
    expect(page.get_by_text("price of mailing not known: no zone 2 in your table")).to_be_visible(timeout=60_000)
    page.get_by_role("button", name="type the price of mailing").click()
    for figure in "64":
        page.locator(".deck").get_by_role("button", name=figure, exact=True).click()
    page.get_by_role("button", name="add it").click()
    expect(page.locator(".sentence")).to_contain_text("$79.00")
    expect(page.locator(".sentence")).not_to_contain_text("plus mailing")
    order = bench.js("return document.querySelector('counter-room').draft")
    assert (order["posting_cents"], order["posting_by"], order["posting_typed"]) == (6400, "hand", True)
    bench.js("const { work } = await import('/kernel/work.js'); await acts.setHouse('posting_prices', (await work('quoting.price_table', { csv: null })).csv)")
