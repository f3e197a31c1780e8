"""A device that hears it was removed forgets what it knew, and loses nothing that it had not sent."""

from __future__ import annotations

import contextlib
import json
import time
from typing import Any

import pytest
from playwright.sync_api import Error, expect

from browser.devices import WAIT_S, Device
from browser.house_process import Gate, HouseProcess
from honeyhold.house.quarantine import late_entries

pytestmark = pytest.mark.browser

ALL_KEPT = """const got = (asked) => new Promise((resolve, reject) => { asked.onsuccess = () => resolve(asked.result); asked.onerror = () => reject(asked.error); });
  const db = await got(indexedDB.open('honeyhold')); const all = {};
  for (const store of db.objectStoreNames) all[store] = await got(db.transaction(store).objectStore(store).getAll());
  const caught = []; for (const name of await caches.keys()) for (const { url } of await (await caches.open(name)).keys()) caught.push(url);
  db.close(); return { all, local: { ...localStorage }, session: { ...sessionStorage }, caught };"""
LONG_MS = 60_000
PLACES = ("counter", "shelf", "bench", "book", "settings", "settings/devices")
SECRETS = ("Orla Tennick", "Ruth Amsel", "Heron Sill", "2185550114", "Half Written")


def kept(device: Device) -> dict[str, Any]:
    """All that lies on this device: database, drafts, addresses of cached files."""
    return dict(device.js(ALL_KEPT))


def kept_afresh(device: Device) -> dict[str, Any]:
    """The same, after a start."""
    device.page.goto("about:blank")
    device.page.goto(device.address)
    device.page.locator("enrol-board").wait_for()
    device.load()
    return kept(device)


def lose(device: Device, other: Device) -> None:
    identity = device.status()["device"]["id"]
    other.js("await house.call(`/api/devices/${args[0]}/lost`, { method: 'POST' })", identity)


def test_a_removed_device_forgets_and_hands_in_what_it_had_not_sent(
    device: Device, other_device: Device, house_server: HouseProcess, gate: Gate
) -> None:
    page = device.page
    device.hold(10)
    device.promise(2, "Ruth Amsel")
    device.exchange()
    token = device.js("return (await import('/store/known.js')).known.identity.token")
    page.context.set_offline(True)
    device.promise(3, "Orla Tennick", person={"name": "Orla Tennick", "phone": "2185550114", "street": "41 Heron Sill Rd", "zip": "55811"})
    device.js("localStorage.setItem('honeyhold.draft', JSON.stringify({ person: { name: 'Half Written' } }));"
              " localStorage.setItem('honeyhold.dress', 'dark'); sessionStorage.setItem('honeyhold.x', 'Half Written')")  # fmt: skip
    before = json.dumps(kept(device))
    assert all(secret in before for secret in SECRETS if secret != "Half Written") and token in before
    lose(device, other_device)
    with page.expect_event("load"):  # it hears of it, hands in, forgets, and starts anew with nothing in memory
        page.context.set_offline(False)
    expect(page.locator("enrol-board")).to_contain_text("This device was removed", timeout=LONG_MS)
    gate.mishap = lambda path: "shut" if path.startswith("/api/") else None  # a backup may hold its log by now, and then the page starts anew again
    now = kept_afresh(device)
    assert now["all"]["rows"] == [] and now["all"]["sums"] == []
    assert now["local"] == {"honeyhold.dress": "dark"} and "Half Written" not in json.dumps(now["session"])
    assert not [url for url in now["caught"] if "/api/" in url]
    late = house_server.in_person(late_entries)["entries"]
    assert [(one["person"], one["why"]) for one in late if one["kind"] == "promise"] == [("Orla Tennick", "the device was declared lost")]
    for place in PLACES:
        page.goto(f"{device.address}/#{place}")
        page.reload()
        page.locator("house-head").get_by_text("this device was removed").wait_for()
        assert not [secret for secret in SECRETS if secret in page.content()], place
    gate.mishap = lambda _path: None
    assert device_log_goes_with_a_backup(device, house_server, token)


def device_log_goes_with_a_backup(device: Device, house_server: HouseProcess, token: str) -> bool:
    """The main computer makes a backup that holds what was sent (at its start, or because this device waits); then log and key go."""
    until = time.monotonic() + WAIT_S
    left: Any = token
    while token in json.dumps(left):
        assert time.monotonic() < until, left
        with contextlib.suppress(Error):  # it may load itself anew in the middle
            left = kept_afresh(device)
            device.exchange()  # a start that is broken off before it was heard is no word to the main computer
    left = kept_afresh(device)
    assert left["all"]["log"] == []
    assert not [secret for secret in SECRETS if secret in json.dumps(left)]
    assert device.status()["removed"] and not device.status()["enrolled"]
    device.enrol(house_server.code(), "Found again")
    status = device.status()
    return status["enrolled"] and status["removed"] is None and bool(device.js("return house.view.people.size"))


def test_until_a_backup_holds_it_the_log_stays_and_is_offered_again(device: Device) -> None:
    """The answer of a main computer that has no backup yet, and keeps nothing this time."""
    device.hold(5)
    device.promise(1, "Ruth Amsel")
    device.exchange()
    device.js("(await import('/store/removed.js')).after.forgetting = () => {}")
    told = {"type": "urn:honeyhold:device-lost", "title": "Forbidden", "status": 403, "detail": "Shed phone was declared lost.", "remedy": "-"}
    device.page.route("**/api/exchange", lambda route: route.fulfill(status=403, content_type="application/problem+json", body=json.dumps(told)))
    assert not device.exchange()
    assert not device.exchange()
    left = kept(device)
    assert left["all"]["rows"] == [] and device.js("return house.view.people.size + house.view.orders.size") == 0
    assert [one["state"] for one in left["all"]["log"]] == ["in_hand"] and device.status()["removed"]["left"] == 1
    assert device.promise(1)["error"] in ("draft", "not enrolled")


def test_a_problem_of_another_sort_wipes_nothing(device: Device) -> None:
    """A house put back from an old backup may not know this device: that is no removal."""
    device.promise(1, "Ruth Amsel")
    device.exchange()
    told = {"type": "urn:honeyhold:unknown-device", "title": "Unauthorized", "status": 401, "detail": "-", "remedy": "-", "forget": True}
    device.page.route("**/api/exchange", lambda route: route.fulfill(status=401, content_type="application/problem+json", body=json.dumps(told)))
    assert not device.exchange()
    assert device.status()["removed"] is None and device.js("return house.view.people.size") >= 1


def test_a_device_that_was_away_when_it_was_removed_hears_it_at_its_start(device: Device, other_device: Device, gate: Gate) -> None:
    device.promise(1, "Ruth Amsel")
    device.exchange()
    identity = device.status()["device"]["id"]
    device.page.goto("about:blank")
    other_device.js("await house.call(`/api/devices/${args[0]}/lost`, { method: 'POST' })", identity)
    device.page.goto(f"{device.address}/#book")
    expect(device.page.locator("enrol-board")).to_contain_text("This device was removed", timeout=LONG_MS)
    gate.mishap = lambda path: "shut" if path.startswith("/api/") else None  # a backup may hold its log by now: it would start anew once more
    device.page.goto("about:blank")
    device.page.goto(f"{device.address}/#book")
    device.page.locator("house-head").get_by_text("this device was removed").wait_for()
    assert "Ruth Amsel" not in device.page.content()


def test_the_page_for_a_lost_phone_tells_the_way_without_an_owners_device(phone: Any, house_server: HouseProcess) -> None:
    phone.goto(f"{house_server.address}/#settings/enrol")
    phone.get_by_role("link", name="no code, or no owner's device any more?").click()
    board = phone.locator("lost-board")
    expect(board).to_contain_text("scripts/run code")
    expect(board).to_contain_text("no owner's device is left")
