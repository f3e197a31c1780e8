"""Long lists are drawn by the hundred, in the Book and on the Bench, and all of them can be seen."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from browser.devices import Device, settled

pytestmark = pytest.mark.browser

MANY = 130
TAKEN = """for (let at = 0; at < args[0]; at += 1) await acts.promise({ person: { name: `Caller ${at}`, phone: '' }, way: 'pick_up',
    leave_on: '2027-01-04', lines: [{ good: 'bar', units: 1 }] }, { wait_s: 0 });"""


@pytest.mark.parametrize("room", ["book", "bench"])
def test_a_hundred_rows_stand_and_the_others_at_a_touch(device: Device, room: str) -> None:
    device.js(TAKEN, MANY)
    page = device.page
    page.goto(f"{device.address}/#{room}")
    rows = page.locator(f"{room}-room .list .order-row")
    expect(rows).to_have_count(100)
    device.wait_for("house.status.inHand === 0")  # rows are drawn anew as what they are of lands
    settled(page)
    page.get_by_role("button", name="show the other 30").press("Enter")
    expect(rows).to_have_count(MANY)
    expect(rows.nth(100).locator(":focus").or_(rows.nth(100).and_(page.locator(":focus")))).to_have_count(1)
    assert page.get_by_role("button", name="show the other").count() == 0
