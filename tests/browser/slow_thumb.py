"""A thumb that changes its mind while every answer is slow; what was on the screen when it promised must be what was written.

Everything a run does comes from its seed: how long each answer takes, what is touched, when it is read back and when it is promised.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page

from browser.devices import Device
from browser.house_process import HouseProcess
from browser.packing import season
from browser.slow_line import SlowLine
from honeyhold.house.house import House
from replication.houses import movement

TABLE = "row,service,zone,up_to_oz,what,over,cents,example\n" + "".join(
    f"price,ground,{zone},{up_to},,,{100 * zone + cents},\n" for zone in range(1, 10) for up_to, cents in ((16, 700), (48, 950), (400, 1800))
)
PLACES = [
    {"street": "41 Heron Sill Rd", "city": "Duluth", "state": "MN", "zip": "55811"},
    {"street": "7 Ocotillo Way", "city": "Phoenix", "state": "AZ", "zip": "85004"},
    {"street": "12 Lantern Ct", "city": "Portland", "state": "ME", "zip": "04101"},
]
UNITS = (5, 10, 15, 20)
MINDS_MOST = 4
PAUSE_MOST_MS = 2500
PATIENT = 0.5
"""How many of the seeds wait until all is known before they read it back; the others do not."""
PATIENCE_MS = 120_000
NOT_KNOWN = "not known when promised"
TRUTH = """const { callRequest } = await import('/store/sureness.js');
    const order = house.view.orders.get(args[0]);
    const request = callRequest({ ...order, view: house.view, today: house.today(), now: house.now(), lines: house.view.linesOf(order.id),
      person: house.view.people.get(order.person) });
    const answer = await house.call('/api/work/quoting.call', { body: { ...request, only: 'asked' }, wait_s: 60 });
    return { heat: answer.heat && [(await import('/parts/heat-words.js')).verdictSaid(answer.heat), answer.heat.chance_words, answer.heat.when_words].filter(Boolean).join(', '),
      told: answer.told, cents: answer.parcel?.posting_cents ?? null }"""
TOUCHED = """addEventListener('click', () => {
      const seen = document.querySelector('read-back .board') ?? document.querySelector('counter-room .sentence');
      if (seen) window.touched = seen.innerText;
    }, { capture: true })"""
"""What was on the screen at the moment of the touch, before anything answers it."""
WRITTEN = """const order = [...house.view.orders.values()].find((one) => !args[0].includes(one.id) && one.number.startsWith(`${house.status.device.mark}-`));
    return order && { order, lines: house.view.linesOf(order.id).map(({ good, units, price_cents }) => ({ good, units, price_cents })),
      person: house.view.people.get(order.person) }"""


@dataclass
class Told:
    """What one seed came to."""

    seed: int
    touched: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    without: bool = False


def stocked(house: House) -> None:
    """The demo's Saturday with a price table and bars for hundreds of callers."""
    season(house)
    house.write("set_house", [{"table": "setting", "id": "posting_prices", "value": TABLE}])
    house.write("buy", [movement("bar", 20_000, "opening")])


@contextmanager
def desk(chromium: Browser, folder: Path) -> Iterator[tuple[Device, SlowLine]]:
    """A phone whose answers all come over the slow line, and that line."""
    house = HouseProcess(folder / "data", stocked)
    house.start()
    line = SlowLine(house)
    context = chromium.new_context(viewport={"width": 390, "height": 844}, has_touch=True, service_workers="block")
    context.set_default_timeout(60_000)
    try:
        device = Device(context.new_page(), line.address)
        device.enrol(house.code(), "Shed phone")
        device.js(TOUCHED)
        yield device, line
    finally:
        context.close()
        line.let_go()
        line.close()
        house.stop()


def play(device: Device, line: SlowLine, seed: int, most_s: float = 5.0) -> Told:
    """One caller of a seed, from the empty sentence to the order written down."""
    chance, told, page = random.Random(seed), Told(seed), device.page
    device.js("await house.ask('bar', 40, 5)")
    before = device.js("return [...house.view.orders.keys()]")
    line.draw(seed, most_s)
    _begin(device, chance, seed)
    for _ in range(chance.randint(1, MINDS_MOST)):
        told.touched.append(_change_mind(page, chance))
        page.wait_for_timeout(chance.choice((0, 0, chance.randint(0, PAUSE_MOST_MS))))  # the thumb's own pace, from the seed
    if chance.random() < PATIENT:
        page.locator("counter-room .deck > .key.say:not(:has(small))").wait_for(timeout=PATIENCE_MS)
    page.locator("counter-room .deck > .key.say").tap()
    page.locator("read-back .key.say:not([data-resting])").wait_for()
    said = page.evaluate("window.touched")  # once the touch was answered: the page may hear of it after the driver has let go
    read = _screen(page)
    page.wait_for_timeout(chance.choice((0, chance.randint(0, PAUSE_MOST_MS))))
    page.locator("read-back .key.say").tap()
    page.locator("order-promised").wait_for()
    at_touch = page.evaluate("window.touched").replace("\xa0", " ")
    if at_touch != read:
        told.wrong.append(f"the reading changed under the eyes: {read!r} became {at_touch!r}")
    line.draw(seed, 0)
    told.without = "not known yet" in read
    told.wrong += _compare(device, device.js(WRITTEN, before), said, read)
    page.locator("order-promised .key.say:not([data-resting])").tap()
    page.locator("counter-room .sentence").wait_for()
    return told


def _screen(page: Page) -> str:
    return page.locator("read-back .board").inner_text().replace("\xa0", " ")


def _begin(device: Device, chance: random.Random, seed: int) -> None:
    fresh = {"name": f"Caller {seed}", "phone": "", "unit": "", **chance.choice(PLACES)}
    lines = [{"good": "bar", "units": chance.choice(UNITS)}]
    draft = {"fresh": fresh, "person": None, "address": None, "amends": None, "lines": lines, "way": "post", "started": 1, "dressing": "plain"}
    device.js(
        """const { sentences } = await import('/store/sentences.js'); await sentences.drop();
           const { emptyDraft } = await import('/rooms/counter/draft.js');
           sentences.write({ ...emptyDraft(), ...args[0] });
           for (const place of ['#settings', '#counter']) {
             const moved = new Promise((done) => addEventListener('hashchange', done, { once: true }));
             location.hash = place;
             await moved;  // two in one breath would be one change to the page, and the Counter would stand as it stood
             await document.querySelector('honey-house').updateComplete;
           }""", draft)  # fmt: skip
    device.page.locator("counter-room .sentence", has_text=f"Caller {seed}").wait_for()


def _change_mind(page: Page, chance: random.Random) -> str:
    """Another number, another place, another day, another packing."""
    what = chance.choice(("units", "place", "day", "dressing"))
    if what == "units":
        page.locator("[data-blank='line:bar']").tap()
        page.locator(".deck").get_by_role("button", name=str(chance.choice(UNITS)), exact=True).first.tap()
    elif what == "place":
        page.locator("[data-blank=where]").tap()
        for name, words in chance.choice(PLACES).items():
            page.locator(f"deck-where input[name={name}]").fill(words)
        page.locator("deck-where button.on").tap()
        page.locator("deck-where").wait_for(state="detached")
    else:
        page.locator("[data-blank=day]").tap()
        keys = page.locator(f".deck [role=group][aria-label={'Days' if what == 'day' else 'Packing'}] button")
        keys.first.wait_for()
        keys.nth(chance.randrange(keys.count())).tap()
    opened = page.locator(".blank[aria-expanded=true]")
    if opened.count():
        opened.tap()
    return what


def _compare(device: Device, written: dict[str, Any], said: str, read: str) -> list[str]:
    """The order as it was written beside the words that were on the screen, and beside what is true of it."""
    if not written:
        return ["no order was written"]
    order, lines, wrong = written["order"], written["lines"], []
    cents = sum(line["units"] * line["price_cents"] for line in lines) + order["posting_cents"]
    for words in (f"{lines[0]['units']} wax bars", f"${cents / 100:,.2f}", written["person"]["city"]):
        if words not in read:
            wrong.append(f"written {words!r}, read {read!r}")
    if re.sub(r"\D", "", said.rsplit("owe", maxsplit=1)[-1]) != re.sub(r"\D", "", read.rsplit("They owe", maxsplit=1)[-1].split("and pay", maxsplit=1)[0]):
        wrong.append(f"the sum touched was {said!r}, the sum read {read!r}")
    truth = device.js(TRUTH, order["id"])
    unknown = "not known yet" in read
    if unknown and (order["heat"], order["told"]) != (NOT_KNOWN, {}):
        wrong.append(f"read as not known, written {order['heat']!r}")
    if not unknown and order["heat"] not in (truth["heat"], NOT_KNOWN if truth["heat"] is None else None):
        wrong.append(f"written {order['heat']!r}, true is {truth['heat']!r}")
    if order["posting_by"] == "table" and order["posting_cents"] != truth["cents"]:
        wrong.append(f"posting {order['posting_cents']}, by the table {truth['cents']}")
    told = order["told"]
    if told and (told.get("leave_on"), told.get("dressing")) != (order["leave_on"], order["dressing"]):
        wrong.append(f"told of {told}, written {order['leave_on']} {order['dressing']}")
    return wrong
