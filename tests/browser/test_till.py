"""The till by touch: opened, sold into, emptied, counted, the difference with its note, and the same on another device."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device
from browser.every_screen import Hands
from browser.house_process import HouseProcess
from browser.kept_phones import lent

pytestmark = pytest.mark.browser
PHONE = {"width": 390, "height": 844}

BEHIND = """const ms = Date.now, day = house.today();
  let behind_ms = 3_600_000;
  Date.now = () => ms() - behind_ms;
  try {
    while (house.today() !== day) behind_ms /= 2; // in the first hour of a day it would count the day before
    await acts.till('counted', 4100);
  } finally { Date.now = ms; }"""


@pytest.fixture(scope="module")
def two(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[tuple[Device, Device]]:
    """A phone and a tablet of one house."""
    with lent(chromium, viewport=PHONE, has_touch=True) as one, lent(chromium, viewport=PHONE, has_touch=True) as other:
        devices = []
        for context, name in ((one, "Shed phone"), (other, "Wall tablet")):
            device = Device(context.new_page(), house_of_the_file.address)
            device.enrol(house_of_the_file.code(), name)
            devices.append(device)
        yield devices[0], devices[1]


def entered(hands: Hands, dollars: str, words: str, note: str = "") -> None:
    hands.fill("^dollars", dollars)
    hands.fill("^note", note)
    hands.writes(rf"^\s*{words}\s*$")


def test_a_day_closes_to_the_cent_on_both_devices(two: tuple[Device, Device]) -> None:
    phone, tablet = two
    hands, page = Hands(phone), phone.page
    hands.go("book")
    hands.touch(r"^\s*the till\s*$")
    entered(hands, "50", "put in", "coins")
    phone.hold(20)
    tablet.hold(20)
    phone.js("await acts.sell({ lines: [{ good: 'bar', units: 5 }], way: 'walk_in', pays: 'cash' })")
    phone.js("await acts.sell({ lines: [{ good: 'bar', units: 2 }], way: 'walk_in', pays: 'check' })")
    tablet.js(
        "const sold = await acts.sell({ lines: [{ good: 'bar', units: 4 }], way: 'walk_in', pays: 'cash' }); await acts.undo(sold.op)"
    )
    tablet.js("await acts.sell({ lines: [{ good: 'bar', units: 3 }], way: 'walk_in', pays: 'cash' })")
    for device in (phone, tablet, phone):
        assert device.exchange()
    board = page.locator("till-board")
    expect(board).to_contain_text("$70.00 in cash")
    expect(board).to_contain_text("$5.00, beside the cash")
    entered(hands, "20", "taken out", "to the bank")
    entered(hands, "49.75", "that is what I counted", "a quarter on the floor")
    expect(board).to_contain_text("$0.25 missing")
    expect(board).to_contain_text("a quarter on the floor")
    assert phone.exchange() and tablet.exchange()
    there = Hands(tablet)
    there.go("book/till")
    expect(tablet.page.locator("till-board")).to_contain_text("$0.25 missing")
    entered(there, "50", "that is what I counted")
    expect(tablet.page.locator("till-board")).to_contain_text("none, to the cent")
    there.writes("^undo")
    expect(tablet.page.locator("till-board")).to_contain_text("$0.25 missing")
    assert tablet.exchange() and tablet.status()["needsYou"] == [] and phone.status()["needsYou"] == []


def test_of_counts_within_one_second_the_last_is_the_days(two: tuple[Device, Device]) -> None:
    """Five counts in one breath have five moments; one by a clock that is behind has the latest, where by its clock it would be the first."""
    phone, tablet = two
    for seen in range(5):
        phone.js("await acts.till('counted', args[0])", 4000 + seen)
        counts = phone.js(
            "return [...house.view.till.values()].filter((row) => row.what === 'counted' && !row.undoes).map(({ at, cents }) => [at, cents])"
        )
        assert max(counts)[1] == 4000 + seen and len({at for at, _ in counts}) == len(counts)
    assert phone.exchange() and tablet.exchange()
    tablet.js(BEHIND)
    assert max(tablet.js("return [...house.view.till.values()].map(({ at, cents }) => [at, cents])"))[1] == 4100
