"""Two orders to one address in one parcel by touch, parted, joined, packed and mailed; the same to another address for the same payer."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device
from browser.every_screen import Hands
from browser.house_process import HouseProcess
from browser.thumb import until_nothing_rests

pytestmark = pytest.mark.browser

TWO = """
  await acts.savePerson({ id: 'ann', name: 'Ann Lind', phone: '+12185550142', street: '4 Heron Sill Rd', city: 'Duluth', state: 'MN',
    zip: '55811' });
  const order = (units) => acts.promise({ person: { id: 'ann' }, lines: [{ good: 'bar', units }], way: 'post', leave_on: house.today(),
    posting_cents: 900, posting_by: 'hand' });
  return [(await order(10)).order, (await order(5)).order];"""


def test_two_orders_to_one_address_offer_one_parcel(chromium: Browser, house_server: HouseProcess) -> None:
    context = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, service_workers="allow")
    context.set_default_timeout(15_000)
    device = Device(context.new_page(), house_server.address)
    device.enrol(house_server.code(), "Shed phone")
    device.hold(60)
    first, second = device.js(TWO)
    hands, page = Hands(device), device.page
    hands.go(f"bench/{first}")
    hands.writes("put both in one parcel")
    board = page.locator("one-parcel")
    expect(board).to_contain_text("With it goes")
    assert device.js("const { goes_with, posting_cents } = house.view.orders.get(args[0]); return [goes_with, posting_cents]", second) == [
        first, 0,
    ]
    hands.writes("two parcels after all")
    expect(board).to_contain_text("One parcel?")
    hands.writes("put both in one parcel")
    hands.writes(r"^\s*Packed")
    until_nothing_rests(page)
    page.locator("pack-deck undo-key button").tap()
    device.wait_for("!house.view.openOrders().some(({ state }) => state === 'packed')")
    assert device.js("return args.map((id) => house.view.orders.get(id).state)", first, second) == ["promised", "promised"]
    hands.go(f"bench/{first}")
    hands.writes(r"^\s*Packed")
    hands.writes(r"^\s*Mailed\s*$")
    assert device.js("return args.map((id) => house.view.orders.get(id).state)", first, second) == ["gone", "gone"]
    assert device.exchange() and device.status()["needsYou"] == []
    hands.go("book/person/ann")
    hands.writes("all paid in cash")
    assert device.js("return house.view.ordersOf('ann').map(({ id }) => house.view.owed(id))") == [0, 0]
    context.close()
