"""Every paper from its key, printed without signal; a day's papers in one go; labels where they belong as this browser prints them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.packing import at_the_bench, shown
from browser.papers import as_pdf, pages_printed, printed, watch_the_printer
from browser.thumb import until_nothing_rests
from documents.sheets import boxes_of, like

pytestmark = pytest.mark.browser
WAIT_MS = 60_000
MONDAY = "2027-07-26"
NEAR_MM = 0.2
INCH = 25.4
PROGRESS = """() => { window.progress = [];
  const look = () => document.querySelectorAll('day-papers [role=status]').forEach((one) => window.progress.push(one.textContent));
  new MutationObserver(look).observe(document.querySelector('#room'), { subtree: true, childList: true, characterData: true }); }"""
"""Everything that is said of how far it is, however short it stands there."""


@pytest.fixture(scope="module")
def knowing_phone(chromium: Browser, demo_template: HouseProcess, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Device]:
    """A phone of the demo house for the whole file: its kernel is woken once."""
    house = HouseProcess.copied(demo_template, tmp_path_factory.mktemp("demo") / "data")
    with house.running(), at_the_bench(chromium, house, kernel=True) as device:
        yield device


@pytest.fixture
def bench(knowing_phone: Device) -> Iterator[Device]:
    """It, in reach of the house; and again afterwards, whatever the test did to the signal."""
    yield knowing_phone
    knowing_phone.page.context.set_offline(False)
    knowing_phone.wait_for("await house.exchange()")


def touched(device: Device, place: str, words: str) -> str:
    """What the printer got when the key with these words was touched at a place."""
    page = shown(device, place)
    watch_the_printer(page)
    page.get_by_role("button", name=words).first.click()
    page.wait_for_function("() => window.printed.length")
    expect(page.get_by_text("printed from this device").or_(page.get_by_text("Printed from this device")).first).to_be_visible(timeout=WAIT_MS)
    (words,) = printed(page)
    return words


def test_what_hangs_on_the_wall_and_lies_beside_the_till(bench: Device) -> None:
    bench.page.context.set_offline(True)
    prices = touched(bench, "settings/papers", "print the price list")
    assert "wax bar" in prices.lower() and "$" in prices and "babies under 12 months" in prices
    cards = touched(bench, "settings/papers", "print care cards")
    assert cards.count("Never put water on burning wax") == 4
    shelf = touched(bench, "shelf", "print a counting sheet")
    assert "the book says" in shelf and "lies there" in shelf
    for lot in bench.js("return house.view.lotBalance('bar').map(({ lot }) => lot ?? 'no lot written')"):
        assert lot in shelf


def test_what_a_person_owes_order_by_order(bench: Device) -> None:
    owing = bench.js(
        """for (const person of house.view.people.values()) {
             const owed = house.view.ordersOf(person.id).filter((o) => o.state !== 'let_go' && house.view.owed(o.id) > 0);
             if (owed.length) return { id: person.id, name: person.name, numbers: owed.map((o) => o.number) }; }""")  # fmt: skip
    bench.page.context.set_offline(True)
    words = touched(bench, f"book/person/{owing['id']}", "print what they owe")
    assert f"For {owing['name']}" in words and all(number in words for number in owing["numbers"]) and "Owed: $" in words


def test_the_year_with_signal_by_month_and_without_it_what_this_device_knows(bench: Device) -> None:
    whole = touched(bench, "book/season", "print the year")
    assert "The year 2027" in whole and "mailed" in whole and "without signal" not in whole
    bench.page.context.set_offline(True)
    alone = touched(bench, "book/season", "print the year")
    assert "From one device, without signal" in alone and "came in" in alone


def test_labels_of_a_lot_go_on_where_the_sheet_was_left(bench: Device) -> None:
    bench.page.context.set_offline(True)
    page = shown(bench, "shelf/jar_12/labels")
    watch_the_printer(page)
    page.get_by_label("your own words on it").fill("From the bend of the river.")
    page.get_by_label("your own words on it").blur()
    bench.wait_for("house.view.setting('label_words', {}).jar_12?.words === 'From the bend of the river.'")
    page.get_by_role("button", name="4", exact=True).click()
    page.get_by_role("button", name="print 4 labels").click()
    expect(page.locator("#room").get_by_text("4 labels printed from this device.")).to_be_visible(timeout=WAIT_MS)
    (html,) = pages_printed(page)
    lot = bench.js("return house.view.lotBalance('jar_12').filter(({lot}) => lot).sort((a, b) => b.made_on.localeCompare(a.made_on))[0].lot")
    assert html.count("From the bend of the river.") == html.count(f"Lot {lot}") == html.count("Net Wt 12 oz") == 4
    assert page.get_by_label("first free label on the sheet").input_value() == "5"
    first = page.get_by_label("first free label on the sheet")
    for typed, place in (("99", "30"), ("0", "1"), ("none", "1")):
        first.fill(typed)
        first.blur()
        expect(first).to_have_value(place)
    pdf = as_pdf(page, html)
    sheet = pdf.pages[0]
    assert [round(float(side) / 72, 2) for side in (sheet.mediabox.width, sheet.mediabox.height)] == [8.5, 11] and len(pdf.pages) == 1
    seen = sorted({(round(box[0], 2), round(box[1], 2)) for box in boxes_of(pdf, 0) if like(box, 2.625 * INCH, INCH)})
    meant = sorted(((0.1875 + column * 2.75) * INCH, (0.5 + row) * INCH) for row, column in ((0, 0), (0, 1), (0, 2), (1, 0)))
    assert len(seen) == 4
    assert all(abs(a - b) < NEAR_MM for spot, wish in zip(seen, meant, strict=True) for a, b in zip(spot, wish, strict=True))


def test_the_address_label_of_a_parcel(bench: Device) -> None:
    order = bench.js("return house.view.openOrders().find((o) => o.way === 'post' && o.state === 'promised').id")
    bench.page.context.set_offline(True)
    words = touched(bench, f"bench/{order}", "print the address label")
    zip_code = bench.js("return house.view.destination(house.view.orders.get(args[0])).zip", order)
    assert zip_code in words and "KEEP OUT OF SUN AND HEAT" in words


def test_a_days_papers_go_in_one_go_with_how_far_and_stop(bench: Device) -> None:
    bench.page.context.set_offline(True)
    page = shown(bench, "bench")
    watch_the_printer(page)
    day, orders, posted = bench.js(
        """const days = Map.groupBy(house.view.openOrders().filter((o) => o.leave_on), (o) => o.leave_on);
          const [day, all] = [...days].sort(([, a], [, b]) => b.length - a.length)[0];
          return [day, all.length, all.filter((o) => o.way === 'post').length];""")  # fmt: skip
    pile = page.locator("day-papers").filter(has=page.locator("button"))
    expect(pile.first).to_be_visible()
    place = bench.js("return [...document.querySelectorAll('day-papers')].findIndex((one) => one.day === args[0])", day)
    page.evaluate(PROGRESS)
    pile.nth(place).get_by_role("button", name="print all papers of the day").click()
    expect(page.get_by_text(f"{orders} orders printed from this device.").first).to_be_visible(timeout=WAIT_MS)
    assert any(f"of {orders} orders" in words for words in page.evaluate("window.progress"))
    slips, labels, sheet = pages_printed(page)
    assert slips.count('<section class="of-sheaf"') == orders and labels.count('<section class="of-sheaf"') == posted
    assert "Gathering sheet" in sheet
    pdf = as_pdf(page, slips)
    assert len(pdf.pages) >= orders
    numbers = bench.js("return house.view.openOrders().filter((o) => o.leave_on === args[0]).map((o) => o.number)", day)
    whole = [one.extract_text() for one in pdf.pages]
    assert all(any(number in words for words in whole) for number in numbers)


def test_a_pile_that_is_stopped_prints_what_is_done_and_no_more(bench: Device) -> None:
    bench.page.context.set_offline(True)
    told, said, pages = bench.js(
        """const { printDay } = await import('/rooms/bench/day-pile.js');
          const orders = house.view.openOrders().filter((o) => o.way === 'post').slice(0, 5);
          const stop = new AbortController(), pages = [], said = [];
          const tell = (progress) => { said.push(progress.done); if (progress.done === 2) stop.abort(); };
          const told = await printDay(args[0], orders, tell, stop.signal, async (page) => { pages.push(page); });
          return [told, said, pages];""", MONDAY)  # fmt: skip
    assert told["printed"] == 2 and said == [1, 2]
    assert [page.count('<section class="of-sheaf"') for page in pages[:2]] == [2, 2]
    assert "Gathering sheet" in pages[2] and "2 orders" in pages[2]


def test_a_sheet_is_measured_and_tried_before_a_label_is_wasted(bench: Device) -> None:
    page = shown(bench, "settings/papers")
    field = page.get_by_label("move all to the right by")
    field.fill("-1.5 mm")
    field.blur()
    bench.wait_for("house.view.setting('label_sheet')?.nudge_x === '-1.5 mm'")
    page.get_by_label("width of a label").fill("wide")
    page.get_by_label("width of a label").blur()
    expect(page.get_by_text("“wide” is no length.", exact=True)).to_be_visible()
    assert bench.js("return house.view.setting('label_sheet').width") == "2 5/8 in"
    page.get_by_label("width of a label").fill("2 5/8 in")
    page.get_by_label("width of a label").blur()
    expect(page.get_by_text("“wide” is no length.", exact=True)).to_have_count(0)
    bench.page.context.set_offline(True)
    frames = touched(bench, "settings/papers", "print the test sheet")
    assert frames.split() == [str(number) for number in range(1, 31)]


@pytest.mark.parametrize(("before", "typed"), [("2 5/8 in", "wide"), ("wide", "2 1/2 in"), ("wide", "2.5 in")])
def test_what_is_said_of_a_field_that_was_left_does_not_push_the_key_away_from_the_finger(bench: Device, before: str, typed: str) -> None:
    """It is left by the very touch: the words come, or go, once the finger is lifted, and the key has heard of it."""
    page = shown(bench, "settings/papers")
    field, key = page.get_by_label("width of a label"), page.get_by_role("button", name="print the test sheet")
    field.fill(before)
    field.blur()
    expect(page.get_by_text("“wide” is no length.", exact=True)).to_have_count(int(before == "wide"))
    field.fill(typed)
    key.scroll_into_view_if_needed()
    until_nothing_rests(page)  # the finger of the test before may have been here a moment ago
    key.evaluate("(key) => { window.heard = 0; key.addEventListener('click', () => { window.heard += 1; }, { once: true }); }")
    box = key.bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    expect(field).not_to_be_focused()
    bench.js("await document.querySelector('papers-board').updateComplete; return 0")
    assert key.bounding_box() == box
    page.mouse.up()
    assert page.evaluate("() => window.heard") == 1
    expect(page.get_by_text("“wide” is no length.", exact=True)).to_have_count(int(typed == "wide"))
