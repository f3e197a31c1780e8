"""The app without the house: it starts, takes orders, and changes version only between two orders."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, expect

from browser.devices import Device
from browser.house_process import A_FILE, ANOTHER_FILE, Gate, HouseProcess

pytestmark = pytest.mark.browser

FILES = """const [name] = (await caches.keys()).filter((each) => each.startsWith('shell-'));
  return (await (await caches.open(name)).keys()).map(({ url }) => url).sort();"""
A_FILES_TEXT = f"return (await fetch('{A_FILE}')).text()"
VERSIONS = "return (await caches.keys()).filter((name) => name.startsWith('shell-'))"


def test_it_starts_without_the_house_after_one_visit(device: Device, gate: Gate) -> None:
    """After one visit the line is shut (proved: even the worker's own script cannot be had), the page loads and sells."""
    device.hold(6)
    device.wait_for_shell()
    gate.mishap = lambda _path: "shut"
    device.page.goto(f"{device.address}/?from=home-screen")
    device.load()
    assert device.promise(6)["sure"] == {"bar": 6}
    device.wait_for("house.status.signal === 'none'")
    status = device.status()
    assert status["inHand"] == 1 and status["oldestInHand"] and status["since"]


def test_a_room_that_did_not_come_opens_by_itself(empty_phone_context: BrowserContext, house_server: HouseProcess, gate: Gate) -> None:
    """A first visit breaks off before the Bench was fetched. A module that failed once fails for good: the page is loaded anew."""
    page = empty_phone_context.new_page()
    page.add_init_script("delete Navigator.prototype.serviceWorker")  # as on a plain address: nothing but the house keeps the files
    page.route("**/rooms/bench/bench-room.js", lambda route: route.abort())
    device = Device(page, gate.address)
    device.enrol(house_server.code(), "Shed phone")
    gate.mishap = lambda path: "shut" if path == "/shell-list.js" else None
    page.goto(f"{device.address}/#bench")
    expect(page.get_by_role("alert")).to_contain_text("Bench is not on this device yet")
    page.unroute("**/rooms/bench/bench-room.js")
    gate.mishap = lambda _path: None
    expect(page.locator("bench-room")).to_contain_text("Nothing to pack")
    expect(page.get_by_role("alert")).to_have_count(0)


AHEAD = "() => performance.getEntriesByType('resource').some(({ name }) => name.endsWith('/book-room.js'))"
IDLE = """async () => {
  await navigator.serviceWorker.ready;
  await new Promise((idle) => { requestIdleCallback(() => requestIdleCallback(idle)); });
  return navigator.serviceWorker.controller === null;
}"""
"""A moment in which nothing else is to be done, once the worker is ready; whether this page is not served by it."""


def test_rooms_are_fetched_ahead_out_of_what_is_kept_and_not_over_the_line(phone_context: BrowserContext, house_server: HouseProcess) -> None:
    """A line that breaks off just then would leave a room closed on that page. One loaded past its worker is never served by it."""
    page = phone_context.new_page()
    page.goto(house_server.address)
    page.wait_for_function(AHEAD)
    with page.expect_navigation():
        phone_context.new_cdp_session(page).send("Page.reload", {"ignoreCache": True})
    assert page.evaluate(IDLE)
    assert not page.evaluate(AHEAD)


def test_no_signal_counts_from_when_the_house_was_last_heard(device: Device, gate: Gate) -> None:
    """Trying again, and loading the page again, do not make the silence shorter."""
    assert device.exchange()
    device.wait_for_shell()
    gate.mishap = lambda _path: "shut"
    device.exchange()
    since = device.status()["since"]
    device.wait_for(f"Date.now() - Date.parse('{since}') > 1100")
    device.exchange()
    assert device.status()["since"] == since
    device.page.reload()
    device.load()
    device.wait_for("house.status.signal === 'none'")
    assert device.status()["since"] == since


def test_an_update_waits_for_the_order_and_keeps_what_is_in_hand(device: Device, phone_context: BrowserContext, gate: Gate) -> None:
    """A new version is told, not taken, while an order is composed; entries in hand come through it; no file of both versions."""
    device.hold(5)
    device.wait_for_shell()
    [old] = device.js(VERSIONS)
    device.js("house.holdFor([{good: 'bar', units: 2}])")
    gate.mishap = lambda path: "shut" if path.startswith("/api/") else None
    device.promise(2)
    gate.changed = {A_FILE}
    device.js("await (await navigator.serviceWorker.getRegistration()).update()")
    device.wait_for("house.status.update")
    assert device.js("return house.takeOver()") is False
    assert "a later version" not in device.js(A_FILES_TEXT)

    with device.page.expect_navigation():
        device.page.evaluate("() => { house.holdFor([]); house.takeOver(); }")
    device.load()
    assert "a later version" in device.js(A_FILES_TEXT)
    assert device.js(VERSIONS) == [f"{old}-later"]
    assert device.status()["inHand"] == 1
    gate.mishap = lambda _path: None
    assert device.exchange()
    assert device.status()["inHand"] == 0


def test_a_waiting_version_takes_over_at_the_next_start(device: Device, phone_context: BrowserContext, gate: Gate) -> None:
    """Nobody said anything to the update; once every window was closed, the next start is the new version, whole."""
    device.wait_for_shell()
    [old] = device.js(VERSIONS)
    gate.changed = {A_FILE}
    device.js("await (await navigator.serviceWorker.getRegistration()).update()")
    device.wait_for("house.status.update")
    device.page.close()
    again = Device(phone_context.new_page(), device.address, load=False)
    again.page.goto(device.address)  # it may load itself anew at once, when the old worker was still there
    again.wait_for(f"(await (async () => {{ {VERSIONS} }})()).join() === '{old}-later'")
    again.wait_for(f"(await (async () => {{ {A_FILES_TEXT} }})()).includes('a later version')")


def test_version_after_version_takes_over(device: Device, gate: Gate) -> None:
    """Each is asked once, after the page was loaded again: what had the old worker woken in the very moment it was to go kept it for good."""
    device.wait_for_shell()
    for edition in range(4):
        device.page.reload()
        device.load()
        device.page.keyboard.press("Shift")  # touched: from here on no waiting version takes over by itself
        device.wait_for("navigator.serviceWorker.controller !== null")
        gate.changed, gate.edition = {A_FILE}, f"-{edition}"
        device.js("await (await navigator.serviceWorker.getRegistration()).update()")
        device.wait_for("house.status.update", 60)  # every file of it is fetched first
        with device.page.expect_navigation():
            device.page.evaluate("() => { house.takeOver(); }")
        device.load()
        assert f"a later version -{edition}\n" in device.js(A_FILES_TEXT)


def test_a_release_of_the_worker_alone_leaves_the_files_alone(device: Device, gate: Gate) -> None:
    """Its list is the one in use, and one file comes damaged: every file of the app is still there, and it starts without the house."""
    device.wait_for_shell()
    before = device.js(FILES)
    gate.changed = {"/service-worker.js"}
    gate.mishap = lambda path: "half an answer" if path == ANOTHER_FILE else None
    device.js("await (await navigator.serviceWorker.getRegistration()).update().catch(() => {})")
    device.wait_for("(await navigator.serviceWorker.getRegistration()).installing === null")
    assert len(before) > 20 and device.js(FILES) == before
    starts_without_the_house(device, gate)


def test_a_disk_that_fills_up_in_the_middle_leaves_the_old_version(device: Device, gate: Gate) -> None:
    """The browser takes no more after half of the new files: all of the old ones stay; with room again the new version comes."""
    device.wait_for_shell()
    [old], before = device.js(VERSIONS), device.js(FILES)
    line = device.page.context.new_cdp_session(device.page)
    used = device.js("return (await navigator.storage.estimate()).usage")
    line.send("Storage.overrideQuotaForOrigin", {"origin": gate.address, "quotaSize": used + 150_000})
    gate.changed = {A_FILE}
    device.js("await (await navigator.serviceWorker.getRegistration()).update().catch(() => {})")
    device.wait_for("(await navigator.serviceWorker.getRegistration()).installing === null")
    assert device.js(VERSIONS) == [old] and device.js(FILES) == before and device.status()["update"] is False
    line.send("Storage.overrideQuotaForOrigin", {"origin": gate.address})
    device.js("await (await navigator.serviceWorker.getRegistration()).update()")
    device.wait_for("house.status.update")
    starts_without_the_house(device, gate)


def starts_without_the_house(device: Device, gate: Gate) -> None:
    """With the line shut, the page loads again and is the app; a version that waits takes over at the start, and loads it once more."""
    gate.mishap = lambda _path: "shut"
    device.page.reload()
    device.wait_for("(await import('/store/house.js')).house.status.started && !(await navigator.serviceWorker.getRegistration()).waiting")


HELD_BACK = """window.trials = [];
  ((later) => { window.setTimeout = (work, ms, ...rest) => (ms === 15000 ? window.trials.push(work) : later(work, ms, ...rest)); })(window.setTimeout)"""
"""What is tried again after a quarter of a minute is tried when the test says so: a trial that is under way has a place for its files, too."""


def test_a_half_version_is_never_installed(device: Device, gate: Gate) -> None:
    """One file of the new version is not what the list says: nothing of it is kept, the old one goes on; once the line is whole it comes."""
    device.wait_for_shell()
    device.page.add_init_script(HELD_BACK)
    device.page.reload()
    device.load()
    [old] = device.js(VERSIONS)
    gate.changed = {A_FILE}
    gate.mishap = lambda path: "half an answer" if path == ANOTHER_FILE else None
    device.js("await (await navigator.serviceWorker.getRegistration()).update().catch(() => {})")
    device.wait_for("window.trials.length === 1")
    assert "half an answer" in gate.fired
    assert device.js(VERSIONS) == [old]
    assert device.status()["update"] is False
    gate.mishap = lambda _path: None
    device.js("window.trials.forEach((trial) => trial())")
    device.wait_for("house.status.update", 60)


def test_the_doors_of_the_house_are_never_kept(device: Device) -> None:
    """No answer of /api/ lies in any cache."""
    device.wait_for_shell()
    kept = device.js("""const names = await caches.keys(); const found = [];
        for (const name of names) for (const request of await (await caches.open(name)).keys()) found.push(request.url);
        return found;""")
    assert len(kept) > 20
    assert not [url for url in kept if "/api/" in url]
