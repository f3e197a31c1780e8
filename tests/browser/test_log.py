"""The log of a device: what was confirmed is there after anything, and what could not be written was never confirmed."""

from __future__ import annotations

import contextlib
import os
import random
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Playwright

from browser.devices import LAUNCH_ARGUMENTS, WINDOWLESS, Device
from browser.house_process import Gate, HouseProcess
from browser.storm_of_browsers import ACT, STANDS, records_of

pytestmark = pytest.mark.browser

QUOTA_BYTES = 300_000


def open_profile(driver: Playwright, profile: Path) -> BrowserContext:
    for lock in profile.glob("Singleton*"):
        lock.unlink()
    return driver.chromium.launch_persistent_context(
        str(profile), executable_path=WINDOWLESS, args=LAUNCH_ARGUMENTS, service_workers="allow"
    )


def kill_browser(context: BrowserContext, profile: Path) -> None:
    """SIGKILL to the browser that uses this profile; gone when this returns."""
    with context.expect_event("close"):  # until then it holds the files that the next one opens
        browsers = browsers_of(profile)
        assert browsers
        for process in browsers:
            os.kill(process, signal.SIGKILL)


def browsers_of(profile: Path) -> list[int]:
    """Whoever was begun with this profile: the browser, and the script it may be begun by. Its own ones, for pages, say what type they are of."""
    return [
        process for process, words in commands()
        if f"--user-data-dir={profile}" in words and not any(word.startswith("--type=") for word in words)
    ]  # fmt: skip


def commands() -> Iterator[tuple[int, list[str]]]:
    """Every process of this machine, and the words it was begun with."""
    for told in Path("/proc").glob("[0-9]*/cmdline"):
        with contextlib.suppress(OSError):  # one that ended meanwhile
            yield int(told.parent.name), told.read_text(errors="replace").split("\0")


def test_a_confirmed_order_outlives_the_browser(
    playwright_driver: Playwright, house_server: HouseProcess, gate: Gate, profile: Path
) -> None:
    """SIGKILL right after the act resolved, the house out of reach; the app starts without it and the entry is in hand."""
    context = open_profile(playwright_driver, profile)
    device = Device(context.new_page(), gate.address)
    device.enrol(house_server.code(), "Killed phone")
    assert device.hold(5) >= 5
    device.wait_for_shell()
    gate.mishap = lambda _path: "shut"
    order = device.promise(5)
    kill_browser(context, profile)
    assert order["sure"] == {"bar": 5}

    context = open_profile(playwright_driver, profile)
    again = Device(context.new_page(), gate.address)
    status = again.status()
    assert (status["inHand"], status["enrolled"]) == (1, True)
    assert again.js("return house.view.orders.get(args[0]).number", order["order"]) == order["number"]
    gate.mishap = lambda _path: None
    assert again.exchange()
    assert again.status()["inHand"] == 0
    context.close()


def test_two_tabs_write_one_log(phone_context: BrowserContext, device: Device) -> None:
    """Both tabs promise at once from one share: never more than it held, one chain without holes, one view."""
    share = device.hold(12)
    other = Device(phone_context.new_page(), device.address)
    spree = "window.spree = Promise.all(Array.from({length: 8}, () => acts.promise({person: {name: 'Both'}, way: 'post',"
    spree += " lines: [{good: 'bar', units: 1}]}, {wait_s: 0})));"
    device.js(spree)
    other.js(spree)
    taken = [*device.js("return spree"), *other.js("return spree")]
    assert len({order["number"] for order in taken}) == 16
    assert sum(order["sure"].get("bar", 0) for order in taken) <= max(share, 16)
    for tab in (device, other):
        tab.wait_for("[...house.view.orders.values()].filter((order) => order.number.startsWith(house.status.device.mark)).length === 16")
        tab.wait_for("house.status.inHand === 0")
        assert tab.status()["needsYou"] == []
    seqs = device.js("await house.exchange(); const { load, known } = await import('/store/known.js'); await load();"
                     " return [...known.entries.values()].map((entry) => [entry.seq, entry.operation.before, entry.operation.hash])")  # fmt: skip
    assert [seq for seq, _, _ in seqs] == list(range(1, len(seqs) + 1))
    assert [before for _, before, _ in seqs] == ["", *[own for _, _, own in seqs][:-1]]


def test_the_share_is_never_overspent_by_two_tabs(phone_context: BrowserContext, device: Device) -> None:
    """Out of reach, two tabs take all of the share and more: exactly the share is sure, the rest waits."""
    device.hold(10)
    other = Device(phone_context.new_page(), device.address)
    device.cut_off()
    share = device.js("return house.share('bar')")  # from here on no exchange changes it
    spree = "window.spree = (async () => { const taken = []; for (let i = 0; i < args[0]; i += 1) taken.push(await acts.promise("
    spree += "{person: {name: 'Both'}, way: 'post', lines: [{good: 'bar', units: 1}]}, {wait_s: 0})); return taken; })();"
    device.js(spree, share)
    other.js(spree, share)
    taken = [*device.js("return spree"), *other.js("return spree")]
    assert sum(order["sure"].get("bar", 0) for order in taken) == share
    assert sum(order["waiting"].get("bar", 0) for order in taken) == share
    assert device.js("return house.share('bar')") == 0


@pytest.mark.parametrize("store", ["log", "keep"])
def test_an_aborted_write_is_no_order(device: Device, store: str) -> None:
    """The browser aborts the transaction (as it does when the disk is full): the order is not taken and its words are kept."""
    device.hold(5)
    device.cut_off()  # an exchange would write too, and change the share
    before = device.js("return [house.share('bar'), known.head.seq, house.view.orders.size]")
    device.js("""const method = args[0] === 'log' ? 'add' : 'put'; window.honest = IDBObjectStore.prototype[method];
        IDBObjectStore.prototype[method] = function (...values) { const request = honest.apply(this, values);
          if (this.name === args[0]) this.transaction.abort(); return request; }""", store)  # fmt: skip
    refused = device.promise(2, note="ring twice")
    assert refused["error"] == "storage"
    assert "2 wax bars" in refused["text"] and "ring twice" in refused["text"]
    assert device.status()["storage"]["trouble"]
    assert device.js("return [house.share('bar'), known.head.seq, house.view.orders.size]") == before
    device.js("IDBObjectStore.prototype[args[0] === 'log' ? 'add' : 'put'] = honest", store)
    assert device.promise(2)["sure"] == {"bar": 2}
    device.page.context.set_offline(False)
    device.wait_for("house.status.storage.trouble === null")  # an exchange that was cut off meanwhile may tell of it a little later


def test_a_full_disk_is_said_plainly(chromium: Browser, house_server: HouseProcess, gate: Gate) -> None:
    """The browser's own quota, made small: orders are taken until one is refused in plain words; all confirmed ones are there."""
    context = chromium.new_context(service_workers="block")
    page = context.new_page()
    context.new_cdp_session(page).send("Storage.overrideQuotaForOrigin", {"origin": gate.address, "quotaSize": QUOTA_BYTES})
    device = Device(page, gate.address)
    device.enrol(house_server.code(), "Full phone")
    device.hold(5)
    refused = device.js("""let confirmed = 0;
        for (let i = 0; i < 400; i += 1) {
          const draft = { person: { name: 'Ruth Amsel' }, lines: [{ good: 'bar', units: 1 }], way: 'post',
            note: String.fromCharCode(...crypto.getRandomValues(new Uint8Array(1900))), heat: 'y'.repeat(1900) };
          try { await acts.promise(draft, { wait_s: 0 }); confirmed += 1; } catch (error) {
            return { confirmed, kind: error.kind, message: error.message, remedy: error.remedy, text: error.text }; }
        } return { confirmed };""")
    assert refused["kind"] == "storage", refused
    assert "full" in refused["message"] and "room" in refused["remedy"] and "1 wax bar" in refused["text"]
    page.reload()
    device.load()
    own = "[...house.view.orders.values()].filter((order) => order.number.startsWith(`${house.status.device.mark}-`)).length"
    assert device.js(f"return {own}") == refused["confirmed"]
    context.close()


def test_a_failed_open_is_not_remembered(phone_context: BrowserContext, house_server: HouseProcess) -> None:
    """The first open fails, the second start succeeds."""
    page = phone_context.new_page()
    page.add_init_script("window.honest = IDBFactory.prototype.open; IDBFactory.prototype.open = () => { throw new DOMException('no', 'UnknownError'); }")
    page.goto(house_server.address)
    outcome = page.evaluate("""async () => {
      const { house } = await import('/store/house.js');
      const first = await house.start().then(() => 'started', (error) => error.kind);
      const trouble = house.status.storage.trouble;
      IDBFactory.prototype.open = honest;
      await house.start();
      return [first, Boolean(trouble), house.status.started];
    }""")
    assert outcome == ["storage", True, True]


def test_ten_kills_of_the_browser_right_after_an_act_lose_nothing(
    playwright_driver: Playwright, house_server: HouseProcess, gate: Gate, profile: Path
) -> None:
    """Random acts, SIGKILL as soon as one has resolved, the house mostly out of reach: every confirmed entry is in the log, and lands."""
    chance = random.Random(11)
    context = open_profile(playwright_driver, profile)
    device = Device(context.new_page(), gate.address)
    device.enrol(house_server.code(), "Often killed phone")
    device.hold(10)
    device.wait_for_shell()
    confirmed: list[str] = []
    for _ in range(10):
        out_of_reach = chance.random() < 0.7
        gate.mishap = lambda path, cut=out_of_reach: "shut" if cut and path.startswith("/api/") else None  # type: ignore[misc]
        for _ in range(chance.randint(1, 3)):
            done = device.js(ACT, chance.choice(["promise", "promise", "sell", "amend", "let go", "pay", "buy", "undo"]),
                             chance.randint(1, 3), chance.randrange(100))  # fmt: skip
            assert done.get("error") in (None, "draft"), done
            confirmed += done["ops"]
        kill_browser(context, profile)
        context = open_profile(playwright_driver, profile)
        device = Device(context.new_page(), gate.address)
        kept = device.js("const { read } = await import('/store/database.js');"
                         " return (await read(['log'], (tx) => tx.objectStore('log').getAll())).map((entry) => [entry.id, entry.seq])")  # fmt: skip
        assert set(confirmed) <= {one for one, _ in kept} and [seq for _, seq in kept] == list(range(1, len(kept) + 1))
    assert len(confirmed) >= 10
    gate.mishap = lambda _path: None
    assert device.exchange()
    device.wait_for("house.status.inHand === 0")
    assert device.status()["needsYou"] == []
    stands = device.js(STANDS)
    context.close()
    records = house_server.in_person(records_of)
    assert set(confirmed) <= records["landed"] and records["wrong"] == [] and min(records["pools"].values()) >= 0
    assert {what: records[what] for what in stands} == stands
