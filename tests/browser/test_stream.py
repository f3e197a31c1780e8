"""How soon one device sees what another did, and that nothing runs while nobody looks."""

from __future__ import annotations

import time
from statistics import median

import pytest
from playwright.sync_api import Page

from browser.devices import Device
from browser.house_process import Gate

pytestmark = pytest.mark.browser

SEEN_WITHIN_S = 1.0
WATCHED_S = 6.0
HIDE = """(hidden) => { Object.defineProperty(document, 'visibilityState', { value: hidden ? 'hidden' : 'visible', configurable: true });
  document.dispatchEvent(new Event('visibilitychange')); }"""


def _asked(page: Page) -> list[str]:
    """Every door of the house this page knocks at from now on (files of the app itself are not meant)."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if "/api/" in request.url else None)
    return asked


def test_a_promise_is_seen_on_the_other_device_within_a_second(device: Device, other_device: Device) -> None:
    device.hold(10)
    other_device.wait_for("house.status.signal === 'shared'")
    other_device.page.wait_for_timeout(500)  # the stream is open
    waits_s = []
    for number in range(5):
        other_device.js("window.seen = null; window.before = house.view.orders.size;"
                        " window.unwatch?.(); window.unwatch = house.subscribe(() => { if (house.view.orders.size > window.before) window.seen ??= Date.now(); });")  # fmt: skip
        began = device.js("const began = Date.now(); await acts.promise({ person: { name: `Caller ${args[0]}` }, way: 'post',"
                          " lines: [{ good: 'bar', units: 1 }] }); return began;", number)  # fmt: skip
        other_device.wait_for("window.seen !== null", 5)
        waits_s.append((other_device.js("return window.seen") - began) / 1000)
    assert median(waits_s) < SEEN_WITHIN_S, waits_s  # the slowest of five says more of what else the machine does


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
    other_device.wait_for(f"house.view.orders.has('{order['order']}')", 5)


def test_a_hidden_page_asks_for_nothing_and_a_seen_one_catches_up(device: Device, other_device: Device) -> None:
    device.hold(2)
    other_device.page.evaluate(HIDE, True)
    other_device.page.wait_for_timeout(700)
    asked = _asked(other_device.page)
    order = device.promise(1)
    assert device.exchange()
    other_device.page.wait_for_timeout(WATCHED_S * 1000)
    assert asked == []
    other_device.page.evaluate(HIDE, False)
    other_device.wait_for(f"house.view.orders.has('{order['order']}')", 5)
    assert asked != []


def test_a_quiet_house_is_left_in_peace(device: Device) -> None:
    """Nothing happens: the open stream is all there is, no request and no more than a breath of work."""
    assert device.exchange()
    device.page.wait_for_timeout(1500)
    session = device.page.context.new_cdp_session(device.page)
    session.send("Performance.enable")
    asked = _asked(device.page)

    def busy_s() -> float:
        return float(next(one["value"] for one in session.send("Performance.getMetrics")["metrics"] if one["name"] == "TaskDuration"))

    before, began = busy_s(), time.monotonic()
    device.page.wait_for_timeout(WATCHED_S * 1000)
    assert asked == []
    assert (busy_s() - before) / (time.monotonic() - began) < 0.05


def test_a_house_out_of_reach_is_asked_ever_more_seldom(device: Device, gate: Gate) -> None:
    gate.mishap = lambda path: "shut" if path.startswith("/api/") else None
    device.hold(1)
    asked = _asked(device.page)
    device.promise(1)
    device.page.wait_for_timeout(WATCHED_S * 1000)
    assert 1 <= sum("/api/exchange" in url for url in asked) <= 5, asked
