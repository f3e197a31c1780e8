"""Firefox and WebKit, where the system has them: added, cut off, loaded again, an order promised and landed; packed,
mailed and undone; and a thumb that touches whatever is there.

Chromium has the long stories; these show that nothing of the shop without signal is Chromium's alone. On Debian they come with
`firefox-esr`, and with `webkit2gtk-driver` and `xvfb`.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from browser.engines import OtherDevice, browser_of, missing
from browser.house_process import HouseProcess
from browser.monkey import KEYS, LEFT_ALONE, PICK, PLACES, PLACES_OF, SAY, SAY_OF
from browser.test_kernel import MELT_BY, same
from honeyhold.house.house import House
from honeyhold.kernel import work
from honeyhold.records.check import disagreements

pytestmark = pytest.mark.browser

WAKING_WAIT_S = 120
TOUCHES = 80
KEY = "[...document.querySelectorAll('main button, main a')].find((key) => key.checkVisibility() && new RegExp(args[0]).test(key.innerText.trim()))"


@pytest.fixture(params=["firefox", "webkit"])
def other(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[tuple[OtherDevice, HouseProcess]]:
    """A window of that browser at a house of its own."""
    if lacking := missing(request.param):
        pytest.skip(f"{lacking} is not on this system")
    house = HouseProcess(tmp_path / "data")
    house.start()
    try:
        with browser_of(request.param) as driver:
            yield OtherDevice(driver, house.address), house
    finally:
        house.stop()


def touch(device: OtherDevice, words: str) -> None:
    """Touches the key whose words fit, once it is there and does not rest."""
    device.wait_for(f"({KEY.replace('args[0]', repr(words))})?.matches(':not([disabled], [data-resting])')")
    device.js(f"{KEY}.click()", words)


def orders(house: House) -> list[tuple[Any, ...]]:
    """Number, state and lines of every order in the records."""
    with house.records.read():
        return list(house.records.sql('SELECT o.number, o.state, l.good, l.units FROM "order" o JOIN line l ON l."order" = o.id').fetchall())


def test_an_order_is_taken_without_the_house_and_lands(other: tuple[OtherDevice, HouseProcess]) -> None:
    device, house = other
    device.js("await house.enrol(...args)", house.code(), "Other phone")
    assert device.js("return house.ask('bar', args[0], 5)", 20) >= 20
    device.wait_for("navigator.serviceWorker.controller !== null")
    device.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)

    house.stop()
    device.reload()
    assert device.js("return house.status.device.name") == "Other phone"
    device.wait_for("document.querySelector('house-head').innerText.includes('no signal since')")
    device.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)
    same(device.js("return kernel.work('stock.melt_by', args[0], { wait_s: 60 })", MELT_BY), work("stock.melt_by", MELT_BY))
    device.js("location.hash = '#counter'")
    touch(device, "someone is here now")
    touch(device, "^5$")
    touch(device, "^Say it")
    touch(device, "^Sell$")
    device.wait_for("document.querySelector('order-promised h1')")
    promised = device.js(
        "return acts.promise({ person: { name: 'Ruth Amsel', phone: '' }, lines: [{ good: 'bar', units: 3 }], way: 'post' }, { wait_s: 0 })"
    )
    assert promised["sure"] == {"bar": 3}
    assert device.js("return house.status.inHand") == 2
    device.reload()
    assert device.js("return [...house.view.orders.values()].length") == 2

    house.start()
    device.wait_for("await house.exchange()")
    device.wait_for("house.status.inHand === 0")
    assert device.js("return house.status.needsYou.length") == 0
    found = house.in_person(orders)
    assert sorted((state, good, units) for _, state, good, units in found) == [("gone", "bar", 5), ("promised", "bar", 3)]
    assert house.in_person(lambda records: records.check()) == []


WATCHED = """window.troubles = [];
  addEventListener('error', ({ message }) => window.troubles.push(message));
  addEventListener('unhandledrejection', ({ reason }) => window.troubles.push(`${reason}`));
  window.print = () => {};
  window.open = () => null;"""
SETTLED = "await (await import('/store/sentences.js')).sentences.settled()"


def test_packed_mailed_and_undone_without_the_house(other: tuple[OtherDevice, HouseProcess]) -> None:
    device, house = other
    device.js("await house.enrol(...args)", house.code(), "Other phone")
    assert device.js("return house.ask('bar', args[0], 5)", 20) >= 20
    device.wait_for("navigator.serviceWorker.controller !== null")
    device.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)
    house.stop()
    device.reload()
    device.wait_for("house.status.kernel.state === 'awake'", WAKING_WAIT_S)
    order = device.js(
        """return (await acts.promise({ person: { name: 'Noor Amin', phone: '', street: '4 Heron Sill Rd', city: 'Duluth', state: 'MN', zip: '55811' },
             lines: [{ good: 'bar', units: 10 }], way: 'post', leave_on: house.today() })).order"""
    )
    device.js("location.hash = `#bench/${args[0]}`", order)
    device.wait_for("document.querySelector('parcel-board h1:not(.faint)')", WAKING_WAIT_S)
    state = f"house.view.orders.get('{order}').state"
    touch(device, "^Packed")
    device.wait_for(f"{state} === 'packed'")
    touch(device, "^Mailed$")
    device.wait_for(f"{state} === 'gone'")
    touch(device, "^undo")
    device.wait_for(f"{state} === 'packed'")
    house.start()
    device.wait_for("await house.exchange()")
    device.wait_for("house.status.inHand === 0")
    assert device.js("return house.status.needsYou.length") == 0
    assert [(state, good, units) for _, state, good, units in house.in_person(orders)] == [("packed", "bar", 10)]
    assert house.in_person(lambda records: records.check()) == []


def test_a_thumb_that_touches_whatever_is_there_breaks_nothing(other: tuple[OtherDevice, HouseProcess]) -> None:
    """As `scripts/monkey` does in Chromium, in short: no error in the page, every entry lands, and the records agree."""
    device, house = other
    device.js("await house.enrol(...args)", house.code(), "Other phone")
    device.js("await house.ask('bar', 60, 5)")
    for units in (3, 2):
        device.js("await acts.promise({ person: { name: args[1], phone: '' }, lines: [{ good: 'bar', units: args[0] }], way: 'pick_up' })", units, f"Caller {units}")
    device.js(WATCHED)
    chance, touched = random.Random(5), set()
    for at in range(TOUCHES):
        where = KEYS if chance.randrange(PLACES_OF) else PLACES
        key = device.js(f"return ({PICK})(args[0])", [where, list(LEFT_ALONE), chance.random(), SAY if at % SAY_OF == 0 else None])
        if key:
            touched.add(key["words"])
            device.js("document.elementFromPoint(args[0], args[1])?.closest('button, a')?.click()", key["x"], key["y"])
            device.js("await new Promise((seen) => requestAnimationFrame(() => requestAnimationFrame(seen)))")
    device.js(SETTLED)
    device.wait_for("await house.exchange()")
    device.wait_for("house.status.inHand === 0")
    assert len(touched) > TOUCHES / 10, "it stood still somewhere"
    assert device.js("return window.troubles") == []
    assert house.in_person(lambda found: disagreements(found.records)) == []  # a thumb may well count less than it then hands over
