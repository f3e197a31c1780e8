"""Whatever happens to a device's storage is noticed, said plainly, and takes nothing of what the house has heard."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright

from browser.devices import Device
from browser.house_process import Gate, HouseProcess
from browser.kept_phones import lent
from browser.test_log import open_profile
from honeyhold.house.house import House
from honeyhold.house.quarantine import late_entries

pytestmark = pytest.mark.browser


@pytest.fixture
def phone_context(empty_phone_context: BrowserContext) -> BrowserContext:
    """An empty phone: what a browser does with its storage depends on what it kept before."""
    return empty_phone_context


def test_a_copied_profile_is_stopped_and_both_tails_are_kept(
    playwright_driver: Playwright, house_server: HouseProcess, gate: Gate, tmp_path: Path
) -> None:
    """The folder of a browser is copied: both promise; who comes second is stopped, told why, keeps nothing from the keeper."""
    first = open_profile(playwright_driver, tmp_path / "first")
    device = Device(first.new_page(), gate.address)
    device.enrol(house_server.code(), "Copied phone")
    device.hold(8)
    gate.mishap = lambda path: "shut" if path.startswith("/api/") else None
    first.close()
    shutil.copytree(tmp_path / "first", tmp_path / "second", ignore=shutil.ignore_patterns("Singleton*"))
    first, second = (open_profile(playwright_driver, tmp_path / name) for name in ("first", "second"))
    device, copy = (Device(context.new_page(), gate.address) for context in (first, second))
    here, there = device.promise(2, "Here"), [copy.promise(3, "There"), copy.promise(1, "There too")]
    assert here["number"] == there[0]["number"]
    second.close()  # the copy would not wait to be asked, and whoever comes first is the device
    gate.mishap = lambda _path: None
    assert device.exchange() and device.status()["frozen"] is None
    second = open_profile(playwright_driver, tmp_path / "second")
    copy = Device(second.new_page(), gate.address)
    copy.exchange()
    status = copy.status()
    assert "copied" in status["frozen"] and "new name" in status["frozen"]
    assert copy.promise(1)["error"] == "frozen" and status["inHand"] == 0
    copy.enrol(house_server.code(), "The copy, under its own name")
    assert copy.status()["frozen"] is None and copy.promise(1)["number"] != here["number"]
    assert copy.exchange() and copy.status()["needsYou"] != []  # its own tail stands there, with what became of it
    late = house_server.in_person(late_entries)["entries"]
    assert [one["person"] for one in late if one["kind"] == "promise"] == ["There", "There too"]
    first.close()
    second.close()


def test_a_cleared_browser_is_told_and_loses_nothing_that_landed(
    phone_context: BrowserContext, device: Device, house_server: HouseProcess
) -> None:
    """The browser clears identity, share and log together: the page says so, and a new name has every landed order."""
    device.hold(4)
    order = device.promise(2, "Landed Before")
    assert device.exchange()
    phone_context.new_cdp_session(device.page).send(
        "Storage.clearDataForOrigin", {"origin": device.address, "storageTypes": "indexeddb,cache_storage,service_workers"}
    )
    device.page.goto(f"{device.address}/#settings")
    device.page.reload()
    device.load()
    status = device.status()
    assert not status["enrolled"] and "cleared" in status["emptied"] and "Shed phone" in status["emptied"]
    assert "cleared what this device kept" in device.page.inner_text("enrol-board")
    device.enrol(house_server.code(), "Shed phone again")
    assert device.status()["emptied"] is None
    assert device.js("return house.view.orders.get(args[0]).number", order["order"]) == order["number"]


def test_the_browser_is_asked_to_keep_the_storage_after_the_first_order(
    empty_phone_context: BrowserContext, house_server: HouseProcess, gate: Gate
) -> None:
    """On a phone that was never asked before: the browser's answer outlives what a test wipes."""
    device = Device(empty_phone_context.new_page(), gate.address)
    device.enrol(house_server.code(), "Shed phone")
    device.js("""window.asked = 0; navigator.storage.persisted = async () => false;
        navigator.storage.persist = async () => { window.asked += 1; return true; };""")
    device.hold(2)
    assert device.js("return window.asked") == 0  # a share is no order
    device.promise(1)
    device.wait_for("window.asked === 1 && house.status.storage.persisted")
    device.promise(1)
    assert device.js("return window.asked") == 1


@pytest.mark.parametrize("way", ["window.indexedDB", "open"])
def test_without_storage_nothing_is_promised_from_the_start(empty_phone_context: BrowserContext, house_server: HouseProcess, way: str) -> None:
    """A private window that has no database, or one that always fails: said at once, and no order is taken."""
    page = empty_phone_context.new_page()
    gone = "Object.defineProperty(window, 'indexedDB', { value: undefined });"
    fails = "IDBFactory.prototype.open = () => { throw new DOMException('not here', 'InvalidStateError'); };"
    page.add_init_script(gone if way == "window.indexedDB" else fails)
    page.goto(house_server.address)
    outcome = page.evaluate("""async () => {
      const [{ house }, acts] = await Promise.all([import('/store/house.js'), import('/store/acts.js')]);
      const started = await house.start().then(() => 'started', (error) => error.kind);
      const draft = { person: { name: 'Ruth Amsel' }, lines: [{ good: 'bar', units: 1 }], way: 'post' };
      const taken = await acts.promise(draft, { wait_s: 0 }).then(() => 'taken', (error) => error.kind);
      return [started, taken, house.status.storage.trouble];
    }""")
    assert outcome[0] == "storage" and outcome[1] in ("storage", "not enrolled", "draft") and outcome[2]
    Device(page, house_server.address, load=False).wait_for("/could not|storage/.test(document.body.innerText)")


def test_an_older_window_lets_a_newer_one_open_the_store_and_says_so(phone_context: BrowserContext, device: Device) -> None:
    """The next version of the store opens in another window: this one closes its own at once, says what to do, and writes nothing."""
    plain = phone_context.new_page()
    plain.goto(f"{device.address}/look/tokens.css")
    opened = plain.evaluate("""() => new Promise((resolve) => { const asked = indexedDB.open('honeyhold', 3);
        asked.onsuccess = () => { asked.result.close(); resolve('open'); }; asked.onblocked = () => resolve('blocked'); })""")
    assert opened == "open"
    device.wait_for("(house.status.storage.trouble ?? '').includes('Load this page again')")
    refused = device.promise(1)
    assert refused["error"] == "storage" and "1 wax bar" in refused["text"]


def test_a_write_that_was_under_way_does_not_take_that_sentence_away(phone_context: BrowserContext, device: Device) -> None:
    """It began before the newer version asked for the store, and ends well after this window was told to be loaded again."""
    device.js("""const { write } = await import('/store/database.js');
      window.held = true;
      window.underWay = write(['keep'], async (tx) => { while (window.held) await tx.objectStore('keep').get('nothing'); });
      window.underWay.catch(() => {});""")
    plain = phone_context.new_page()
    plain.goto(f"{device.address}/look/tokens.css")
    plain.evaluate("""() => { const asked = indexedDB.open('honeyhold', 3);
        window.opened = new Promise((resolve) => { asked.onsuccess = () => { asked.result.close(); resolve('open'); }; }); }""")
    told = "(house.status.storage.trouble ?? '').includes('Load this page again')"
    device.wait_for(told)
    device.js("window.held = false; await window.underWay")
    assert plain.evaluate("window.opened") == "open"
    assert device.js(f"return {told}")


NEWER = """const open = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (name, version) {
    const asked = open.call(this, name, version + 1);
    asked.addEventListener('upgradeneeded', (event) => event.stopImmediatePropagation());
    return asked;
  };"""
"""The next version of the store, which changes nothing in it."""


def test_a_store_that_is_held_open_elsewhere_is_said(phone_context: BrowserContext, device: Device) -> None:
    """A window that does not let go (an older app, asleep): the newer one says which windows to close, and goes on when they are."""
    page = phone_context.new_page()
    page.goto(f"{device.address}/look/tokens.css")
    page.evaluate("""() => new Promise((resolve) => { const asked = indexedDB.open('honeyhold');
        asked.onsuccess = () => { window.held = asked.result; resolve(); }; })""")
    # without the worker, which would hand out the version that it keeps
    device.js("for (const one of await navigator.serviceWorker.getRegistrations()) await one.unregister();")
    device.page.close()
    newer = phone_context.new_page()
    newer.add_init_script(NEWER)
    newer.goto(device.address)
    begun = newer.evaluate_handle("""async () => { const { house } = await import('/store/house.js'); window.house = house;
        const { watch } = await import('/store/database.js'); window.begun = house.start(); }""")
    assert begun is not None
    window = Device(newer, device.address, load=False)
    window.wait_for("(house.status.storage.trouble ?? '').includes('Close the other windows')")
    page.evaluate("() => window.held.close()")
    window.wait_for("house.status.started && house.status.enrolled")


@pytest.mark.parametrize("years", [-1, 1])
def test_a_clock_wrong_by_a_year_changes_nothing_but_a_label(
    chromium: Browser, house_server: HouseProcess, gate: Gate, years: int
) -> None:
    """Days are the house's, the share is spent once, the order lands."""
    with lent(chromium) as context:
        page: Page = context.new_page()
        page.add_init_script(f"""const Honest = Date; const off = {years} * 365 * 86400000;
            window.Date = class extends Honest {{ constructor(...given) {{ super(...(given.length ? given : [Honest.now() + off])); }}
              static now() {{ return Honest.now() + off; }} }};""")
        device = Device(page, gate.address)
        device.enrol(house_server.code(), "Wrong clock")
        # of the house's own zone, where the year may end some hours later than in Greenwich
        right = device.js("""const timeZone = house.view.setting('time_zone') || undefined;
            const told = new Intl.DateTimeFormat('en-US', { timeZone, year: 'numeric' }).format(new Date(Date.now() - args[0] * 365 * 86400000));
            return Number(told)""", years)  # fmt: skip
        assert int(device.js("return house.today()")[:4]) == right
        assert device.hold(3) >= 3
        order = device.promise(3)
        assert order["sure"] == {"bar": 3} and device.exchange()
        status = device.status()
        assert (status["inHand"], status["needsYou"]) == (0, [])
        assert device.js("return house.view.orders.get(args[0]).taken_on.slice(0, 4)", order["order"]) == str(right)
        assert device.js("return acts.undoable(args[0]) !== null", order["op"])


def test_a_restored_house_that_knows_another_chain_stops_the_device(device: Device, house_server: HouseProcess) -> None:
    """Last here: until every device has reported, a restored house grants nothing. Back from a backup in which this name's last entry is another: everything is said again and kept apart, nothing dropped."""
    device.hold(5)
    device.promise(1, "Before")
    assert device.exchange()
    identity = device.status()["device"]["id"]

    def other_chain(house: House) -> None:
        backup = house.backup()
        house.restore(backup)
        with house.records.write():
            sql = "UPDATE device_state SET last_hash = ? WHERE id = ?"
            house.records.sql(sql, "0" * 64, identity)
            sql = "UPDATE operation SET hash = ? WHERE device = ? AND seq = (SELECT MAX(seq) FROM operation WHERE device = ?)"
            house.records.sql(sql, "0" * 64, identity, identity)

    house_server.in_person(other_chain)
    device.exchange()
    device.wait_for("house.status.frozen")
    late = [one for one in house_server.in_person(late_entries)["entries"] if one["device"] == identity]
    assert [one["person"] for one in late] == ["Before"]
