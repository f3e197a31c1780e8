"""One device sees what another did without asking for it, and nothing runs while nobody looks. Time is the page's own, and is told to pass."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import Page, Request

from browser.devices import STILL, Device
from browser.house_process import Gate
from browser.kept_phones import spoil

pytestmark = pytest.mark.browser

HIDE = """(hidden) => { Object.defineProperty(document, 'visibilityState', { value: hidden ? 'hidden' : 'visible', configurable: true });
  document.dispatchEvent(new Event('visibilitychange')); }"""
RINGS = """() => { window.rings = 0;
  for (const name of ['setTimeout', 'setInterval']) {
    const honest = window[name];
    window[name] = (work, ...rest) => honest((...given) => { window.rings += 1; work(...given); }, ...rest);
  } }"""
SECOND_MS = 1000


def _asked(page: Page) -> list[str]:
    """Every door of the house this page knocks at from now on (files of the app itself are not meant)."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if "/api/" in request.url else None)
    return asked


def _own_time(device: Device, *scripts: str) -> None:
    """The page is loaded anew with a clock of its own, which leaps on when it is told to."""
    for script in scripts:
        device.page.add_init_script(f"({script})()")
    spoil(device.page.context)  # a clock belongs to the phone, not to its page, and is never taken back
    device.page.clock.install()
    device.page.reload()
    device.load()


def _only_as_told(page: Page) -> None:
    """From here on the page's clock goes only as it is told: it stops at a moment that has not come yet however long the telling takes."""
    page.clock.pause_at(datetime.now(UTC) + timedelta(seconds=30))


def _hears(device: Device, gate: Gate, most: int = 1) -> None:
    """Until so many devices hear the stream."""
    while gate.listening < most:
        device.wait_for("house.status.signal === 'shared'")


def test_a_promise_is_seen_on_the_other_device_by_the_stream_alone(device: Device, other_device: Device, gate: Gate) -> None:
    """No look at the house that would have come later lets it see what it sees: within a second is what it comes to (scripts/bench_exchange)."""
    other_device.page.add_init_script(f"({STILL})()")
    other_device.page.reload()
    other_device.load()
    device.hold(10)
    _hears(other_device, gate, 2)
    other_device.js("window.still = true")
    for number in range(5):
        order = device.promise(1, f"Caller {number}")["order"]
        other_device.wait_for(f"house.view.orders.has('{order}')")


def test_without_a_stream_it_is_heard_all_the_same(device: Device, other_device: Device, gate: Gate) -> None:
    """No place for listening: the fallback asks by itself, later."""
    gate.mishap = lambda path: "shut" if path.startswith("/api/stream") else None
    other_device.page.evaluate(HIDE, True)
    other_device.page.evaluate(HIDE, False)
    device.hold(2)
    order = device.promise(1)
    device.exchange()
    other_device.page.evaluate(HIDE, True)
    other_device.page.evaluate(HIDE, False)  # whoever looks at the page again is told at once
    other_device.wait_for(f"house.view.orders.has('{order['order']}')")


def test_a_hidden_page_asks_for_nothing_and_a_seen_one_catches_up(device: Device, other_device: Device, gate: Gate) -> None:
    """For ten minutes of its own."""
    device.hold(2)
    _own_time(other_device)
    assert other_device.exchange()
    _hears(other_device, gate, 2)
    other_device.page.evaluate(HIDE, True)
    while gate.listening > 1:
        other_device.js("await new Promise((later) => requestIdleCallback(later))")
    asked = _asked(other_device.page)
    order = device.promise(1)
    assert device.exchange()
    other_device.page.clock.run_for(600 * SECOND_MS)
    assert asked == []
    assert not other_device.js("return house.view.orders.has(args[0])", order["order"])
    other_device.page.evaluate(HIDE, False)
    other_device.wait_for(f"house.view.orders.has('{order['order']}')")
    assert asked != []


def test_a_quiet_house_is_left_in_peace(device: Device, gate: Gate) -> None:
    """Nothing happens for half a minute: the open stream is all there is, no request, and hardly a timer rings."""
    _own_time(device, RINGS)
    assert device.exchange()
    _hears(device, gate)
    _only_as_told(device.page)
    device.page.clock.run_for(10 * SECOND_MS)  # what a start puts off
    device.page.evaluate(HIDE, False)  # it asks now, and its next look is a whole while away, however long all this took
    for _round in range(3):  # and whatever was on its way has come: what an exchange gives rings once more, and that is answered
        assert device.exchange()
        device.page.clock.run_for(SECOND_MS)
    asked = _asked(device.page)
    device.js("window.rings = 0")
    device.page.clock.run_for(30 * SECOND_MS)
    assert asked == []
    assert device.js("return window.rings") <= 4


def test_a_house_out_of_reach_is_asked_ever_more_seldom(device: Device, gate: Gate) -> None:
    """Four minutes of the page's own: a few times in the first, and in the three after it no more often."""
    gate.mishap = lambda path: "shut" if path.startswith("/api/") else None
    _own_time(device)
    device.promise(1)
    _only_as_told(device.page)
    device.page.evaluate(HIDE, False)  # it begins anew: how often it had asked before is up to the machine
    assert not device.exchange()  # its turn comes after that
    gone: list[Request] = []
    done: list[Request] = []
    device.page.on("request", lambda request: gone.append(request) if "/api/exchange" in request.url else None)
    device.page.on("requestfailed", lambda request: done.append(request) if "/api/exchange" in request.url else None)
    first_and_later = []
    for minutes in (1, 3):
        before = len(gone)
        for _second in range(60 * minutes):
            device.page.clock.run_for(SECOND_MS)
            while len(done) < len(gone):
                device.page.evaluate("() => null")  # what was asked is still on its way
        first_and_later.append(len(gone) - before)
    assert 2 <= first_and_later[0] <= 7 and 1 <= first_and_later[1] <= 5, first_and_later
