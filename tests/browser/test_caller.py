"""The caller at a glance, by touch: what is open, waits and is owed; the usual in one touch; an open order made larger in one touch."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device, owners_phone
from browser.every_screen import Hands
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser

BEFORE = """
  await acts.savePerson({ id: 'ann', name: 'Ann Lind', phone: '+12185550142', street: '4 Heron Sill Rd', city: 'Duluth' });
  const taken = (units) => acts.promise({ person: { id: 'ann' }, lines: [{ good: 'bar', units }], way: 'post' });
  for (const units of [10, 5, 10]) { const { order } = await taken(units); await acts.handOver(order); }
  const paid = await taken(2);
  await acts.pay(paid.order, 500, 'cash');
  await acts.letGo(paid.order);
  return (await taken(10)).order;"""


@pytest.fixture(scope="module")
def keeper(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    """An owner's phone."""
    with owners_phone(chromium, house_of_the_file, has_touch=True) as device:
        device.hold(80)
        yield device


def calls(hands: Hands) -> None:
    """Ann rings."""
    hands.go("counter")
    hands.digits("142")
    hands.page.locator(".found .key, .found button", has_text="Ann Lind").first.tap()  # the day's list may name her too


def test_what_is_known_of_a_caller_and_their_usual_in_one_touch(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    keeper.js(BEFORE)
    calls(hands)
    known = page.get_by_label("What is known of them")
    for words in ("10 wax bars", "change that order", "$62.50", "pay back", "$5.00", "last time"):
        expect(known).to_contain_text(words)
    hands.touch(r"^\s*the usual")
    expect(page.locator(".sentence")).to_contain_text("10 wax bars")
    expect(known).to_have_count(0)
    hands.touch("start over")


def test_make_it_15_changes_the_open_order_and_leaves_nothing_on_hold(keeper: Device) -> None:
    hands, page = Hands(keeper), keeper.page
    calls(hands)
    hands.touch(r"^\s*make it 15\s*$")
    expect(page.locator(".sentence")).to_contain_text("15 wax bars")
    expect(page.locator("h1.where")).to_contain_text("Changing order")
    hands.touch(r"^\s*Read back")
    hands.writes(r"^\s*Change it\s*$")
    assert keeper.js("return house.view.openOrders().map((order) => house.view.linesOf(order.id).map(({ units }) => units))") == [[15]]
    hands.touch("Next call")
    expect(page.get_by_label("Other calls")).to_have_count(0)
    assert keeper.exchange() and keeper.status()["needsYou"] == []
