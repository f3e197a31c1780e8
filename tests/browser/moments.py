"""The moments of a day at which a screen is looked at: each room, and each state a call can be in, brought about as a person would."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime

from demo_seed.goods_of_stages import stage_good_rows
from demo_seed.nine_lindens import carton_rows
from playwright.sync_api import Page, expect

from browser.devices import Device
from browser.house_process import HouseProcess, goods_and_bars
from browser.kept_phones import LEFT_ASLEEP
from demo_seed import play
from honeyhold.house.house import House
from replication.houses import movement

SATURDAY = datetime(2027, 7, 24, 15, tzinfo=UTC)
WAIT_MS = 60_000
COOL = {"name": "Ruth Amsel", "phone": "+12185550142", "street": "4 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"}
HOT = {"name": "Noor Amin", "phone": "+14805550143", "street": "90 Larkwater Ln", "city": "Tempe", "state": "AZ", "zip": "85281"}


def demo_seed(house: House) -> None:
    """The demo's week, on its Saturday."""
    house.make_demo()
    house.clock.set(SATURDAY)
    play(house)


def own_seed(house: House) -> None:
    """Somebody's own house: two goods, the usual cartons, and nobody's orders yet."""
    goods_and_bars(house)
    goods, cartons = carton_rows()
    name = {"table": "setting", "id": "name", "value": "Alder Hill Honey"}
    house.write("set_good", [*goods, *cartons, *stage_good_rows()])
    house.write("set_house", [name, {"table": "setting", "id": "zip", "value": "54843"}])
    house.write("buy", [movement("pint", 24), *(movement(one["id"], 20) for one in cartons)])


@dataclass(frozen=True)
class Looked:
    """A device at a house, and who rings there."""

    device: Device
    cool_digits: str
    hot_digits: str

    @property
    def page(self) -> Page:
        return self.device.page


@dataclass(frozen=True)
class Moment:
    """`name` for the caption, `arrange` brings it about; `offline` while the network is pulled."""

    name: str
    arrange: Callable[[Looked], None]
    offline: bool = False


@contextmanager
def in_place(looked: Looked, moment: Moment) -> Iterator[Page]:
    """The page at that moment; afterwards there is signal again."""
    looked.page.context.set_offline(moment.offline)
    try:
        moment.arrange(looked)
        yield looked.page
    finally:
        looked.page.context.set_offline(False)


def go(looked: Looked, place: str) -> None:
    """To a place, with no sentence kept from before."""
    page, address = looked.page, looked.device.address
    page.goto(f"{address}/#settings/needs")
    expect(page.locator("needs-board")).to_be_visible(timeout=WAIT_MS)
    page.evaluate("async () => { await (await import('/store/sentences.js')).sentences.drop(); }")
    page.goto(f"{address}/#{place}")
    expect(page.locator(f"{place.partition('/')[0]}-room")).to_be_attached(timeout=WAIT_MS)
    page.wait_for_function("() => !document.querySelector('needs-board')", timeout=WAIT_MS)


def touch(page: Page, words: str) -> None:
    """The first key in sight that says so."""
    page.locator("button:visible, a:visible, summary:visible", has_text=re.compile(words)).first.click(timeout=WAIT_MS)


def at(place: str, settled: str = "main") -> Callable[[Looked], None]:
    """A room as one enters it, once what it waits for is there."""

    def arrange(looked: Looked) -> None:
        go(looked, place)
        expect(looked.page.locator(settled).first).to_be_visible(timeout=WAIT_MS)

    return arrange


def caller(looked: Looked, digits: str) -> None:
    """Somebody rings and is found by three digits."""
    go(looked, "counter")
    for digit in digits:
        looked.page.locator(".digits").get_by_role("button", name=digit, exact=True).click()
    looked.page.locator(".found .first").click()
    expect(looked.page.get_by_role("button", name="10", exact=True)).to_be_visible(timeout=WAIT_MS)


def heat_is_known(page: Page) -> None:
    """Until the answers to the sentence are all there."""
    page.wait_for_function("() => /carton|holds it/.test(document.querySelector('.under')?.textContent ?? '')", timeout=WAIT_MS)
    page.wait_for_function(
        "() => !/checking the weather|comparing days|choosing the carton/.test(document.querySelector('main').textContent)", timeout=60_000
    )


def mid_sentence(looked: Looked) -> None:
    caller(looked, looked.cool_digits)
    touch(looked.page, r"^\s*10\s*$")
    heat_is_known(looked.page)


def days(looked: Looked) -> None:
    mid_sentence(looked)
    looked.page.locator("[data-blank=day]").click()


def all_said(looked: Looked) -> None:
    mid_sentence(looked)
    looked.page.locator("[data-blank=pays]").click()
    touch(looked.page, r"^\s*check in the mail")
    heat_is_known(looked.page)


def too_hot(looked: Looked) -> None:
    caller(looked, looked.hot_digits)
    touch(looked.page, r"^\s*20\s*$")
    heat_is_known(looked.page)


def heat_opened(looked: Looked) -> None:
    too_hot(looked)
    if looked.page.locator(".deck [aria-pressed]").count():
        looked.page.locator(".blank[aria-expanded=true]").click()
    touch(looked.page, "every day and packing")
    expect(looked.page.locator("heat-pictures svg").nth(1)).to_be_visible(timeout=60_000)


def more_than_is_sure(looked: Looked) -> None:
    caller(looked, looked.cool_digits)
    touch(looked.page, "another number")
    for digit in "300":
        looked.page.locator(".digits").get_by_role("button", name=digit, exact=True).click()
    touch(looked.page, "that many")
    expect(looked.page.get_by_text("waiting").locator("visible=true").first).to_be_visible(timeout=WAIT_MS)


def read_back(looked: Looked) -> None:
    all_said(looked)
    touch(looked.page, "Read back")
    expect(looked.page.locator(".sentence.aloud")).to_be_visible(timeout=WAIT_MS)


def promised(looked: Looked) -> None:
    read_back(looked)
    touch(looked.page, r"^\s*Promise\s*$")
    expect(looked.page.get_by_role("heading", name="Promised")).to_be_visible(timeout=WAIT_MS)


def not_written(looked: Looked) -> None:
    """The disk refuses: what was said stays on the screen."""
    read_back(looked)
    looked.page.evaluate(
        """() => { const full = () => { throw new DOMException('The disk is full.', 'QuotaExceededError'); };
           window.honest = { add: IDBObjectStore.prototype.add, put: IDBObjectStore.prototype.put };
           Object.assign(IDBObjectStore.prototype, { add: full, put: full }); }"""
    )
    touch(looked.page, r"^\s*Promise\s*$")
    expect(looked.page.get_by_text("try again").first).to_be_visible(timeout=WAIT_MS)
    looked.page.evaluate("() => Object.assign(IDBObjectStore.prototype, window.honest) && null")


def walk_in(looked: Looked) -> None:
    go(looked, "counter")
    touch(looked.page, "someone is here now")


def order_to_pack(looked: Looked) -> str:
    """The first order that goes by mail."""
    return str(looked.device.js("return house.view.openOrders().find((one) => one.way === 'post' && one.state === 'promised')?.id ?? ''"))


def parcel(looked: Looked) -> None:
    go(looked, f"bench/{order_to_pack(looked)}")
    expect(looked.page.locator("parcel-board kernel-picture svg").first).to_be_visible(timeout=WAIT_MS)


def order_in_book(looked: Looked) -> None:
    at(f"book/order/{order_to_pack(looked)}", "order-board")(looked)


def pouring(looked: Looked) -> None:
    go(looked, "melt/pour")
    touch(looked.page, r"set 1\s*pour|^\s*set 1|pour$")


CALL = (
    Moment("Counter, nobody on the line", at("counter", "[data-blank=who]")),
    Moment("Counter, mid-sentence", mid_sentence),
    Moment("Counter, which day", days),
    Moment("Counter, all said", all_said),
    Moment("Counter, too hot", too_hot),
    Moment("Counter, heat opened", heat_opened),
    Moment("Counter, more than is sure, no signal", more_than_is_sure, offline=True),
    Moment("Counter, read back", read_back),
    Moment("Counter, promised", promised),
    Moment("Counter, someone here", walk_in),
    Moment("Counter, no signal", at("counter", "[data-blank=who]"), offline=True),
)
ROOMS = (
    Moment("Shelf", at("shelf", "shelf-room a.good-row")),
    Moment("Shelf, wax bars", at("shelf/bar", "kernel-picture svg")),
    Moment("Shelf, counting", at("shelf/bar/count", "count-deck")),
    Moment("Bench", at("bench", "bench-room .list")),
    Moment("Bench, a parcel", parcel),
    Moment("Melt", at("melt", "melt-room h1, melt-room h2")),
    Moment("Melt, pouring", at("melt/pour", "pour-deck")),
    Moment("Melt, bottling", at("melt/bottle", "bottle-deck")),
    Moment("Melt, extracting", at("melt/extract", "extract-deck")),
    Moment("Melt, a step", at("melt/step/cappings", "step-deck")),
    Moment("Book", at("book", "book-room .list")),
    Moment("Book, an order", order_in_book),
    Moment("Book, season", at("book/season/", "season-board")),
    Moment("Book, looking back", at("book/back/", "looking-back-board kernel-picture svg")),
    Moment("Book, to call", at("book/calls/", "calls-board h1")),
    Moment("Book, the till", at("book/till/", "till-board dl")),
    Moment("Book, which lot", at("book/lot/", "lot-board")),
    Moment("Settings", at("settings", "settings-room .list")),
    Moment("Settings, heat", at("settings/heat", "heat-board")),
    Moment("Settings, goods", at("settings/goods", "goods-board")),
    Moment("Settings, a good", at("settings/goods/bar", "sold-good h1, goods-board")),
    Moment("Settings, measures", at("settings/measures/bar", "measure-board")),
    Moment("First questions", at("settings/first/goods", "first-walk")),
)  # fmt: skip
LAST = (Moment("Counter, it could not be written down", not_written),)  # the device goes on saying so until it is started anew
MOMENTS = CALL + ROOMS + LAST


def looked_at(device: Device, house: HouseProcess, *, demo: bool) -> Looked:
    """The device made a device of the house with some bars of its own and, in a house of one's own, two people known and an order."""
    device.enrol(house.code(), "Shed phone")
    device.hold(40)
    if not demo:
        device.promise(3, person=COOL, way="post")
        device.promise(5, person=HOT, way="post")
    device.exchange()
    device.wait_for_shell()
    device.wait_for(f"house.status.kernel.state === 'awake' || house.status.kernel.why.includes('{LEFT_ASLEEP}')", 90)
    return Looked(device, "114" if demo else "142", "142" if demo else "143")
