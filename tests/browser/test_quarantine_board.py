"""What a lost device still sends, page by page, and how a keeper settles it on the screen."""

from __future__ import annotations

import pytest

from browser.devices import Device
from browser.house_process import HouseProcess
from honeyhold.house.house import House
from honeyhold.house.quarantine import late_entries

pytestmark = pytest.mark.browser

MANY = 230
"""More than go in one exchange."""


def test_a_lost_device_hands_in_all_it_has_and_a_keeper_takes_it_in(
    device: Device, other_device: Device, house_server: HouseProcess
) -> None:
    device.hold(5)
    device.js("Object.assign(window, await import('/store/log.js'))")  # while it can be had
    device.js("(await import('/store/removed.js')).after.forgetting = () => {}")  # it would load the page anew, as soon as it hears of it
    device.page.context.set_offline(True)
    order = device.promise(5, "Orla Tennick")
    device.js(
        """for (let i = 0; i < args[0]; i += 1) await append(() => ({ kind: 'note_person',
          rows: [{ table: 'person', id: crypto.randomUUID(), name: `Person ${i}` }] }));""", MANY,
    )  # fmt: skip
    identity = device.status()["device"]["id"]
    other_device.js("await house.call(`/api/devices/${args[0]}/lost`, { method: 'POST' })", identity)
    device.page.context.set_offline(False)
    assert not device.exchange()
    status = device.status()
    assert status["removed"]["left"] == 0 and status["inHand"] == 0 and status["needsYou"] == [] and "declared lost" in status["turnedAway"]
    assert house_server.in_person(late_entries)["waiting"] == MANY + 1

    page = other_device.page
    page.goto(f"{other_device.address}/#settings/late")
    board = page.locator("late-board")
    first = board.locator("dl.under > div").first
    first.get_by_text("Orla Tennick").wait_for()
    assert "5 wax bars" in first.inner_text() and order["number"] in first.inner_text() and "lost" in first.inner_text()
    first.get_by_role("button", name="take it in").click()
    other_device.load()
    other_device.wait_for(f"house.view.orders.has('{order['order']}')")
    line = "const [line] = house.view.linesOf(args[0]); return house.view.sure(line)"
    assert other_device.js(line, order["order"]) == 5
    second = board.locator("dl.under > div").first
    second.get_by_text("Person 0").wait_for()
    second.get_by_role("button", name="put it aside").click()
    second.get_by_text("Person 1").wait_for()
    assert house_server.in_person(late_entries)["waiting"] == MANY - 1


def test_a_new_name_hands_in_what_the_old_one_wrote(device: Device, house_server: HouseProcess) -> None:
    """The house does not know this device any more: it is told, gets a new name, and nothing it wrote is gone."""
    device.hold(5)
    landed = device.promise(1, "Landed")
    assert device.exchange()
    in_hand = device.js("const { append } = await import('/store/log.js'); const entry = await append(() => ({ kind: 'note_person',"
                        " rows: [{ table: 'person', id: crypto.randomUUID(), name: 'In Hand' }] })); return entry.id")  # fmt: skip
    identity = device.status()["device"]["id"]

    def forget(house: House) -> None:
        with house.records.write():
            house.records.sql("UPDATE device_state SET token_hash = NULL WHERE id = ?", identity)
            house.records.sql("UPDATE operation SET id = 'x' || id WHERE device = ?", identity)
            house.records.sql("DELETE FROM late_entry")

    house_server.in_person(forget)
    assert not device.exchange() and "Add this device again" in device.status()["turnedAway"]
    device.enrol(house_server.code(), "A new name")
    assert device.exchange()
    status = device.status()
    assert (status["inHand"], status["needsYou"], status["turnedAway"]) == (0, [], None)
    late = house_server.in_person(late_entries)["entries"]
    assert {one["person"] for one in late} >= {"Landed", "In Hand"} and all("another name" in one["why"] for one in late)
    assert in_hand and landed["number"] in {one["number"] for one in late}
