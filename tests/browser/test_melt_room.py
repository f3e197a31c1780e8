"""Melt with sticky hands and no signal: timers that survive a reload, a pour that lands, steps by weight that close, a count walk."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from browser.devices import Device, open_anew
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.papers import printed, watch_the_printer
from browser.thumb import until_nothing_rests
from honeyhold.stock.stages import STAGES
from honeyhold.stock.units import weight_words

pytestmark = pytest.mark.browser

PHONE_PX = {"width": 390, "height": 844}
SUMS = """return Object.fromEntries([...house.view.board.moved].map(([good, sums]) => [good,
  Object.fromEntries([...sums].filter(([, units]) => units))]))"""


@pytest.fixture(scope="module")
def melt_context(chromium: Browser, house_of_the_file: HouseProcess) -> Iterator[BrowserContext]:
    """A keeper's phone that keeps wax and honey by weight, from one touch in Melt."""
    with lent(chromium, viewport=PHONE_PX, has_touch=True, kernel=True) as context:
        device = Device(context.new_page(), house_of_the_file.address)
        device.enrol(house_of_the_file.code(), "Melt phone")
        page = context.pages[0]
        page.goto(f"{house_of_the_file.address}/#melt")
        page.get_by_role("button", name="keep them by weight").tap()
        expect(page.get_by_text("An extraction brings the first")).to_be_visible()
        device.load()
        device.wait_for("house.status.inHand === 0")  # what is counted in the tests is theirs
        yield context


@pytest.fixture
def melt(melt_context: BrowserContext, house_of_the_file: HouseProcess) -> Device:
    """The phone in Melt, nothing being poured."""
    page = melt_context.pages[0]
    page.evaluate("localStorage.removeItem('honeyhold.pour')")
    open_anew(page, house_of_the_file.address, "melt")
    expect(page.get_by_role("heading", name="This morning")).to_be_visible()
    return Device(page, house_of_the_file.address, load=False)


def weigh(page: Page, words: str, text: str) -> None:
    """Chooses a figure and types it on the pad."""
    page.get_by_role("group", name="What to weigh").get_by_role("button", name=words).tap()
    for digit in text:
        page.locator("number-pad").get_by_role("button", name="point" if digit == "." else digit, exact=True).tap()


def tap(page: Page, words: str) -> None:
    """Taps the key with these words."""
    page.locator(".deck").get_by_role("button", name=re.compile(words)).first.tap()


def test_the_stages_in_the_browser_are_those_of_the_trade(melt: Device) -> None:
    """Names, order and letters of lots are written once in Python; the page must say the same."""
    told = melt.js("""const { STAGES } = await import('/parts/weighing.js'); const { letterOf } = await import('/store/stocking.js');
      return STAGES.map(({ good, name }) => [good, name, letterOf(good)])""")  # fmt: skip
    assert told == [[stage.good, stage.name, stage.letter] for stage in STAGES]


def test_from_the_comb_to_the_shelf_without_signal(melt: Device, melt_context: BrowserContext, house_of_the_file: HouseProcess) -> None:
    """Extraction, first melt, dip, two screens, by touch; each step says what it lost, and the house agrees to the gram."""
    page = melt.page
    melt.wait_for_shell()
    melt_context.set_offline(True)
    try:
        page.goto(f"{house_of_the_file.address}/#melt/extract")
        page.get_by_role("button", name="g", exact=True).tap()
        weigh(page, "a bucket", "27000")
        tap(page, "this bucket")
        weigh(page, "drained cappings", "9000")
        tap(page, "to the book")
        expect(page.get_by_role("status").filter(has_text="extracted")).to_be_visible()
        for step, (out, grams) in {"cappings": ("first melt out", "3000"), "wax_melted": ("dipped wax out", "2950"),
                                   "wax_dipped": ("coarse screened wax out", "2900"), "wax_coarse": ("fine screened wax out", "2880")}.items():  # fmt: skip
            page.goto(f"{house_of_the_file.address}/#melt/step/{step}")
            weigh(page, out, grams)
            if step == "cappings":
                weigh(page, "honey from the cappings out", "5500")
            entries = melt.status()["inHand"]
            tap(page, "done")
            melt.wait_for(f"house.status.inHand === {entries + 1}")
        assert melt.js("return house.view.onHand('wax_fine')") == 2880
        assert melt.status()["inHand"] == 5
    finally:
        melt_context.set_offline(False)
    melt.wait_for("house.status.inHand === 0")
    assert melt.status()["needsYou"] == []
    sums = melt.js(SUMS)
    year = melt.js("return house.today().slice(0, 4)")
    assert sums["cappings"] == {f"made {year}": 9000, f"passed {year}": -8500, f"lost {year}": -500}
    assert sums["wax_coarse"] == {f"came {year}": 2900, f"passed {year}": -2880, f"lost {year}": -20}
    assert house_of_the_file.in_person(lambda house: house.check()) == []
    traced = melt.js("return house.call(`/api/lots/${house.view.lotBalance('wax_fine')[0].lot}/trace`)")
    assert [lot["lot"][0] for lot in traced["made_from"]] == ["S", "D", "M", "K", "H"]


def test_a_pour_survives_a_reload_and_lands(melt: Device, melt_context: BrowserContext, house_of_the_file: HouseProcess) -> None:
    """Poured and cooling, the page is loaded again without signal: the timer is where it was; knocked out, looked over, to the shelf."""
    page = melt.page
    page.goto(f"{house_of_the_file.address}/#melt/pour")
    bars = melt.js("return house.view.onHand('bar')")
    melt.wait_for_shell()
    melt_context.set_offline(True)
    try:
        tap(page, "another mold set")
        tap(page, "set 1")
        expect(page.locator(".mould-key").first).to_contain_text("knock out")
        page.evaluate("""() => { const pour = JSON.parse(localStorage.getItem('honeyhold.pour')); pour.sets[0].at -= 30 * 60_000;
          localStorage.setItem('honeyhold.pour', JSON.stringify(pour)); }""")
        page.reload()
        expect(page.locator(".mould-key")).to_have_count(2)
        expect(page.locator(".mould-key").first).to_contain_text(re.compile(r"cool 1[45]:\d\d more"))
        tap(page, "set 1")
        expect(page.locator(".mould-key").first).to_contain_text("cooled 30 min")
        tap(page, "step back")
        expect(page.locator(".mould-key").first).to_contain_text(re.compile(r"cool 1[45]:\d\d more"))
        tap(page, "set 1")
        tap(page, "set 1")
        tap(page, "^2")
        expect(page.get_by_text("On the tray: 8 good, 2 specked from 1 pour")).to_be_visible()
        page.reload()
        expect(page.get_by_text("On the tray: 8 good, 2 specked from 1 pour")).to_be_visible()
        tap(page, "8 .* to the shelf")
        expect(page.get_by_role("status").filter(has_text="2 to melt again")).to_be_visible()
        labels = page.get_by_role("link", name="print its labels")
        lot = str(labels.get_attribute("href")).rsplit("/", 1)[1]
        labels.click()
        expect(page.get_by_role("group", name="Of which lot").locator("[aria-pressed=true]")).to_contain_text(lot)
        expect(page.get_by_role("button", name="print 8 labels")).to_be_visible()
    finally:
        melt_context.set_offline(False)
    melt.load()
    melt.wait_for("house.status.inHand === 0")
    assert melt.js("return house.view.onHand('bar')") == bars + 8 and melt.status()["needsYou"] == []
    lot = melt.js("return [...house.view.lots.values()].filter((lot) => lot.good === 'bar').at(-1)")
    assert (lot["measures"]["poured"], lot["measures"]["specked"], lot["measures"]["cool_s"] // 60) == (10, 2, 30)
    assert melt.js("return house.view.onHand('wax_back')") > 0


def test_a_weight_that_stands_there_is_typed_over_and_not_added_to(melt: Device, house_of_the_file: HouseProcess) -> None:
    """Twelve jars hold more or less than their label says: what is weighed is written down, to the gram, and C brings the label's back."""
    page = melt.page
    melt.js("await acts.extract({ buckets_g: [20000] })")
    page.goto(f"{house_of_the_file.address}/#melt/bottle")
    page.get_by_role("group", name="Into which jar").get_by_role("button").first.tap()
    weigh(page, "filled", "12")
    weigh(page, "honey in them", "")
    page.get_by_role("button", name="lb", exact=True).tap()
    typed = page.locator("number-pad input")
    expect(typed).to_have_value("")
    by_label_g = 12 * melt.js("const { madeGoods } = await import('/parts/weighing.js'); return madeGoods('honey')[0].net_g")
    assert float(str(typed.get_attribute("placeholder"))) == pytest.approx(by_label_g / 453.59237, abs=0.006)
    weigh(page, "honey in them", "12.4")
    expect(typed).to_have_value("12.4")
    page.get_by_role("button", name="g", exact=True).tap()
    expect(typed).to_have_value("5625")
    weigh(page, "honey in them", "56")
    expect(typed).to_have_value("56")
    page.get_by_role("button", name="take all figures away").tap()
    expect(page.get_by_role("group", name="What to weigh").get_by_role("button", name="honey in them")).to_contain_text(weight_words(by_label_g))
    page.get_by_role("button", name="lb", exact=True).tap()
    weigh(page, "honey in them", "12.4")
    used = f"used {melt.js('return house.today().slice(0, 4)')}"
    before = melt.js(SUMS)["honey_bulk"].get(used, 0)
    tap(page, "to the shelf")
    expect(page.get_by_role("status").filter(has_text="on the shelf")).to_be_visible()
    assert melt.js(SUMS)["honey_bulk"][used] - before == -5625
    assert melt.exchange() and melt.status()["needsYou"] == [] and house_of_the_file.in_person(lambda house: house.check()) == []


def test_a_step_undone_leaves_every_sum_as_before(melt: Device, house_of_the_file: HouseProcess) -> None:
    before = melt.js(SUMS)
    op = melt.js("return acts.extract({ buckets_g: [20000, 21000], cappings_g: 3000 }).then((done) => done.op)")
    assert melt.js(SUMS) != before
    melt.js("await acts.undo(args[0])", op)
    assert melt.exchange() and melt.js(SUMS) == before and melt.status()["needsYou"] == []
    assert house_of_the_file.in_person(lambda house: house.check()) == []


@pytest.mark.parametrize(
    ("act", "field"),
    [
        ("acts.pass({ from: 'cappings', grams: 100, to: [{ good: 'wax_melted', units: 101 }] })", "to"),
        ("acts.pass({ from: 'cappings', grams: 100, to: [] })", "to"),
        ("acts.extract({ buckets_g: [] })", "buckets_g"),
        ("acts.pour({ good: 'bar', units: 1, specked: 9, poured_g: 100, back_g: 100 })", "back_g"),
        ("acts.bottle({ from: 'honey_bulk', used_g: 0, lost_g: 0, jars: [{ good: 'bar', units: 1 }] })", "honey_bulk"),
    ],
)
def test_what_cannot_be_is_said_before_it_is_written(melt: Device, act: str, field: str) -> None:
    told = melt.js(f"return ({act}).then(() => null, (error) => [error.kind, error.field, Boolean(error.remedy)])")
    assert told == ["draft", field, True]


def test_the_shelf_is_walked_and_hurt_promises_are_named(melt: Device, house_of_the_file: HouseProcess) -> None:
    """Ten fewer than the book, and they are broken: a movement with its reason, the promise it hurts with its number, an undo."""
    page = melt.page
    on_hand = melt.js("return house.view.onHand('bar')")
    melt.js("await house.ask('bar', args[0], 5)", on_hand)
    free = melt.js("return house.share('bar')")
    ruth = {"name": "Ruth Amsel", "phone": "+12185550142"}
    melt.promise(free, person=ruth, way="pick_up")
    melt.exchange()
    page.evaluate("localStorage.removeItem('honeyhold.walk')")
    page.goto(f"{house_of_the_file.address}/#shelf/walk")
    stops = melt.js("return house.view.lotBalance('bar')")
    fewer = melt.js("return house.view.free('bar')") + 10
    for digit in str(stops[0]["units"] - fewer):
        page.locator("number-pad").get_by_role("button", name=digit, exact=True).tap()
    expect(page.get_by_text(f"{fewer} fewer than the book. Why?")).to_be_visible()
    tap(page, "broken")
    expect(page.get_by_role("alert").filter(has_text="Too few for these orders")).to_contain_text("218-555-0142")
    year = melt.js("return house.today().slice(0, 4)")
    assert melt.js(SUMS)["bar"][f"broken {year}"] == -fewer
    page.reload()
    expect(page.get_by_text(f"{fewer} fewer")).to_be_visible()
    until_nothing_rests(page)
    page.locator("undo-key button").first.tap()
    melt.load()
    melt.wait_for(f"!house.view.board.moved.get('bar').get('broken {year}')")
    assert melt.exchange() and f"broken {year}" not in melt.js(SUMS)["bar"]
    page.evaluate("localStorage.removeItem('honeyhold.walk')")


def test_a_lot_is_recalled_without_signal(melt: Device, melt_context: BrowserContext, house_of_the_file: HouseProcess) -> None:
    """Who has it, with the number, from this device alone, and how complete that is; then all of it from the house."""
    page = melt.page
    lot = melt.js("return house.view.lotBalance('bar')[0].lot")
    melt.js("await house.ask('bar', 2, 5)")
    melt.js("""await acts.sell({ person: { name: 'Orla Tennick', phone: '+12185550114' }, lines: [{ good: 'bar', units: 2 }], pays: 'cash' })""")
    melt.exchange()
    melt.wait_for("house.status.kernel.state === 'awake'", 90)
    melt.wait_for_shell()
    melt_context.set_offline(True)
    try:
        page.goto(f"{house_of_the_file.address}/#book/lot/{lot}")
        expect(page.get_by_text("from this device: orders since")).to_be_visible()
        expect(page.locator("lot-board")).to_contain_text("Orla Tennick, 2, 218-555-0114")
        watch_the_printer(page)
        tap_in = page.get_by_role("button", name="print the recall sheet")
        tap_in.tap()
        expect(page.get_by_role("status").filter(has_text="Printed from this device")).to_be_visible()
        (sheet,) = printed(page)
        assert "Orla Tennick" in sheet and "218-555-0114" in sheet and "2 wax bars" in sheet
    finally:
        melt_context.set_offline(False)
    page.goto(f"{house_of_the_file.address}/#book")
    melt.wait_for("house.status.signal === 'shared'")
    page.goto(f"{house_of_the_file.address}/#book/lot/{lot}")
    expect(page.locator("lot-board")).to_contain_text("Orla Tennick")
    expect(page.get_by_text("Complete only with signal")).to_have_count(0)


def test_the_season_is_told_to_the_gram(melt: Device, house_of_the_file: HouseProcess) -> None:
    """What was extracted and melted in the tests above, and no sum that does not close."""
    page = melt.page
    page.goto(f"{house_of_the_file.address}/#book/season/")
    expect(page.locator("season-board")).to_contain_text("passed on to melting")
    expect(page.locator("season-board")).to_contain_text("came off the cappings")
    expect(page.locator("season-board").get_by_role("alert")).to_have_count(0)
