"""Orders of long ago leave the device, as they leave the mirror, and can be asked for in the Book while the house is in reach."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess, goods_and_bars
from browser.kept_phones import lent
from honeyhold.house.house import House

pytestmark = pytest.mark.browser

DAYS = 45
HELD = """const view = house.view; const kept = await (await import('/store/database.js')).read(['rows', 'sums', 'keep'], async (tx) => ({
    rows: await tx.objectStore('rows').getAllKeys(), sums: await tx.objectStore('sums').getAllKeys(),
    forgotten: await tx.objectStore('keep').get('forgotten') }));
  return { orders: [...view.orders.keys()], lines: view.lines.size, handed: view.board.handed.size, paid: [...view.board.paid.keys()],
    rows: kept.rows.filter(([table]) => ['order', 'line'].includes(table)).map(([, id]) => id),
    sums: kept.sums.filter(([kind]) => ['sure', 'handed', 'paid'].includes(kind)), forgotten: kept.forgotten ?? [],
    free: view.free('bar') };"""
HAND_OVER = "await acts.handOver(args[0], {}); if (args[1]) await acts.pay(args[0], args[1], 'cash'); return house.exchange()"


def seed_with_a_clock(house: House) -> None:
    """Only a demo's clock can be moved."""
    house.make_demo()
    goods_and_bars(house)


def later(house: House) -> None:
    """The house's clock goes on by forty-five days."""
    house.clock.set(house.clock.now() + timedelta(days=DAYS))


@pytest.fixture
def house_server(tmp_path: Path) -> Iterator[HouseProcess]:
    """A house for each test: its clock goes on."""
    with HouseProcess(tmp_path / "data", seed_with_a_clock).running() as house:
        yield house


@pytest.fixture
def phone(chromium: Browser, house_server: HouseProcess) -> Iterator[Device]:
    """An enrolled phone with one settled order gone, one unpaid order gone and one open order, forty-five days later."""
    with lent(chromium, viewport={"width": 390, "height": 844}) as context:
        device = Device(context.new_page(), house_server.address)
        device.enrol(house_server.code(), "Shed phone")
        device.hold(60)
        names = {"settled": "Ruth Amsel", "owing": "Orla Heath", "open": "Ivo Fern"}
        device.orders = {  # type: ignore[attr-defined]
            word: device.promise(5, name=name, way="pick_up")["order"] for word, name in names.items()
        }
        device.exchange()
        device.js(HAND_OVER, device.orders["settled"], 1250)  # type: ignore[attr-defined]
        device.js(HAND_OVER, device.orders["owing"], 0)  # type: ignore[attr-defined]
        assert len(device.js(HELD)["orders"]) == 3
        house_server.in_person(later)
        device.wait_for("house.exchange()")  # one that began while the house was away fails
        yield device


def test_settled_orders_leave_the_device_and_others_stay(phone: Device) -> None:
    held, orders = phone.js(HELD), phone.orders  # type: ignore[attr-defined]
    stay = {orders["owing"], orders["open"]}
    assert set(held["orders"]) == stay and held["lines"] == 2
    assert orders["settled"] not in held["rows"] and len(held["rows"]) == 4
    assert held["paid"] == [] and [key[0] for key in held["sums"]].count("handed") == 1 == held["handed"]
    assert [one["id"] for one in held["forgotten"]] == [orders["settled"]]
    before = held["free"]
    phone.page.reload()
    phone.load()
    assert set(phone.js(HELD)["orders"]) == stay and phone.js(HELD)["free"] == before


def test_an_entry_in_hand_keeps_its_order(phone: Device, house_server: HouseProcess) -> None:
    owing = phone.orders["owing"]  # type: ignore[attr-defined]
    phone.page.context.set_offline(True)
    phone.js("await acts.pay(args[0], 1250, 'check')", owing)
    assert owing in phone.js(HELD)["orders"]
    phone.page.context.set_offline(False)
    phone.wait_for("house.status.inHand === 0")
    assert phone.exchange() and owing not in phone.js(HELD)["orders"], "landed and settled: now it may go"


def test_the_book_asks_the_house_and_says_when_there_is_no_signal(phone: Device, house_server: HouseProcess) -> None:
    page: Page = phone.page
    person = phone.js("return [...house.view.people.values()].find((one) => one.name === 'Ruth Amsel').id")
    page.goto(f"{house_server.address}/#book/person/{person}")
    key = page.get_by_role("button", name="older orders")
    expect(key).to_be_visible()  # a room must be here before the line is cut
    page.context.set_offline(True)
    key.click()
    expect(page.locator("older-orders").get_by_text("No signal: the older orders are on the main computer.")).to_be_visible()
    page.context.set_offline(False)
    key.click()
    row = page.locator("older-orders .order-row")
    expect(row).to_have_count(1)
    expect(row).to_contain_text("5 wax bars")
    expect(row).to_contain_text("picked up")
    expect(page.locator("older-orders").get_by_role("button")).to_have_count(0)
