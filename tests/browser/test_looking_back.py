"""Looking back over a season: from the main computer, and without signal what it said last; the day's list calls whom the Book calls."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device, open_anew, owners_phone
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser

SOLD = """const { order } = await acts.sell({ person: { name: 'Ruth Amsel', phone: '' }, lines: [{ good: 'bar', units: 10 }], pays: 'later' });
  await acts.pay(order, 1000, 'cash');
  return house.today().slice(0, 4);"""


@pytest.fixture
def phone(chromium: Browser, house_server: HouseProcess) -> Iterator[Device]:
    with owners_phone(chromium, house_server) as device:
        yield device


def test_a_season_is_told_with_its_picture_and_stays_without_signal(phone: Device) -> None:
    year = phone.js(SOLD)
    owed = phone.js("return [...house.view.orders.keys()].reduce((sum, id) => sum + house.view.owed(id), 0)")
    assert phone.exchange()
    page = phone.page
    open_anew(page, phone.address, "book/back/")
    rows = page.get_by_role("region", name="Two seasons side by side")
    expect(rows.get_by_role("row", name=re.compile(rf"still owed \${owed / 100:,.2f} "))).to_be_visible()
    expect(rows.get_by_role("row", name=re.compile(r"money that came \$10\.00 "))).to_be_visible()
    expect(page.get_by_role("img", name=f"Sold in {year}, week by week")).to_be_visible()
    expect(page.get_by_role("region", name="Sold by good").get_by_role("row", name=re.compile(r"bars? 10 for \$25\.00 –"))).to_be_visible()
    phone.wait_for_shell()
    page.context.set_offline(True)
    open_anew(page, phone.address, "book/back/")
    expect(rows.get_by_role("row", name=re.compile(r"money that came \$10\.00 "))).to_be_visible()
    page.get_by_role("group", name="Which season").get_by_role("link", name=str(int(year) - 1)).click()
    expect(page.get_by_text("The main computer adds this up; it is out of reach now.")).to_be_visible()


FULL = """const set = Storage.prototype.setItem;
  Storage.prototype.setItem = function (key, value) {
    if (key === 'honeyhold.looking-back') throw new DOMException('full', 'QuotaExceededError');
    return set.call(this, key, value);
  };"""


def test_a_full_storage_loses_no_answer_and_a_refusal_says_why(phone: Device) -> None:
    phone.js(SOLD)
    assert phone.exchange()
    page = phone.page
    page.add_init_script(FULL)
    page.reload()
    open_anew(page, phone.address, "book/back/")
    expect(page.get_by_role("region", name="Two seasons side by side")).to_contain_text("$10.00")
    told = {"detail": "This season cannot be added up.", "remedy": "Ask for another one."}
    page.context.route(
        "**/api/looking-back*",
        lambda route: route.fulfill(status=422, content_type="application/problem+json", body=json.dumps(told)),
    )
    open_anew(page, phone.address, "book/back/")
    expect(page.locator("looking-back-board").get_by_role("alert")).to_have_text("This season cannot be added up. Ask for another one.")


def test_who_goes_without_is_written_down_and_looked_back_on(phone: Device) -> None:
    """More than there is: the caller does not wait, the line leaves the sentence, and what it was worth stands in the season."""
    page = phone.page
    open_anew(page, phone.address, "counter")
    page.get_by_role("button", name="someone is here now").click()
    page.get_by_role("button", name="another number").click()
    for digit in "500":
        page.locator(".digits").get_by_role("button", name=digit, exact=True).click()
    page.get_by_role("button", name="that many").click()
    page.get_by_role("button", name="they go without").click()
    expect(page.get_by_role("status")).to_contain_text("Written down: they went without 500 wax bars.")
    expect(page.locator("[data-blank^='line:']")).to_have_count(0)
    assert phone.exchange() and phone.status()["needsYou"] == []
    open_anew(page, phone.address, "book/back/")
    expect(page.locator("looking-back-board")).to_contain_text("1 call for 500 pieces, worth $1,250.00")
    undone = phone.js(
        """const entry = [...known.entries.values()].find(({ operation }) => operation.kind === 'note_lost_sale');
           await acts.undo(entry.operation.id);"""
    )
    assert undone is None and phone.exchange() and phone.status()["needsYou"] == []
    open_anew(page, phone.address, "book/back/")
    expect(page.get_by_role("img", name=re.compile("^Sold in"))).to_be_visible()
    expect(page.locator("looking-back-board")).not_to_contain_text("1 call for 500 pieces")


def test_the_days_list_calls_whom_the_book_calls(phone: Device) -> None:
    """Who was to come today stands on the Counter until somebody says they know; it leads to the text that is ready."""
    order = phone.promise(5, way="pick_up", leave_on=phone.js("return house.today()"))["order"]
    page = phone.page
    open_anew(page, phone.address, "counter")
    row = page.locator(".day-row", has_text="Call 1 person, it waits to be picked up")
    expect(row).to_contain_text("Ruth Amsel")
    row.click()
    page.locator(f"[data-order='{order}']").get_by_role("button", name="they know").click()
    expect(page.get_by_text("Nobody waits for a call.")).to_be_visible()
    open_anew(page, phone.address, "counter")
    expect(page.locator(".day-row", has_text="Hand over 1 pick-up, they come today")).to_be_visible()
    expect(row).to_have_count(0)
