"""What was on the screen at the moment of the touch is what stands in the operation: slow answers, two windows, a call in between."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from browser.devices import Device, settled
from browser.house_process import HouseProcess
from browser.kept_phones import lent
from browser.packing import season
from browser.slow_line import SlowLine
from honeyhold.house.house import House
from replication.houses import movement

pytestmark = pytest.mark.browser

PHONE = {"width": 390, "height": 844}
LONG_MS = 60_000
DULUTH = {"street": "41 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"}
PHOENIX = {"street": "7 Ocotillo Way", "city": "Phoenix", "state": "AZ", "zip": "85004"}
TABLE = "row,service,zone,up_to_oz,what,over,cents,example\n" + "".join(
    f"price,ground,{zone},{up_to},,,{100 * zone + cents},\n" for zone in range(1, 10) for up_to, cents in ((16, 700), (48, 950), (400, 1800))
)
NEW_ORDERS = "return [...house.view.orders.values()].filter((o) => o.number.startsWith(`${house.status.device.mark}-`))"
PATIENT = "((honest) => { AbortSignal.timeout = (ms) => honest(20 * ms); })(AbortSignal.timeout.bind(AbortSignal))"
"""An answer that is held is only late: on a machine with much else to do the page must not have given it up meanwhile."""
OWN_SENTENCES = """const { read } = await import('/store/database.js');
    return (await read(['sentences'], (tx) => tx.objectStore('sentences').getAll())).map(({ id, owner, draft }) => ({ id, owner, lines: draft.lines, amends: draft.amends }))"""


def _stock(house: House) -> None:
    season(house)
    house.write("buy", [movement("bar", 2000, "opening")])


@pytest.fixture(scope="module")
def stock(tmp_path_factory: pytest.TempPathFactory) -> HouseProcess:
    """The records of the demo house with bars for every device, to be copied."""
    return HouseProcess(tmp_path_factory.mktemp("stock") / "data", _stock)


@pytest.fixture
def stocked(stock: HouseProcess, tmp_path_factory: pytest.TempPathFactory) -> Iterator[HouseProcess]:
    """The demo house with bars for every device, this test's own."""
    with HouseProcess.copied(stock, tmp_path_factory.mktemp("read") / "data").running() as house:
        yield house


@pytest.fixture
def line(stocked: HouseProcess) -> Iterator[SlowLine]:
    """No kernel here: every answer comes from the main computer, over this line."""
    slow = SlowLine(stocked)
    yield slow
    slow.let_go()
    slow.close()


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    with lent(chromium, viewport=PHONE, has_touch=True) as made:
        yield made


@pytest.fixture
def phone(context: BrowserContext, stocked: HouseProcess, line: SlowLine) -> Device:
    page = context.new_page()
    page.add_init_script(PATIENT)
    device = Device(page, line.address)
    device.enrol(stocked.code(), "Shed phone")
    device.hold(20)
    return device


def compose(device: Device, units: int = 10, place: dict[str, str] = DULUTH, way: str = "post") -> Page:
    """A call as far as the sentence, as a version before this one would have kept it."""
    fresh = {"name": "Orla", "phone": "", "unit": "", **place}
    kept: dict[str, Any] = {"fresh": fresh, "lines": [{"good": "bar", "units": units, "settled": True}], "way": way, "started": 1}
    device.js("localStorage.setItem('honeyhold.draft', JSON.stringify(args[0]))", kept)
    device.page.goto(f"{device.address}/#counter")
    device.page.reload()
    device.load()
    expect(device.page.locator("counter-room .sentence")).to_contain_text("Orla")
    return device.page


def move_to(page: Page, place: dict[str, str]) -> None:
    """The caller says another address."""
    page.locator("[data-blank=where]").click()
    for name, words in place.items():
        page.locator(f"deck-where input[name={name}]").fill(words)
    page.locator("deck-where button.on").click()


def test_promised_at_once_after_another_place_keeps_nothing_of_the_first(phone: Device, line: SlowLine) -> None:
    page = compose(phone)
    expect(page.locator("counter-room dl.under dt", has_text="heat")).to_be_visible(timeout=LONG_MS)
    expect(page.locator("counter-room dl.under")).to_contain_text("By the", timeout=LONG_MS)
    line.hold()
    move_to(page, PHOENIX)
    key = page.locator("counter-room .key.say")
    expect(key).to_contain_text("without")
    expect(page.locator("counter-room dl.under")).not_to_contain_text("By the")
    key.click()
    expect(page.locator("read-back")).to_contain_text("Phoenix")
    expect(page.locator("read-back .tell")).to_contain_text("not known yet")
    read = page.locator("read-back .board").inner_text()
    with page.expect_event("requestfinished", lambda asked: "/api/work/" in asked.url):
        line.let_go()
    settled(page)  # the answer came, and must have changed nothing
    assert page.locator("read-back .board").inner_text() == read
    page.locator("read-back .key.say").click()
    expect(page.locator("order-promised h1")).to_have_text("Promised")
    [order] = phone.js(NEW_ORDERS)
    assert (order["heat"], order["told"]) == ("not known when promised", {})


def test_what_nobody_could_work_out_is_read_to_the_caller_as_not_known(phone: Device, line: SlowLine) -> None:
    """No kernel and no signal: the order will say that heat was not known, so the caller hears it."""
    page = compose(phone)
    phone.page.context.set_offline(True)
    phone.js("await house.exchange()")
    move_to(page, PHOENIX)
    key = page.locator("counter-room .key.say")
    expect(key).to_be_enabled()
    expect(key).not_to_contain_text("without", timeout=LONG_MS)  # nothing is out any more
    key.click()
    expect(page.locator("read-back .tell").last).to_contain_text("Read without the carton and heat: not known yet.")
    page.locator("read-back .key.say").click()
    expect(page.locator("order-promised h1")).to_have_text("Promised")
    [order] = phone.js(NEW_ORDERS)
    assert (order["heat"], order["told"]) == ("not known when promised", {})


def test_a_promised_order_never_comes_back_as_a_draft(phone: Device, line: SlowLine) -> None:
    """The table's price comes after the promise: the order keeps what was read, and the next call finds an empty sentence."""
    phone.js("await acts.setHouse('posting_prices', args[0])", TABLE)
    line.hold()
    page = compose(phone)
    expect(page.locator("counter-room .sentence")).to_contain_text("plus mailing")
    page.locator("counter-room .key.say").click()
    page.locator("read-back .key.say").click()
    expect(page.locator("order-promised h1")).to_have_text("Promised")
    before = len(line.answered)
    line.let_go()
    page.wait_for_function("() => true")
    phone.js("await (await import('/kernel/work.js')).work('stock.melt_by', {}).catch(() => {})")  # asked last, answered last
    assert len(line.answered) > before
    assert phone.js(OWN_SENTENCES) == []
    [order] = phone.js(NEW_ORDERS)
    assert order["posting_cents"] == 0
    page.reload()
    phone.load()
    expect(page.locator("counter-room h1")).to_have_text("Next call")
    expect(page.locator("counter-room [data-blank=who]")).to_have_text("Who?")


def bars_only(device: Device, units: int) -> str:
    """An order by mail of so many bars and nothing else, promised here."""
    person = {"name": f"Caller {units}", "phone": "", **DULUTH}
    return str(device.js("await house.ask('bar', args[1], 5); return (await acts.promise({ person: args[0], way: 'post', leave_on: house.today(), lines: [{ good: 'bar', units: args[1] }] })).order", person, units))


def test_the_bench_packs_by_no_other_orders_plan(phone: Device, line: SlowLine) -> None:
    large, small = bars_only(phone, 40), bars_only(phone, 2)
    page = phone.page
    page.goto(f"{line.address}/#bench/{large}")
    expect(page.locator("parcel-board h1.carton")).to_be_visible(timeout=LONG_MS)
    line.hold()
    page.goto(f"{line.address}/#bench/{small}")
    expect(page.locator("parcel-board")).to_contain_text("Caller 2")
    expect(page.locator("parcel-board h1")).to_have_text("choosing the carton …")
    assert phone.js("return document.querySelector('pack-deck').answer") is None  # nothing of the first order's plan is left
    packed = page.locator("pack-deck .key.say")
    expect(packed).to_be_disabled()
    line.let_go()
    packed.click(timeout=LONG_MS)
    phone.wait_for(f"house.view.orders.get('{small}').state === 'packed'")
    [parcel] = phone.js("return house.view.parcelsOf(args[0])", small)
    assert parcel["plan"]["contents"] == {"bar": 2} and parcel["gross_g"] < 500


CHANGES = {
    "another order": "await acts.amend(args[0], { lines: [{ good: 'bar', units: 2 }] });",
    "another stock": """for (const { lot, units } of house.view.lotBalance(args[1])) if (units > 0) await acts.count(args[1], lot, 0);""",
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_plan_of_what_was_there_a_moment_ago_packs_nothing(phone: Device, line: SlowLine, change: str) -> None:
    """Written by another window, and Packed is touched before the board is drawn anew: the plan that stands there is of yesterday."""
    order = bars_only(phone, 40)
    page = phone.page
    page.goto(f"{line.address}/#bench/{order}")
    expect(page.locator("parcel-board h1.carton")).to_be_visible(timeout=LONG_MS)
    used = phone.js("return document.querySelector('pack-deck').answer.parcel.parcels[0].carton")
    line.hold()
    phone.js(f"{CHANGES[change]} document.querySelector('pack-deck .key.say').click();", order, used)
    phone.js("await (await import('/store/log.js')).append(() => null).catch(() => {})")  # whatever was being written is written by now
    assert phone.js("return house.view.orders.get(args[0]).state", order) == "promised"
    line.let_go()
    page.locator("pack-deck .key.say").click(timeout=LONG_MS)
    phone.wait_for(f"house.view.orders.get('{order}').state === 'packed'")
    [parcel] = phone.js("return house.view.parcelsOf(args[0])", order)
    assert parcel["plan"]["contents"] == {"bar": 2 if change == "another order" else 40}
    assert change == "another order" or parcel["carton"] != used


def test_two_windows_take_one_order_once(phone: Device, line: SlowLine, context: BrowserContext) -> None:
    page = compose(phone, way="pick_up")
    other = Device(context.new_page(), f"{line.address}/#counter")
    expect(other.page.locator(".parked")).to_contain_text("being written in another window")
    other.page.locator(".parked .key").click()
    expect(other.page.locator("counter-room .sentence")).to_contain_text("Orla")
    expect(page.get_by_role("alert")).to_contain_text("being written in another window now")
    expect(page.locator("counter-room .key.say")).to_have_count(0)
    other.page.locator("counter-room .key.say").click()
    other.page.locator("read-back .key.say").click()
    expect(other.page.locator("order-promised h1")).to_have_text("Promised")
    assert len(other.js(NEW_ORDERS)) == 1
    expect(page.locator(".parked")).to_have_count(0)


def test_one_sentence_becomes_one_order_whoever_writes_it(phone: Device, line: SlowLine, context: BrowserContext) -> None:
    """Both windows believe it is theirs and promise it in the same moment: the device writes one of them."""
    other = Device(context.new_page(), line.address)
    phone.js("window.sentence = args[0]", "0b8f2f0a-6d9c-4c0e-9c3a-5c8f5b1d7e11")
    promise = """return acts.promise({ sentence: args[0], person: { name: 'Orla', phone: '' }, way: 'pick_up', lines: [{ good: 'bar', units: 2 }] })
        .then(({ order }) => order, (error) => error.kind)"""
    sentence = phone.js("return window.sentence")
    both = [device.page.evaluate_handle(f"(args) => (async () => {{ {promise} }})()", [sentence]) for device in (phone, other)]
    assert sorted(one.json_value() for one in both) == sorted([sentence, "taken"])
    assert phone.js(promise, sentence) == "taken"
    assert len([order for order in phone.js(NEW_ORDERS) if order["id"] == sentence]) == 1


def test_two_calls_at_once(phone: Device) -> None:
    """One is put on hold for another; both hold their bars, also after a reload, and neither is lost."""
    page = compose(phone, way="pick_up", units=10)
    page.get_by_role("button", name="another call").click()
    expect(page.locator(".parked")).to_contain_text("10 wax bars")
    page.get_by_role("button", name="someone is here now").click()
    page.get_by_role("button", name="5", exact=True).click()
    expect(page.locator("counter-room .sentence")).to_contain_text("Someone")
    phone.js("await (await import('/store/sentences.js')).sentences.settled()")
    page.reload()
    phone.load()
    expect(page.locator("counter-room .sentence")).to_contain_text("5 wax bars")
    mine = phone.js("return (await import('/store/sentences.js')).sentences.mine.id")
    left, whole = phone.js("return [house.share('bar', args[0]), known.share.granted.bar - (known.share.spent.bar ?? 0)]", mine)
    assert left == whole - 10
    assert phone.js("return (await import('/store/wishes.js')).wishes(house.today()).callers.bar") == 15
    assert phone.js("return (await import('/store/turn.js')).betweenOrders(async () => {})") is False
    page.locator(".parked .key").click()
    expect(page.locator("counter-room .sentence")).to_contain_text("10 wax bars")
    page.locator("counter-room .key.say").click()
    page.locator("read-back .key.say").click()
    page.get_by_role("button", name="Next call").click()
    expect(page.locator(".parked")).to_contain_text("5 wax bars")
    page.locator(".parked .key").click()
    page.locator("counter-room").get_by_role("button", name="start over").click()
    phone.wait_for("(await import('/store/database.js')).read(['sentences'], (tx) => tx.objectStore('sentences').count()).then((n) => n === 0)")
    assert phone.js("return (await import('/store/turn.js')).betweenOrders(async () => {})") is True


def test_changing_an_order_puts_a_half_made_sentence_on_hold(phone: Device, line: SlowLine) -> None:
    order = bars_only(phone, 3)
    page = compose(phone, way="pick_up", units=7)
    page.goto(f"{line.address}/#counter/change/{order}")
    expect(page.locator("counter-room h1")).to_contain_text("Changing order")
    expect(page.locator(".parked")).to_contain_text("7 wax bars")
    page.locator(".parked .key").click()
    expect(page.locator("counter-room .sentence")).to_contain_text("7 wax bars")
    expect(page.locator(".parked")).to_contain_text("Changing order")


HELD_BACK = """const { sentences } = await import('/store/sentences.js');
    const open = sentences.open;
    sentences.open = async (...asked) => {
      const taken = await open(...asked);
      document.querySelector('[data-blank=pays]').click();
      await document.querySelector('counter-room').updateComplete;
      [...document.querySelectorAll('.deck button')].find((key) => key.textContent.includes('check in the mail')).click();
      window.touched_between = sentences.mine.draft.lines[0].units;
      return taken;
    };"""
"""Another sentence is this window's already, and the one before still stands on the screen: something is touched in that moment."""


def test_a_touch_while_another_sentence_is_taken_up_is_not_written_into_it(phone: Device) -> None:
    order = bars_only(phone, 3)
    page = compose(phone, way="pick_up", units=7)
    page.goto(f"{phone.address}/#counter/change/{order}")
    expect(page.locator("counter-room h1")).to_contain_text("Changing order")
    expect(page.locator(".parked")).to_contain_text("7 wax bars")
    phone.js(HELD_BACK)
    page.locator(".parked .key").click()
    expect(page.locator("counter-room .sentence")).to_contain_text("7 wax bars")
    assert page.evaluate("window.touched_between") == 7
    expect(page.locator(".parked")).to_contain_text("Changing order")


LATE_LOCKS = """const honest = navigator.locks.request.bind(navigator.locks);
    navigator.locks.request = (name, options, work) => honest(name, options, async (lock) => {
      const kept = await work(lock);
      if (String(name).startsWith('honeyhold-sentence-')) await new Promise((done) => setTimeout(done, 300));
      return kept;
    });"""
"""A browser with much to do: a lock that was given back is free a moment later."""


def test_a_sentence_parked_a_moment_ago_is_taken_up_by_the_first_touch(phone: Device) -> None:
    """What was parked gives its lock back a little later than it says so: the touch waits for that, and is not lost."""
    compose(phone, way="pick_up", units=7)
    taken = phone.js(
        f"""{LATE_LOCKS}
        const {{ sentences }} = await import('/store/sentences.js');
        const draft = structuredClone(sentences.mine.draft);
        const first = sentences.mine.id;
        await sentences.park();
        sentences.write({{ ...draft, lines: [{{ good: 'bar', units: 3, settled: true }}] }});
        const second = sentences.mine.id;
        const ways = [];
        for (const id of [first, second, first]) ways.push([await sentences.open(id), sentences.mine.id === id]);
        return ways;"""
    )
    assert taken == [[True, True]] * 3


def test_a_sentence_that_cannot_be_taken_up_leaves_this_windows_own(phone: Device) -> None:
    compose(phone, way="pick_up", units=7)
    assert phone.js(
        """const { sentences } = await import('/store/sentences.js'); const own = sentences.mine.id;
           return [await sentences.open(crypto.randomUUID()), sentences.mine?.id === own]"""
    ) == [False, True]


def test_less_is_sure_by_now_than_was_read(phone: Device) -> None:
    """Another window promised the rest meanwhile: nothing is written, and it says what to do."""
    page = compose(phone, way="pick_up", units=10)
    page.locator("counter-room .key.say").click()
    phone.js("Object.assign(window, await import('/store/database.js'))")  # while it can be had
    phone.cut_off()  # the house would grant this device more
    phone.js("known.share = { granted: known.share.granted, spent: { ...known.share.spent, bar: known.share.granted.bar - 4 } };"
             "await write(['keep'], (tx) => tx.objectStore('keep').put(known.share, 'share'))")  # fmt: skip
    page.locator("read-back .key.say").click()
    expect(page.get_by_role("alert")).to_contain_text("Only 4 of 10 wax bars are sure by now")
    assert phone.js(NEW_ORDERS) == []
    assert json.dumps(phone.js(OWN_SENTENCES)).count('"bar"') == 1


def test_an_order_that_is_there_already_needs_nobody(phone: Device, chromium: Browser, stocked: HouseProcess, line: SlowLine) -> None:
    """The same sentence reached the main computer from elsewhere (a copied profile): it stays one order, and nobody is alarmed."""
    sentence = "3f0d7c1e-52a4-4c0e-8c3a-5c8f5b1d7e22"
    promise = """return acts.promise({ sentence: args[0], person: { name: 'Orla', phone: '' }, way: 'pick_up', lines: [{ good: 'bar', units: 2 }] })"""
    phone.js(promise, sentence)
    assert phone.exchange()
    with lent(chromium, viewport=PHONE, has_touch=True) as made:
        other = Device(made.new_page(), line.address)
        other.enrol(stocked.code(), "Copy")
        other.hold(5)
        other.js(promise, sentence)
        assert other.exchange()
        status = other.status()
        assert (status["needsYou"], status["inHand"]) == ([], 0)
        assert other.js("return [...house.view.orders.values()].filter((o) => o.id === args[0]).length", sentence) == 1
