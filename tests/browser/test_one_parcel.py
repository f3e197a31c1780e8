"""Two orders to one address in one parcel by touch, parted, joined, packed and mailed; the same to another address for the same payer."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device, owners_phone
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
    with owners_phone(chromium, house_server, has_touch=True) as device:
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


OWN = """const { goes_with, posting_cents, posting_by } = house.view.orders.get(args[0]); return [goes_with, posting_cents, posting_by]"""
JOINED = """const [host, rider] = args;
  await acts.amend(rider, { goes_with: host, leave_on: house.today(), posting_cents: 0, posting_by: 'hand' });"""


@pytest.fixture
def joined(bench: Device) -> tuple[Hands, str, str]:
    """A host and its rider, in a house with a table of prices whose work is awake."""
    bench.hold(60)
    first, second = bench.js(TWO)
    bench.js(JOINED, first, second)
    assert bench.exchange()
    return Hands(bench), first, second


def test_a_canceled_host_leaves_no_mailing_for_free(joined: tuple[Hands, str, str]) -> None:
    """Its rider goes alone, priced by the table; undoing the cancellation puts all of it back."""
    hands, first, second = joined
    device = hands.device
    hands.go(f"book/order/{first}")
    hands.page.get_by_role("button", name="cancel the order").first.click()
    board = hands.page.locator("order-board")
    expect(board).to_contain_text("has a parcel of its own")
    expect(board).to_contain_text(re.compile(r"Mailing \$0\.00 → \$\d+\.\d\d, by your table\."))
    goes_with, cents, by = device.js(OWN, second)
    assert goes_with is None and cents > 0 and by == "table"
    assert device.exchange() and device.status()["needsYou"] == []
    until_nothing_rests(hands.page)
    board.locator("undo-key button").first.click()
    device.wait_for(f"house.view.orders.get('{second}').goes_with === '{first}'")
    assert device.js(OWN, second) == [first, 0, "hand"] and device.js("return house.view.orders.get(args[0]).state", first) == "promised"
    assert device.exchange() and device.status()["needsYou"] == []


@pytest.mark.parametrize("whose", ["rider", "host"])
def test_who_picks_it_up_rides_with_nobody(joined: tuple[Hands, str, str], whose: str) -> None:
    """Of either one; who still goes by mail is priced by the table."""
    hands, first, second = joined
    device, page = hands.device, hands.page
    changed = second if whose == "rider" else first
    hands.go(f"counter/change/{changed}")
    device.wait_for(f"document.querySelector('counter-room')?.draft.amends === '{changed}'")
    device.js("const room = document.querySelector('counter-room'); room.draft = { ...room.draft, way: 'pick_up' };")
    page.get_by_role("button", name="Read back, then change").click()
    page.get_by_role("button", name="Change it", exact=True).click()
    expect(page.get_by_role("heading", name="Changed")).to_be_visible()
    goes_with, cents, by = device.js(OWN, second)
    assert goes_with is None and ((cents, by) == (0, "") if whose == "rider" else cents > 0 and by == "table")
    assert device.exchange() and device.status()["needsYou"] == []


def test_joining_and_parting_price_the_parcel_anew(joined: tuple[Hands, str, str]) -> None:
    """By the table: what is in one parcel costs what that parcel costs."""
    hands, first, second = joined
    device = hands.device
    device.js(
        """await acts.amend(args[0], { goes_with: null, posting_by: '' });
           await acts.amend(args[1], { posting_cents: 1, posting_by: 'table' });""", second, first)  # fmt: skip
    hands.go(f"bench/{first}")
    board = hands.page.locator("one-parcel")
    hands.page.get_by_role("button", name="put both in one parcel").first.click()
    expect(board).to_contain_text(re.compile(r"Only that one costs mailing\. C-\d+: Mailing \$0\.01 → \$\d"))
    both = device.js(OWN, first)
    # by the keyboard: the board above grows meanwhile, as the parcel is worked out anew, and a finger's place would move away
    hands.page.get_by_role("button", name="two parcels after all").first.press("Enter")
    expect(board).to_contain_text("has a parcel of its own. Mailing $0.00 → $")
    assert both[2] == "table" and both[1] >= device.js(OWN, first)[1] > 0 and device.js(OWN, second)[1] > 0
