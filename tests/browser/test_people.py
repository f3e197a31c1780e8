"""People one has already, brought in by touch: a dry run, columns put right, all of them or none, nobody twice, undone at once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device, open_anew, owners_phone
from browser.house_process import HouseProcess
from browser.thumb import until_nothing_rests
from importing.test_people import HEAD, RUTH, ZOE, dirty, saved

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def keeper(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Device]:
    """An owner's phone."""
    with owners_phone(chromium, house_of_the_file) as device:
        yield device


def opened(device: Device, data: bytes, name: str = "people.csv") -> Page:
    """The board with a file opened."""
    page = device.page
    open_anew(page, device.address, "settings/people")
    page.locator("people-board input[type=file]").set_input_files({"name": name, "mimeType": "text/csv", "buffer": data})
    expect(page.get_by_text("Nothing is written yet.").first).to_be_visible()
    return page


def names(device: Device) -> list[str]:
    """Who is in the book of this device."""
    device.load()
    return sorted(device.js("return [...house.view.people.values()].filter(({ hidden }) => !hidden).map(({ name }) => name)"))


def test_a_list_is_looked_at_then_brought_in_and_undone(keeper: Device) -> None:
    """Nothing is written by looking; one touch brings both in; again they are known; undo takes them out, and they can come back."""
    page = opened(keeper, saved([HEAD, RUTH, ZOE], ";", "windows-1252"))
    expect(page.get_by_text("letters of older Windows programs")).to_be_visible()
    expect(page.get_by_role("list", name="Line by line")).to_contain_text("Zoë Grünwald, 218-555-0143")
    assert names(keeper) == []
    page.get_by_role("button", name="bring in 2 people").click()
    expect(page.get_by_role("status")).to_contain_text("2 people are in your book now.")
    assert names(keeper) == ["Ruth Amsel", "Zoë Grünwald"]
    assert keeper.exchange() and keeper.status()["needsYou"] == []
    until_nothing_rests(page)
    page.get_by_role("button", name="undo").click()
    expect(page.get_by_role("status").last).to_contain_text("Undone")
    assert names(keeper) == [] and keeper.exchange()
    page = opened(keeper, saved([HEAD, RUTH, ZOE]))
    page.get_by_role("button", name="bring in 2 people").click()
    expect(page.get_by_role("status")).to_contain_text("2 people are in your book now.")
    assert keeper.exchange()
    page = opened(keeper, saved([HEAD, RUTH, ZOE]))
    page.get_by_role("button", name="2 twice").click()
    expect(page.get_by_text("Ruth Amsel is in your book already")).to_be_visible()
    expect(page.get_by_role("button", name="bring in 0 people")).to_be_disabled()


def test_a_column_is_put_right_by_touch_and_a_line_left_out(keeper: Device) -> None:
    """A title nobody knows is said to be the name; one of the two lines stays out."""
    page = opened(keeper, saved([["Known as", "Zip"], ["Nell Fenn", "54843"], ["Gus Old", "54843"]]))
    page.locator("people-board select").first.select_option("name")
    expect(page.get_by_role("button", name="bring in 2 people")).to_be_visible()
    page.get_by_role("button", name="leave this one out").last.click()
    page.get_by_role("button", name="bring in 1 person").click()
    expect(page.get_by_role("status")).to_contain_text("1 person is in your book now.")
    assert "Nell Fenn" in names(keeper) and "Gus Old" not in names(keeper)


def test_what_is_no_list_says_what_to_do(keeper: Device) -> None:
    """A spreadsheet's own format is refused with the way out; nothing is lost of what was there."""
    page = keeper.page
    open_anew(page, keeper.address, "settings/people")
    page.locator("people-board input[type=file]").set_input_files({"name": "people.xlsx", "mimeType": "text/csv", "buffer": b"PK\x03\x04 rest"})
    expect(page.get_by_role("alert")).to_contain_text("choose Save as, then CSV")


def test_five_thousand_dirty_lines_land_whole(keeper: Device, house_of_the_file: HouseProcess) -> None:
    """From the file to the main computer's records: everybody once, each on both sides, nobody refused; the page loaded anew before they are sent."""
    before = len(names(keeper))
    data, people = dirty(5)
    page = opened(keeper, data)
    page.get_by_role("button", name=f"bring in {people:,} people").click()
    expect(page.get_by_role("status").first).to_contain_text("are in your book now.", timeout=60_000)
    page.reload()
    keeper.load()
    assert len(names(keeper)) == before + people
    keeper.exchange()
    keeper.wait_for("house.status.inHand === 0", 60)
    assert keeper.status()["needsYou"] == []
    count = "SELECT COUNT(*) FROM person WHERE NOT hidden"
    assert house_of_the_file.in_person(lambda house: house.records.sql(count).fetchone()[0]) == before + people
