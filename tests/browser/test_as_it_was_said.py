"""What was said or written down first stands first, after a start anew and on every other device, though all of it was of one day."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from browser.devices import Device

pytestmark = pytest.mark.browser

TAKEN = """const taken = [];
  for (let n = 1; n <= 6; n += 1) {
    const { order } = await acts.promise({ person: { name: `Caller ${n}`, phone: '' }, way: 'post',
      lines: [{ good: 'pint', units: 1 }, { good: 'bar', units: 2 }] });
    for (const cents of [100, 200, 300, 400]) await acts.pay(order, cents, 'cash');
    taken.push(order);
  }
  return taken;"""
STANDS = """return args[0].map((order) => [house.view.linesOf(order).map(({ good }) => good), house.view.paymentsOf(order).map(({ cents }) => cents)])"""
FOUND = "return (await import('/store/find-all.js')).findAll('a').filter(({ kind }) => kind === 'order').map(({ words }) => words)"


def test_lines_payments_and_orders_of_one_day_keep_their_order(device: Device, other_device: Device) -> None:
    """Six orders of two lines and four payments: by chance all would stand right once in ten billion."""
    orders = device.js(TAKEN)
    said = [[["pint", "bar"], [100, 200, 300, 400]]] * 6
    assert device.js(STANDS, orders) == said
    assert device.exchange() and other_device.exchange()
    device.js("for (const order of args[0]) { await acts.pack(order, { parcels: [{ gross_g: 400 }] }); }", orders)
    for one in (device, other_device):
        one.page.reload()
        one.load()
        assert one.js(STANDS, orders) == said
        assert one.js(FOUND) == [f"order A-{number}" for number in (6, 5, 4, 3, 2)]


def test_parcels_mailed_on_one_day_stand_by_their_numbers_the_highest_first(device: Device) -> None:
    device.hold(10)
    device.js(
        """for (let n = 1; n <= 6; n += 1) {
          const { order } = await acts.promise({ person: { name: `Caller ${n}`, phone: '' }, way: 'post', lines: [{ good: 'bar', units: 1 }] });
          await acts.pack(order, { parcels: [{ gross_g: 400 }] });
          await acts.handOver(order);
        }"""
    )
    for _ in range(2):
        device.page.goto(f"{device.address}/#book/arrivals")
        expect(device.page.locator("arrivals-board .order-row strong")).to_have_text([f"Caller {number}" for number in (6, 5, 4, 3, 2, 1)])
        device.page.reload()


def test_labels_are_for_what_was_filled_last(device: Device) -> None:
    """Of ten lots of one day the tenth lies there to be labeled, the ninth beside it."""
    made = device.js("""const made = [];
      for (let n = 0; n < 10; n += 1) made.push((await acts.make({ lots: [{ good: 'bar', units: 10 }] })).lots[0]);
      return made;""")
    first, second = made[-2:]
    device.page.goto(f"{device.address}/#shelf/bar/labels")
    lots = device.page.get_by_role("group", name="Of which lot").get_by_role("button")
    expect(lots.nth(0)).to_contain_text(second)
    expect(lots.nth(1)).to_contain_text(first)
    expect(lots.nth(0)).to_have_attribute("aria-pressed", "true")
