"""On the wall and on the table: no blank half, the day as one page, each step of packing and melting in sight with its keys; cautions in ink."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.moments import Looked, at, caller, go, heat_is_known, looked_at, order_to_pack, touch

pytestmark = pytest.mark.browser

TABLET_PX, LAPTOP_PX = (1024, 768), (1440, 900)
OUT_OF_SIGHT = """(which) => [...document.querySelectorAll(which)].filter((part) => {
  const { left, right, top, bottom } = part.getBoundingClientRect();
  const there = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
  return top < 0 || bottom > innerHeight || right > innerWidth || !(part === there || part.contains(there));
}).map((part) => part.textContent.trim() || part.className)"""
BLANK_BELOW = """(which) => { const place = document.querySelector(which).getBoundingClientRect();
  const last = Math.max(...[...document.querySelectorAll(`${which} *`)].filter((one) => one.checkVisibility()).map((one) => one.getBoundingClientRect().bottom));
  return Math.max(0, place.bottom - last) / place.height; }"""
CAUTION = """(words) => [...document.querySelectorAll('main li, main p, main dd')].filter((one) => one.textContent.includes(words) && one.checkVisibility())
  .map((one) => [getComputedStyle(one).color, parseFloat(getComputedStyle(one).fontSize)])"""

BODY_AND_FAINT = """() => { const probe = Object.assign(document.createElement('p'), { className: 'faint' }); document.body.append(probe);
  const faint = getComputedStyle(probe).color; probe.remove(); return [parseFloat(getComputedStyle(document.body).fontSize), faint]; }"""


@pytest.fixture(scope="module")
def shared(chromium: Browser, shown_house: HouseProcess) -> Iterator[Looked]:
    """The tablet of the demo house."""
    with lent(chromium, viewport={"width": 1024, "height": 768}, reduced_motion="reduce") as context:
        yield looked_at(Device(context.new_page(), shown_house.address), shown_house, demo=True)


@pytest.fixture
def looked(shared: Looked) -> Looked:
    resized(shared.page, TABLET_PX)
    return shared


def resized(page: Page, size_px: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size_px[0], "height": size_px[1]})


def test_the_day_is_one_page_while_nobody_is_on_the_line(looked: Looked) -> None:
    """What is to be packed and handed over is counted and named, and a touch goes where it is done."""
    at("counter", "day-list .day-row")(looked)
    page = looked.page
    counted = looked.device.js(
        """const today = house.today(); const open = house.view.openOrders();
           const pack = open.filter((one) => one.way === 'post' && one.state === 'promised' && one.leave_on
             && house.view.linesOf(one.id).every((line) => house.view.waiting(line.id) === 0));
           const first = pack.map((one) => one.leave_on).sort()[0];
           return [pack.filter((one) => one.leave_on === first).length, open.filter((one) => one.way === 'pick_up' && one.leave_on === today).length]"""
    )
    assert counted[0] > 0
    assert counted[1] > 0
    expect(page.locator(".day-row", has_text=re.compile(rf"Pack {counted[0]} parcels?, for Monday"))).to_be_visible()
    hand_over = page.locator(".day-row", has_text=re.compile(rf"Hand over {counted[1]} pick-ups?, they come today"))
    expect(hand_over).to_contain_text("Pell Quarrington")
    hand_over.click()
    expect(page.locator("parcel-board")).to_contain_text("Pell Quarrington")


@pytest.mark.parametrize("size_px", [TABLET_PX, LAPTOP_PX])
def test_no_half_of_the_counter_is_blank(looked: Looked, size_px: tuple[int, int]) -> None:
    """Idle, the shelf stands under the keys in numerals; on a call, the parcel does."""
    resized(looked.page, size_px)
    at("counter", "shelf-glance .numeral")(looked)
    assert looked.page.evaluate(BLANK_BELOW, ".deck") < 1 / 3
    free = looked.device.js("return Math.max(0, house.view.free('bar'))")
    expect(looked.page.locator("shelf-glance .numeral").first).to_have_text(str(free))
    assert looked.page.locator("shelf-glance .numeral").first.evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)") >= 48
    caller(looked, looked.cool_digits)
    touch(looked.page, r"^\s*10\s*$")
    heat_is_known(looked.page)
    expect(looked.page.locator(".besides svg")).to_be_visible()
    assert looked.page.evaluate(BLANK_BELOW, ".deck") < 1 / 3


@pytest.mark.parametrize("size_px", [TABLET_PX, LAPTOP_PX])
def test_the_book_opens_at_a_glance(looked: Looked, size_px: tuple[int, int]) -> None:
    """Nothing is opened yet, and the wider half tells what is open, what is owed and what the till should hold, with the way to each ledger."""
    resized(looked.page, size_px)
    at("book", ".numerals")(looked)
    page = looked.page
    owed = looked.device.js(
        "return [...house.view.orders.values()].filter((one) => one.state === 'gone').reduce((sum, one) => sum + Math.max(0, house.view.owed(one.id)), 0)"
    )
    expect(page.locator(".numerals .numeral").nth(0)).to_have_text(str(looked.device.js("return house.view.openOrders().length")))
    expect(page.locator(".numerals .numeral").nth(1)).to_have_text(f"${owed / 100:.2f}")
    assert page.get_by_role("link", name="the till").count() == 1
    touch(page, "trace a lot")
    expect(page.get_by_role("heading", name="Which lot?")).to_be_visible()


@pytest.mark.parametrize("size_px", [TABLET_PX, LAPTOP_PX])
def test_no_numeral_is_broken(looked: Looked, size_px: tuple[int, int]) -> None:
    resized(looked.page, size_px)
    at("shelf", "shelf-room a.good-row")(looked)
    looked.page.evaluate("() => { document.querySelector('.good-row .count').textContent = '382'; }")
    count = looked.page.locator(".good-row .count").first
    assert count.evaluate("(one) => one.getBoundingClientRect().height / parseFloat(getComputedStyle(one).lineHeight)") < 1.5


def test_a_parcel_on_the_tablet_shows_drawing_step_and_key_at_once(looked: Looked) -> None:
    go(looked, f"bench/{order_to_pack(looked)}")
    page = looked.page
    expect(page.locator(".drawn svg").first).to_be_visible()
    assert page.evaluate(OUT_OF_SIGHT, ".tick-row[data-next] .take, pack-deck .key.say") == []
    drawn, steps = page.locator(".drawn").bounding_box(), page.locator(".in-order").bounding_box()
    assert drawn and steps and drawn["x"] + drawn["width"] <= steps["x"]


def test_a_step_of_melting_on_the_tablet_says_in_sight_that_it_is_done(looked: Looked) -> None:
    """Number keys and the last key are in sight; what was done stands inside the screen, not above its edge."""
    page = looked.page
    for place in ("melt/bottle", "melt/step/cappings", "melt/extract"):
        at(place, "weigh-walk")(looked)
        assert page.evaluate(OUT_OF_SIGHT, ".deck .digits .key, .deck .key.say") == [], place
    go(looked, "melt/bottle")
    page.locator(".digits").get_by_role("button", name="4", exact=True).click()
    page.locator("bottle-deck > .key.say").click()
    expect(page.locator(".done")).to_contain_text("on the shelf")
    assert page.evaluate(OUT_OF_SIGHT, ".deck .done") == []


def test_an_order_before_its_name_has_no_box_to_check(looked: Looked) -> None:
    """The mark of an order's state is a strip; only the steps of packing have squares, which are checked."""
    at("bench", ".order-row")(looked)
    wide, high = looked.page.locator(".order-row .tick").first.evaluate("(one) => [one.offsetWidth, one.offsetHeight]")
    assert wide < high / 2


WAX = ["Melt over water", "under 185 °F (85 °C)", "Never leave it alone", "dry-chemical or CO2 extinguisher", "never water", "Wet cappings spit",
       "do not pull it off, get medical help", "Your local fire and food rules decide"]  # fmt: skip
CAUTIONS = [
    *(("melt/pour", words) for words in WAX), *(("melt/step/cappings", words) for words in WAX), ("melt/extract", "A full pail is about 60 lb"),
    ("melt/extract", "Foulbrood"), ("melt/rest", "foulbrood"), ("melt/rest", "not for babies under 12 months"),
    ("melt/bottle", "not for babies under 12 months"),
]  # fmt: skip


def test_cautions_stand_in_ink_at_the_size_of_all_else(looked: Looked) -> None:
    page = looked.page
    for place in dict(CAUTIONS):
        at(place, ".deck .back")(looked)
        body, faint = page.evaluate(BODY_AND_FAINT)
        for words in (words for where, words in CAUTIONS if where == place):
            found = page.evaluate(CAUTION, words)
            assert found, (place, words)
            assert all(colour != faint and size >= body for colour, size in found), (place, words, found, body)


def test_whoever_takes_honey_hears_for_whom_it_is_not(looked: Looked) -> None:
    """Over the counter too, where nothing is mailed: under the sentence and when it is said."""
    go(looked, "counter")
    page = looked.page
    touch(page, "someone is here now")
    touch(page, "something else")
    touch(page, r"honey jars \(1.lb\)")
    touch(page, r"^\s*1\s*$")
    expect(page.locator(".under", has_text="not for babies under 12 months")).to_be_visible()
    touch(page, "Say it")
    expect(page.locator(".tell", has_text="not for babies under 12 months")).to_be_visible()
    touch(page, "not quite")


def test_wet_honey_is_not_to_be_bottled(looked: Looked) -> None:
    """At and under 18.6 % nothing is said; up to 20 % it may ferment; over it, do not bottle."""
    said = looked.device.js("const { wetHoney } = await import('/parts/safety.js'); return [null, 186, 187, 200, 201].map(wetHoney)")
    assert said[:2] == ["", ""]
    assert all("may ferment" in words and "do not bottle" not in words for words in said[2:4])
    assert "20.1 % water: do not bottle it, it will ferment" in said[4]


def test_a_lot_says_its_measures_in_words(looked: Looked) -> None:
    """Seconds and grams are the records'; a person reads minutes, per cent, pounds."""
    said = looked.device.js(
        """const { measureSaid } = await import('/rooms/book/lot-measures.js');
           return [['cool_s', 2340], ['water_permille', 179], ['color_mm', 38], ['wax_g', 2722], ['fan', 0], ['pours', 10]].map((one) => measureSaid(...one))"""
    )
    assert said == [["cooled", "39 min"], ["water", "17.9 %"], ["color", "38 mm Pfund"], ["wax", "6 lb"], ["fan", "off"], ["pours", "10"]]
    lot = looked.device.js("return [...house.view.lots.values()].find((one) => one.measures?.cool_s).id")
    at(f"book/lot/{lot}", "lot-board h1")(looked)
    expect(looked.page.locator("lot-board")).to_contain_text("39 min")
    assert "cool s" not in looked.page.locator("lot-board").inner_text()


def test_somebody_at_the_counter_is_not_on_the_line(looked: Looked) -> None:
    go(looked, "counter")
    touch(looked.page, "someone is here now")
    touch(looked.page, r"^\s*5\s*$")
    expect(looked.page.locator("counter-room h1")).to_contain_text("Someone here")
    assert "On the line" not in looked.page.locator("counter-room").inner_text()
