"""Every room against WCAG 2.2 AA, as far as a program can judge: rules of axe-core, a reference library that nothing else uses.

Source: W3C, Web Content Accessibility Guidelines 2.2, levels A and AA. What no program can see (sense, order of speech, plain
words) is for a person to try.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device, settled
from browser.house_process import HouseProcess
from browser.kept_phones import lent

pytestmark = pytest.mark.browser

REFERENCE = Path(__file__).resolve().parents[2] / "web/node_modules/axe-core/axe.min.js"
LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
PLACES = [
    "counter", "shelf", "shelf/bar", "shelf/bar/count", "shelf/bar/labels", "bench", "melt", "book", "book/lot/", "settings", "settings/device", "settings/devices", "settings/moved", "settings/first", "settings/first/name", "settings/first/goods", "settings/first/shelf", "settings/first/cartons", "settings/first/help",
    "settings/house", "settings/heat", "settings/measures", "settings/measures/bar", "settings/goods", "settings/goods/add", "settings/goods/bar", "settings/goods/bar/price", "settings/tax", "settings/prices", "settings/melting", "settings/papers", "settings/late", "settings/needs", "book/arrivals/", "book/season/", "shelf/walk",
]  # fmt: skip
RUTH = {"name": "Ruth Amsel", "phone": "+12185550142", "street": "4 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"}
JUDGED = """async (levels) => (await axe.run(document, { runOnly: { type: 'tag', values: levels }, resultTypes: ['violations'] }))
  .violations.flatMap(({ id, help, nodes }) => nodes.map((node) => `${id}: ${help}: ${node.target} ${node.html.slice(0, 160)}`))"""


@pytest.fixture(scope="module", params=["light", "dark"])
def page(request: pytest.FixtureRequest, chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[Page]:
    """An enrolled phone in either dress, with one order taken, and the reference loaded into every page of it."""
    with lent(chromium, viewport={"width": 390, "height": 844}, reduced_motion="reduce") as context:
        page = context.new_page()
        page.emulate_media(color_scheme=request.param)
        page.add_init_script(path=REFERENCE)
        device = Device(page, house_of_the_file.address)
        device.enrol(house_of_the_file.code(), f"Phone, {request.param}")
        device.hold(40)
        device.promise(3, person=RUTH, way="post")
        device.exchange()
        yield page


def judged(page: Page) -> list[str]:
    """What breaks a rule on the page as it stands."""
    settled(page)
    found: Any = page.evaluate(JUDGED, LEVELS)
    return list(found)


def test_the_reference_finds_a_planted_fault(page: Page, house_of_the_file: HouseProcess) -> None:
    """A check that could not fail would say nothing."""
    page.goto(f"{house_of_the_file.address}/#settings/needs")
    expect(page.locator("needs-board")).to_be_visible()
    page.evaluate("document.body.append(Object.assign(document.createElement('button'), { id: 'planted' }))")
    found = judged(page)
    page.reload()
    assert any("planted" in one and one.startswith("button-name") for one in found)


@pytest.mark.parametrize("place", PLACES)
def test_a_room_breaks_no_rule(page: Page, house_of_the_file: HouseProcess, place: str) -> None:
    page.goto(f"{house_of_the_file.address}/#{place}")
    expect(page.locator(f"{place.partition('/')[0]}-room")).to_be_attached()
    assert judged(page) == []
