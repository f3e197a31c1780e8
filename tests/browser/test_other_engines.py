"""Firefox and WebKit, where the system has them: added, cut off, loaded again, an order promised, the order landed.

Chromium has the long stories; these show that nothing of the shop without signal is Chromium's alone. On Debian they come with
`firefox-esr`, and with `webkit2gtk-driver` and `xvfb`.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from browser.engines import OtherDevice, browser_of, missing
from browser.house_process import HouseProcess
from browser.test_kernel import MELT_BY, same
from honeyhold.house.house import House
from honeyhold.kernel import work

pytestmark = pytest.mark.browser

WAKING_WAIT_S = 120
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
        return list(house.records.database.execute_sql('SELECT o.number, o.state, l.good, l.units FROM "order" o JOIN line l ON l."order" = o.id').fetchall())


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
