"""Addresses and numbers as they are typed: town and state follow the ZIP without signal; a number is read by one rule on both sides."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device, open_anew
from browser.house_process import HouseProcess
from browser.kept_phones import lent

pytestmark = pytest.mark.browser

TELEPHONE_CASES = json.loads((Path(__file__).resolve().parents[1] / "telephone_cases.json").read_text(encoding="utf-8"))["cases"]


@pytest.fixture(scope="module")
def enrolled(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    """A phone that has asked for a ZIP once."""
    with lent(chromium, viewport={"width": 390, "height": 844}) as context:
        device = Device(context.new_page(), house_of_the_file.address)
        device.enrol(house_of_the_file.code(), "Shed phone")
        device.wait_for_shell()
        yield device


def new_person(device: Device) -> Page:
    """The empty form of somebody new."""
    open_anew(device.page, device.address, "book/person/new")
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


def test_the_browser_reads_the_shared_telephone_cases(enrolled: Device) -> None:
    """Every case of the list that Python is held to (tests/importing/test_phones.py), by the library that the page loads."""
    enrolled.load()
    enrolled.js("await acts.setHouse('area_code', '715')")
    read = enrolled.js("return Promise.all(args[0].map((said) => acts.phoneOf(said)))", [case["said"] for case in TELEPHONE_CASES])
    assert [(case["said"], kept) for case, kept in zip(TELEPHONE_CASES, read, strict=True)] == [(case["said"], case["kept"]) for case in TELEPHONE_CASES]


@pytest.mark.parametrize("phone", ["+4722225555", "+4930901820", "+442079460123"])
def test_a_number_from_abroad_stays_when_something_else_of_the_person_is_changed(enrolled: Device, phone: str) -> None:
    """Shown as it is kept; ten digits after the plus make no American number of it."""
    enrolled.load()
    person = enrolled.js("return (await acts.savePerson({ name: args[0], phone: args[1] })).person", f"Ines {phone}", phone)
    page = enrolled.page
    page.goto(f"{enrolled.address}/#book/person/{person}")
    expect(page.locator("input[name=phone]")).to_have_value(phone)
    page.locator("input[name=street]").fill("PO Box 9")
    page.get_by_role("button", name="write it down").click()
    expect(page.locator("person-board").get_by_role("status")).to_have_text("Written down.")
    kept = enrolled.js("return house.view.people.get(args[0])", person)
    assert (kept["phone"], kept["street"]) == (phone, "PO Box 9")


def test_a_number_that_rings_nowhere_is_refused_kindly(enrolled: Device) -> None:
    """111 111 1111 is not taken: what was typed stays, and what to do is said; with a number that rings it is."""
    page = new_person(enrolled)
    page.locator("input[name=name]").fill("Ozzie Wren")
    page.locator("input[name=phone]").fill("111 111 1111")
    page.get_by_role("button", name="write it down").click()
    expect(page.get_by_role("alert")).to_contain_text("“111 111 1111” is no number that anyone can be reached at. Ask for it again")
    expect(page.locator("input[name=phone]")).to_have_value("111 111 1111")
    page.locator("input[name=phone]").fill("(715) 555-0188")
    page.get_by_role("button", name="write it down").click()
    expect(page.get_by_role("heading", name="Ozzie Wren")).to_be_visible()
    enrolled.load()
    assert enrolled.js("return [find('0188')[0].person.name, find('555018').map(({ by }) => by)]") == ["Ozzie Wren", ["number"]]


def test_an_old_number_is_kept_as_it_is(enrolled: Device) -> None:
    """What stood in the book before numbers were checked stays, found by its digits; another line of the form can still be changed."""
    enrolled.load()
    person = enrolled.js("return (await acts.savePerson({ name: 'Gus Old', phone: '+11111111111' })).person")
    page = enrolled.page
    page.goto(f"{enrolled.address}/#book/person/{person}")
    page.locator("input[name=street]").fill("PO Box 7")
    page.get_by_role("button", name="write it down").click()
    expect(page.locator("person-board").get_by_role("status")).to_have_text("Written down.")
    kept = enrolled.js("return house.view.people.get(args[0])", person)
    assert (kept["phone"], kept["street"]) == ("+11111111111", "PO Box 7")
    assert enrolled.js("return find('1111111').map((found) => found.person.name)") == ["Gus Old"]
