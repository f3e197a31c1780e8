"""A bench to test at: the demo house on its Saturday, an enrolled phone whose kernel is awake, and what the records say afterwards."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import Any

from playwright.sync_api import Browser, Page

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from demo_seed import play
from honeyhold.house.house import House
from replication.houses import movement

SATURDAY = datetime(2027, 7, 24, 15, tzinfo=UTC)


def season(house: House) -> None:
    """The demo's week, on its Saturday; the scale shows grams."""
    house.make_demo()
    house.clock.set(SATURDAY)
    play(house)
    house.write("set_house", [{"table": "setting", "id": "scale_division_g", "value": 1}])
    house.write("buy", [movement("bar", 100, "opening"), movement("jar_12", 24, "opening")])  # every test has a device with a share of its own


@contextmanager
def at_the_bench(chromium: Browser, house: HouseProcess, size_px: tuple[int, int] = (390, 844), kernel: bool = False) -> Iterator[Device]:
    """An enrolled device whose shell is kept. `kernel`: it is awake there, for a test without signal; else the house works everything out."""
    with lent(chromium, viewport={"width": size_px[0], "height": size_px[1]}, kernel=kernel) as context:
        device = Device(context.new_page(), house.address)
        device.enrol(house.code(), "Bench phone")
        if kernel:
            device.wait_for("house.status.kernel.state === 'awake'", 90)
        device.exchange()
        device.wait_for_shell()
        yield device


def shown(device: Device, place: str) -> Page:
    """A place, as a link within the app opens it: a kernel that is awake stays so."""
    device.page.goto(f"{device.address}/#{place}")
    return device.page


def opened(device: Device, place: str) -> Page:
    """A place, loaded anew."""
    shown(device, place).reload()
    device.load()
    return device.page


def type_figures(page: Page, grams: int) -> None:
    """Grams by the large keys, whatever stood there before."""
    pad = page.locator("scale-deck number-pad")
    pad.get_by_role("button", name="take all figures away").click()
    for figure in str(grams):
        pad.get_by_role("button", name=figure, exact=True).click()


def tick_the_rest(page: Page) -> None:
    """Every step that is not done yet."""
    undone = page.locator('.take:not([aria-checked="true"])')
    while undone.count():
        undone.first.click()


def gone(house: House, order: str) -> dict[str, Any]:
    """What the records say of the order: lots left by good, carton, weight, and how many of each carton lie on the shelf."""
    with house.records.read():
        sql = house.records.sql
        lots = dict(sql("SELECT lot, -SUM(units) FROM movement WHERE \"order\" = ? AND reason = 'gone' GROUP BY lot", order).fetchall())
        parcels = sql('SELECT carton, scale_g FROM parcel WHERE "order" = ?', order).fetchall()
        (state,) = sql('SELECT state FROM "order" WHERE id = ?', order).fetchone()
        cartons = dict(sql("SELECT good, SUM(units) FROM movement WHERE good LIKE 'carton%' GROUP BY good").fetchall())
    return {"lots": lots, "parcels": parcels, "state": state, "cartons": cartons}
