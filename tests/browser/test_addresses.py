"""Addresses as they are typed: the ZIP first, town and state follow it without signal, and both can be changed."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def enrolled(chromium: Browser, house_server: HouseProcess) -> Iterator[Device]:
    """A phone that has asked for a ZIP once."""
    context = chromium.new_context(viewport={"width": 390, "height": 844}, service_workers="allow")
    context.set_default_timeout(15_000)
    device = Device(context.new_page(), house_server.address)
    device.enrol(house_server.code(), "Shed phone")
    device.wait_for_shell()
    yield device
    context.close()


def new_person(device: Device) -> Page:
    """The empty form of somebody new."""
    device.page.goto(f"{device.address}/#settings/needs")
    device.page.goto(f"{device.address}/#book/person/new")
    expect(device.page.locator("person-board input[name=zip]")).to_be_visible()
    return device.page


def place(page: Page) -> list[str]:
    """Town and state as they stand in the form."""
    return [page.locator(f"input[name={name}]").input_value() for name in ("city", "state")]


def test_the_zip_comes_first_and_the_rest_follows(enrolled: Device) -> None:
    """Five digits, and town and state stand there; another ZIP, and they change with it."""
    page = new_person(enrolled)
    names = page.locator("person-board form input").evaluate_all("(inputs) => inputs.map((input) => input.name)")
    assert names.index("zip") < names.index("city") < names.index("street")
    page.locator("input[name=zip]").fill("55616")
    expect(page.locator("input[name=city]")).to_have_value("Two Harbors")
    assert place(page) == ["Two Harbors", "MN"]
    page.locator("input[name=zip]").fill("74103")
    expect(page.locator("input[name=city]")).to_have_value("Tulsa")


def test_what_a_person_typed_stays(enrolled: Device) -> None:
    """A town of one's own is kept when the ZIP comes after it; the state still follows."""
    page = new_person(enrolled)
    page.locator("input[name=city]").fill("Larsmont")
    page.locator("input[name=zip]").fill("55616")
    expect(page.locator("input[name=state]")).to_have_value("MN")
    assert place(page) == ["Larsmont", "MN"]


def test_a_followed_address_is_written_down_whole(enrolled: Device) -> None:
    """What followed is kept with the person as if it had been typed."""
    page = new_person(enrolled)
    page.locator("input[name=name]").fill("Nell Fenn")
    page.locator("input[name=zip]").fill("55811")
    expect(page.locator("input[name=city]")).to_have_value("Duluth")
    page.locator("input[name=street]").fill("1 Larch Rd")
    page.get_by_role("button", name="write it down").click()
    expect(page.get_by_role("heading", name="Nell Fenn")).to_be_visible()
    enrolled.load()
    kept = enrolled.js("return [...house.view.people.values()].find(({ name }) => name === 'Nell Fenn')")
    assert [kept[field] for field in ("zip", "city", "state", "street")] == ["55811", "Duluth", "MN", "1 Larch Rd"]


def test_it_works_without_signal(enrolled: Device) -> None:
    """The list is on the device after it was asked once: the network pulled, the page loaded anew, another state found."""
    page = new_person(enrolled)
    enrolled.load()
    assert enrolled.js("return (await import('/store/zip.js')).placeOfZip('54843')") == {"city": "Hayward", "state": "WI"}
    page.context.set_offline(True)
    try:
        page.reload()
        page.locator("input[name=zip]").fill("04609")
        expect(page.locator("input[name=city]")).to_have_value("Bar Harbor")
        assert place(page) == ["Bar Harbor", "ME"]
    finally:
        page.context.set_offline(False)


@pytest.mark.parametrize(("said", "place"), {
    "04609-1234": {"city": "Bar Harbor", "state": "ME"}, "00901": {"city": "", "state": "PR"}, "00000": None, "1234": None, "": None,
}.items())  # fmt: skip
def test_what_is_asked_for(enrolled: Device, said: str, place: dict[str, str] | None) -> None:
    """Nine digits are as good as five; an island has its state alone; no ZIP, no place."""
    assert enrolled.js("return (await import('/store/zip.js')).placeOfZip(args[0])", said) == place
