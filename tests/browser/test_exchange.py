"""The exchange under mishaps: nothing confirmed is lost, nothing lands twice, and nobody else's answer is believed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Route

from browser.devices import Device
from browser.house_process import Gate, HouseProcess
from honeyhold.house.house import House
from honeyhold.house.quarantine import late_entries

pytestmark = pytest.mark.browser

BOARD = "return [house.view.onHand('bar'), house.view.promised('bar'), house.view.orders.size]"


def _only(path: str, mishap: str) -> object:
    return lambda asked: mishap if asked == path else None


@pytest.mark.parametrize("mishap", ["lost answer", "half an answer"])
def test_a_lost_answer_lands_once(device: Device, other_device: Device, gate: Gate, mishap: str) -> None:
    """The house has committed, the device never hears of it and says it again: one order, the same sums on both sides."""
    device.hold(10)
    gate.mishap = _only("/api/exchange", mishap)  # type: ignore[assignment]
    order = device.promise(4)
    assert not device.exchange()
    assert mishap in gate.fired
    assert device.status()["inHand"] == 1
    assert device.status()["signal"] == "none"
    gate.mishap = lambda _path: None
    assert device.exchange()
    status = device.status()
    assert (status["inHand"], status["needsYou"], status["signal"]) == (0, [], "shared")

    assert other_device.exchange()
    assert other_device.js(BOARD) == device.js(BOARD)
    line = "const [line] = house.view.linesOf(args[0]); return house.view.sure(line)"
    assert other_device.js(line, order["order"]) == device.js(line, order["order"]) == 4


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("text/html", "<h1>Welcome to the airport</h1>"),
        ("application/json", json.dumps({"protocol": 1, "request": "another", "landed": []})),
        ("application/json", '{"protocol": 1, "requ'),
    ],
)
def test_a_stranger_is_not_believed(device: Device, kind: str, body: str) -> None:
    """A captive portal's page, an answer to another request, half an answer: unknown, so the entry stays in hand."""
    device.hold(3)

    def stranger(route: Route) -> None:
        route.fulfill(status=200, content_type=kind, body=body)

    device.page.route("**/api/exchange", stranger)
    device.promise(1)
    assert not device.exchange()
    assert device.status()["inHand"] == 1
    device.page.unroute("**/api/exchange")
    assert device.exchange()
    assert device.status()["inHand"] == 0


def test_what_another_device_does_is_heard(device: Device, other_device: Device) -> None:
    """A promise on one device shows on the other without anybody asking: the stream tells."""
    order = device.promise(1, "Nils Bergqvist")
    other_device.wait_for(f"house.view.orders.has('{order['order']}')")


def test_any_text_hashes_as_the_house_does(device: Device) -> None:
    """The house checks every entry's hash: quotes, controls, combining marks, astral signs and separators must agree."""
    device.hold(2)
    device.promise(1, 'A"b\\c\t\u0001 é e\u0301 🐝 \u2028 \x7f /', note="line\nline\r\n ünï")
    assert device.exchange()
    assert device.status()["needsYou"] == []


def test_a_refusal_needs_the_keeper_and_nothing_stops_behind_it(device: Device) -> None:
    """A refused entry is shown with why and remedy, the next one lands, and dismissing it is remembered."""
    device.hold(2)
    device.js("""const { append } = await import('/store/log.js');
        await append(() => ({ kind: 'pay', rows: [{ table: 'payment', id: crypto.randomUUID(), order: crypto.randomUUID(),
          cents: 100, how: 'cash', on: '2026-07-20' }] }))""")  # fmt: skip
    device.promise(1)
    assert device.exchange()
    status = device.status()
    assert status["inHand"] == 0
    [needs] = status["needsYou"]
    assert needs["kind"] == "pay" and needs["why"] and needs["remedy"]
    device.js("await house.dismiss(args[0])", needs["op"])
    device.page.reload()
    device.load()
    assert device.status()["needsYou"] == []


def test_a_restored_house_gets_back_what_it_lost(device: Device, house_server: HouseProcess, tmp_path: Path) -> None:
    """The house goes back to yesterday's backup; the device still has what landed since and says it again."""
    device.hold(10)
    kept = device.promise(2)
    assert device.exchange()
    backup = house_server.in_person(House.backup)
    lost = device.promise(3)
    assert device.exchange()
    assert device.status()["inHand"] == 0
    house_server.in_person(lambda house: house.restore(backup))
    assert device.exchange()
    device.wait_for("house.status.inHand === 0")
    assert device.status()["needsYou"] == []
    for order, units in ((kept, 2), (lost, 3)):
        found = device.js("const [line] = house.view.linesOf(args[0]); return house.view.sure(line)", order["order"])
        assert found == units
    assert house_server.in_person(lambda house: house.check()) == []


def test_a_lost_device_keeps_its_entries(device: Device, house_server: HouseProcess, phone_context: BrowserContext) -> None:
    """Its key is no longer taken and the status says so; what it had in hand is in its log and with the keeper."""
    device.hold(2)
    phone_context.set_offline(True)
    device.promise(1)
    identity = device.status()["device"]["id"]
    house_server.in_person(lambda house: house.declare_lost(identity))
    device.js("(await import('/store/removed.js')).after.forgetting = () => {}")  # it would load anew: here its memory is looked at
    phone_context.set_offline(False)
    assert not device.exchange()
    status = device.status()
    assert status["turnedAway"]
    assert status["inHand"] == 0
    kept = device.js("const { load, known } = await import('/store/known.js'); await load();"
                     " return [...known.entries.values()].map(({ state }) => state)")  # fmt: skip
    late = house_server.in_person(late_entries)["entries"]
    # its own log goes as soon as a checked backup holds all of it, which may be by now
    assert kept == [] or kept[-1] == "kept_apart"
    assert [one["kind"] for one in late if one["device"] == identity][-1] == "promise"
