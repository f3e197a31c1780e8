"""The main computer moved to another address: what a device has not sent is handed over from the old one, and to nobody else."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import expect

from browser.devices import Device
from browser.house_process import Gate, HouseProcess
from honeyhold.house.house import House

pytestmark = pytest.mark.browser


def alone(device: Device, gate: Gate) -> list[str]:
    """Ids of three orders that were taken where the main computer was, after it had gone."""
    device.hold(20)
    device.exchange()
    device.wait_for_shell()
    gate.mishap = lambda path: "shut"
    return [device.promise(2, name)["order"] for name in ("Orla", "Nils", "Ruth")]


def known_to(house: House) -> set[str]:
    with house.records.read():
        return {row[0] for row in house.records.sql('SELECT id FROM "order"').fetchall()}


def set_aside(house: House, device: str) -> int:
    with house.records.read():
        return int(house.records.sql("SELECT COALESCE(SUM(granted - spent), 0) FROM share WHERE device = ?", device).fetchone()[0])


def test_nothing_is_left_behind(device: Device, house_server: HouseProcess, gate: Gate) -> None:
    """Opened without the main computer, by the picture that an owner's device shows; afterwards nothing can be written there any more."""
    orders = alone(device, gate)
    code = house_server.code()
    page = device.page
    page.goto("about:blank")
    way = f"{house_server.address}/#enrol={code}".replace(":", "%3A").replace("/", "%2F").replace("#", "%23").replace("=", "%3D")
    page.goto(f"{device.address}/#settings/moved/{way}")
    device.load()
    expect(page.get_by_text("3 entries are only on this device.")).to_be_visible()
    page.get_by_role("button", name="send it there").click()
    expect(page.get_by_role("status")).to_contain_text("3 entries are handed over. None is left here.")
    assert device.status()["inHand"] == 0 and device.status()["movedTo"] == house_server.address
    assert device.promise(1)["error"] == "moved"
    page.get_by_role("link", name="go on there").click()
    page.wait_for_url(f"{house_server.address}/**")
    expect(page.get_by_label("the code, good once")).to_have_value(code)
    name = device_name(house_server, orders)
    assert name == "Shed phone"


def device_name(house_server: HouseProcess, orders: list[str]) -> str:
    """Whose entries the orders are; all are there, and nothing is set aside for that device any more."""

    def look(house: House) -> str:
        assert set(orders) <= known_to(house) and house.check() == []
        with house.records.read():
            (device,) = house.records.sql("SELECT DISTINCT device FROM operation WHERE kind = 'promise'").fetchall()
            (name,) = house.records.sql("SELECT name FROM device WHERE id = ?", device[0]).fetchone()
        assert set_aside(house, device[0]) == 0
        return str(name)

    return str(house_server.in_person(look))


def test_another_business_gets_nothing(device: Device, gate: Gate, tmp_path: Path) -> None:
    orders = alone(device, gate)
    other = HouseProcess(tmp_path / "another" / "data")
    other.start()
    try:
        page = device.page
        page.goto(f"{device.address}/#settings/moved")
        device.load()
        page.get_by_label("its new address").fill(other.address)
        page.get_by_role("button", name="send it there").click()
        expect(page.get_by_role("alert").filter(has_text="the records of another business. Nothing was sent.")).to_be_visible()
        assert device.status()["inHand"] == 3 and device.status()["movedTo"] is None
        assert not set(orders) & other.in_person(known_to)
        page.get_by_label("its new address").fill("not an address")
        page.get_by_role("button", name="send it there").click()
        expect(page.get_by_role("alert").filter(has_text="This is no address")).to_be_visible()
    finally:
        other.stop()
    gate.mishap = lambda path: None
    device.exchange()
    assert device.status()["inHand"] == 0


def test_heard_again_where_it_was_it_writes_there_again(device: Device, house_server: HouseProcess, gate: Gate) -> None:
    alone(device, gate)
    device.js("return import('/store/moved.js').then(({ handOver }) => handOver(args[0]))", house_server.address)
    assert device.promise(1)["error"] == "moved"
    gate.mishap = lambda path: None
    device.exchange()
    assert device.status()["movedTo"] is None and "error" not in device.promise(1)
