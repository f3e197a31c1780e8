"""What stands in the head of every screen is so: each state reached against a real server, through the gate that fails."""

from __future__ import annotations

import pytest

from browser.devices import Device
from browser.house_process import Gate

pytestmark = pytest.mark.browser

SAYS_ALL = """(words) => { const said = document.querySelector('house-head')?.innerText ?? '';
    return words.every((word) => said.includes(word)) && said; }"""
"""Looked at and told in one breath: a moment later it may say another thing."""
STATES = ("all sent", "not sent yet", "no signal since", "needs you", "signed out", "this app is too old: close and open it")


AN_HOUR_AGO = """const { current } = await import('/store/status.js');
    current.since = new Date(Date.now() - 47 * 60000);
    const head = document.querySelector('house-head');
    head.requestUpdate();
    await head.updateComplete;
    return head.innerText"""
"""Set and read in one breath: an exchange of the device's own in between would make it "just now" again."""


def head(device: Device, *words: str) -> str:
    """Waits until the head says all of these words; what it says."""
    device.page.evaluate("() => document.querySelector('house-head').requestUpdate?.()")
    said = str(device.page.wait_for_function(SAYS_ALL, arg=list(words)).json_value())
    assert [state for state in STATES if state in said] == [word for word in STATES if any(word in asked for asked in words)], said
    return said


def test_it_was_just_now_after_an_hour_of_hearing_nothing_new(device: Device) -> None:
    """Its age is that of the last exchange that was heard, not of the first one in a row."""
    assert device.exchange()
    said = device.js(AN_HOUR_AGO)
    assert "all sent" in said and "47 min" in said
    assert device.exchange()
    assert "just now" in head(device, "all sent")


def test_what_is_not_sent_is_counted_and_the_silence_timed(device: Device, gate: Gate) -> None:
    device.hold(4)
    gate.mishap = lambda path: "shut" if path.startswith("/api/") else None
    device.promise(1)
    device.exchange()
    assert "1 not sent yet" in head(device, "no signal since", "not sent yet")
    gate.mishap = lambda _path: None
    device.page.evaluate("() => { house.exchange(); }")
    head(device, "all sent")


def test_an_app_that_is_not_understood_is_too_old_and_not_without_signal(device: Device, gate: Gate) -> None:
    """What it has is counted; understood again, the word goes."""
    device.hold(4)
    gate.mishap = lambda path: "not understood" if path.startswith("/api/exchange") else None
    device.promise(1)
    assert not device.exchange()
    head(device, "not sent yet", "this app is too old: close and open it")
    assert device.status()["inHand"] == 1 and device.status()["tooOld"]
    gate.mishap = lambda _path: None
    assert device.exchange()
    head(device, "all sent")


def test_a_device_whose_key_is_not_taken_is_signed_out(device: Device, gate: Gate) -> None:
    gate.mishap = lambda path: "not known" if path.startswith("/api/exchange") else None
    assert not device.exchange()
    said = head(device, "all sent", "signed out")
    assert "no signal" not in said


def test_what_was_refused_needs_you(device: Device) -> None:
    device.js("""const { append } = await import('/store/log.js');
        await append(() => ({ kind: 'pay', rows: [{ table: 'payment', id: crypto.randomUUID(), order: crypto.randomUUID(),
          cents: 100, how: 'cash', on: '2026-07-20' }] }))""")  # fmt: skip
    assert device.exchange()
    head(device, "all sent", "needs you")


def test_another_page_in_place_of_the_stream_is_asked_ever_more_seldom(device: Device, gate: Gate) -> None:
    """A captive portal answers everything with its page, as if all were well: not 19 requests in six seconds."""
    asked: list[str] = []

    def portal(path: str) -> str | None:
        if path.startswith("/api/stream"):
            asked.append(path)
            return "another's page"
        return None

    gate.mishap = portal
    device.page.reload()
    device.load()
    assert device.exchange()
    device.page.wait_for_function("() => window.performance.now() > 9000")
    assert 1 <= len(asked) <= 4, len(asked)

