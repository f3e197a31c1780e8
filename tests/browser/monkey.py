"""Two thumbs that touch whatever is there: two windows of one device and a second device, the network pulled at random, all from a seed.

Watched at every step: the console, what was read against what was written, payments, half-made sentences; at the end the records' own sums.
"""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, Route

from browser.devices import Device
from browser.house_process import HouseProcess
from honeyhold.house.house import House
from honeyhold.records.check import disagreements
from replication.houses import movement

PHONE = {"width": 390, "height": 844}
KEYS = "main button:not([disabled]):not([data-resting]), main a.key, main a.order-row"
PLACES = "nav.places a"
PLACES_OF = 12
"""One touch in twelve goes to another place: who leaves at every third touch takes no order. Half of these go to the Counter."""
COUNTER = "nav.places a[href='#counter']"
IDLE_OF = {"#settings": 3, "#melt": 6}
"""Where little is written a thumb does not stay: one touch in three, or six, leads back to the Counter."""
LEFT_ALONE = ("print", "tel:", "lost", "remove", "sold", "take over", "stop", "_blank", "copy", "settings/", "export", "csv", "new version")
"""Keys whose work is outside the page, or that would end the device the thumbs play on."""
DOUBLE_OF = 6  # one touch in six is a double tap
PACES_MS = (60, 100, 160)
PULLED_OF, LOADED_OF = 14, 25
SLOW_S = 1.0
"""How long after the touch an entry may still be of it."""
KERNEL_OF = 5
"""One seed in five plays with the kernel in every window; in the others the main computer answers, as it does where a browser has none."""
ROOM_FILES = [f"/rooms/{room}/{room}-room.js" for room in ("counter", "shelf", "bench", "melt", "book", "settings")]
WATCH = """async (rooms) => {
  await Promise.all(rooms.map((room) => import(room)));  // without a service worker a place that was never fetched would be loaded anew later
  window.monkey = { touched: [], dropped: [] };
  const { sentences } = await import('/store/sentences.js');
  addEventListener('click', ({ target }) => {  // nothing is waited for in here: what the touch does must not have been done yet
    const key = target.closest('button, a');
    const seen = document.querySelector('read-back .board, counter-room .sentence');
    monkey.touched.push({ words: key?.textContent.trim().replace(/\\s+/g, ' ') ?? '', seen: seen?.innerText ?? '', sentence: sentences.mine?.id ?? null });
    if (/^(start over|leave it as it was)/.test(monkey.touched.at(-1).words)) monkey.dropped.push(sentences.mine?.id);
  }, { capture: true });
}"""
SAY = "main .deck > .key.say:not([disabled]):not([data-resting])"
SAY_OF = 3
"""One touch in three goes to the key that goes on or writes, where there is one: a thumb is there for something."""
PICK = """async ([selector, leftAlone, chance, say]) => {
  const shown = (key) => key.checkVisibility({ visibilityProperty: true }) && key.getBoundingClientRect().width > 0;
  const words = (key) => key.innerText.trim().replace(/\\s+/g, ' ');
  const told = (key) => `${key.textContent} ${key.href ?? ''} ${key.target ?? ''}`.toLowerCase();
  const found = (say && [...document.querySelectorAll(say)].filter(shown)) || [];
  const keys = (found.length ? found : [...document.querySelectorAll(selector)]).filter((key) => shown(key) && !leftAlone.some((word) => told(key).includes(word)));
  if (!keys.length) { location.hash = '#counter'; return null; }
  const key = keys[Math.floor(chance * keys.length)];
  key.scrollIntoView({ block: 'nearest', behavior: 'instant' });
  await new Promise((done) => requestAnimationFrame(done));
  const box = key.getBoundingClientRect();
  return { words: words(key), x: box.x + box.width / 2, y: box.y + Math.min(box.height / 2, 24) };
}"""
"""One of the keys in sight, by a figure from 0 to 1: where it is, so that a finger can touch there."""
LOOK = """async () => {
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  const { read } = await import('/store/database.js');
  const rows = await read(['sentences'], (tx) => tx.objectStore('sentences').getAll());
  const { house } = await import('/store/house.js');
  const wanted = (lines) => JSON.stringify(lines.filter(({ units }) => units).map(({ good, units }) => [good, units]).sort());
  const made = rows.filter(({ draft }) => draft.lines.length);
  const changes = made.filter(({ draft }) => draft.amends).map(({ id, draft }) => [id, draft.amends, wanted(draft.lines)]);
  const stand = Object.fromEntries([...house.view.orders.keys()].map((order) => [order, wanted(house.view.linesOf(order))]));
  const emptied = rows.filter(({ draft }) => !draft.lines.length).map(({ id }) => id);
  return { made: made.map(({ id }) => id), dropped: [...window.monkey.dropped.filter(Boolean), ...emptied], changes, stand };
}"""
"""Which half-made sentences the device keeps once the touch was answered, and which a person gave up, or took every good out of; those that change an order, and how orders
stand: a change to what stands already is over without an entry."""
ENTRIES = "return [...known.entries.values()].map(({ operation, sentence, undone }) => ({ ...operation, sentence, undone }))"
SENTENCES = """const { read } = await import('/store/database.js');
    return (await read(['sentences'], (tx) => tx.objectStore('sentences').getAll())).filter(({ draft }) => draft.lines.length).map(({ id }) => id)"""
PLANTED = {
    "the finger's place does not rest": ("/parts/resting.js", "places.push(place);", ""),
    "a sentence on hold is forgotten": ("/store/sentences.js", "await save(parked);", "await dropSentence(parked.row.id); known.sentences.delete(parked.row.id);"),
    "one bar more is written than was read": ("/rooms/counter/frozen.js", "const acted = {", "draft.lines[0].units += 1; const acted = {"),
}
"""Mistakes put into the page on purpose: file, what stands there, what is put instead."""


@dataclass
class Run:
    """What one seed came to."""

    seed: int
    steps: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    orders: int = 0


@contextmanager
def playground(folder: Path) -> Iterator[HouseProcess]:
    """A house with people, orders and bars enough."""

    def seed(house: House) -> None:
        from browser.house_process import goods_and_bars

        goods_and_bars(house)
        house.write("buy", [movement("bar", 5000, "opening"), movement("pint", 500, "opening")])
        house.write("set_house", [{"table": "setting", "id": "posting_honey_asked", "value": True}])

    house = HouseProcess(folder / "data", seed)
    house.start()
    try:
        yield house
    finally:
        house.stop()


class Thumbs:
    """The windows of one seed and what was seen in them."""

    def __init__(self, browser: Browser, house: HouseProcess, seed: int, planted: str | None, stack: ExitStack) -> None:
        self.chance, self.run, self.house = random.Random(seed), Run(seed), house
        self.contexts: list[BrowserContext] = []
        self.windows: list[Device] = []
        self.made: set[str] = set()
        self.dropped: set[str] = set()
        self.changes: dict[str, tuple[BrowserContext, str, str]] = {}
        self.pulled: dict[int, bool] = {}
        self.touched_at: list[tuple[BrowserContext, float]] = []
        self.front: dict[BrowserContext, Page] = {}
        for name in ("Shed phone", "Kitchen tablet"):
            context = browser.new_context(viewport=PHONE, has_touch=True, service_workers="block")  # type: ignore[arg-type]
            context.set_default_timeout(60_000)
            stack.callback(context.close)
            if planted:
                context.route(f"**{PLANTED[planted][0]}", lambda route: _mutated(route, *PLANTED[planted][1:]))
            self.contexts.append(context)
            first = self._window(context)
            first.enrol(house.code(), f"{name} {seed}")
            first.js("await house.ask('bar', 60, 5)")
            for units in (3, 2):
                first.promise(units, f"Caller {units} of {name}", way="pick_up")
        self.windows.append(self._window(self.contexts[0], keep=False))

    def _window(self, context: BrowserContext, keep: bool = True) -> Device:
        page = context.new_page()
        if self.run.seed % KERNEL_OF:
            line = context.new_cdp_session(page)
            line.send("Network.enable")
            line.send("Network.setBlockedURLs", {"urls": ["*/kernel/worker.js"]})
        page.add_init_script("delete Navigator.prototype.serviceWorker; window.print = () => {}; window.open = () => null")
        page.on("pageerror", lambda error: self.run.wrong.append(f"exception: {error}"))
        page.on("console", lambda said: self.run.wrong.append(f"console: {said.text}") if said.type == "error" and "Failed to load resource" not in said.text and "ERR_" not in said.text else None)
        device = Device(page, self.house.address)
        page.evaluate(WATCH, ROOM_FILES)
        if keep:
            self.windows.append(device)
        return device

    def step(self) -> None:
        """One touch, or something that happens to one."""
        at = self.chance.randrange(len(self.windows))
        device, context = self.windows[at], self.windows[at].page.context
        if self.chance.randrange(PULLED_OF) == 0:
            which = self.contexts.index(context)
            self.pulled[which] = not self.pulled.get(which, False)
            context.set_offline(self.pulled[which])
            self.run.steps.append(f"{at} network {'pulled' if self.pulled[which] else 'back'}")
            return
        if self.chance.randrange(LOADED_OF) == 0 and not self.pulled.get(self.contexts.index(context)):
            self._load_again(device, at)
            return
        self._touch(device, at)

    def _load_again(self, device: Device, at: int) -> None:
        self._note(device)
        device.js("await (await import('/store/sentences.js')).sentences.settled()")
        device.page.reload()
        device.load()
        device.page.evaluate(WATCH, ROOM_FILES)
        self.run.steps.append(f"{at} loaded again")

    def _touch(self, device: Device, at: int) -> None:
        page = device.page
        if self.front.get(page.context) is not page:
            page.bring_to_front()  # a finger touches what lies on top; a window behind is drawn once a second
            self.front[page.context] = page
        say = SAY if self.chance.randrange(SAY_OF) == 0 else None
        key = page.evaluate(PICK, [self._where(page), LEFT_ALONE, self.chance.random(), say])
        double, pace_ms = self.chance.randrange(DOUBLE_OF) == 0, self.chance.choice(PACES_MS)
        if not key:
            return
        self.run.steps.append(f"{at} {'twice ' if double else ''}{key['words']!r}")
        self.touched_at.append((page.context, time.time()))
        page.touchscreen.tap(key["x"], key["y"])
        if double:
            page.wait_for_timeout(pace_ms)  # the pace of the finger, from the seed
            page.touchscreen.tap(key["x"], key["y"])
        self._note(device)

    def _where(self, page: Page) -> str:
        """Which keys the thumb chooses among: those of the room as a rule, else a way to another place."""
        idle_of = next((of for place, of in IDLE_OF.items() if place in page.url), 0)
        if idle_of and self.chance.randrange(idle_of) == 0:
            return COUNTER
        return KEYS if self.chance.randrange(PLACES_OF) else self.chance.choice([PLACES, COUNTER])

    def _note(self, device: Device) -> None:
        seen = device.page.evaluate(LOOK)
        self.made.update(seen["made"])
        self.dropped = self.dropped - set(seen["made"]) | set(seen["dropped"])
        here = device.page.context
        self.dropped.update(
            one for one, (where, order, lines) in self.changes.items()
            if where is here and one not in seen["made"] and seen["stand"].get(order) == lines
        )  # fmt: skip
        self.changes.update({one: (here, order, lines) for one, order, lines in seen["changes"]})

    def end(self) -> Run:
        """The network is back, everything is said, and all that was watched is compared."""
        for context in self.contexts:
            context.set_offline(False)
        for device in self.windows:
            self._note(device)
            device.js("await (await import('/store/sentences.js')).sentences.settled()")
            device.exchange()
        read = [one for device in self.windows for one in device.page.evaluate("window.monkey.touched")]
        for device in (self.windows[0], self.windows[1]):
            entries = device.js(ENTRIES)
            self.made.update(device.js(SENTENCES))
            self._payments(device, entries)
            self._written(device, entries, read)
            self.made -= {entry.get("sentence") for entry in entries} | set(device.js(SENTENCES))
        lost = self.made - self.dropped
        if lost:
            self.run.wrong.append(f"sentences are lost: {sorted(lost)}")
        self.run.wrong += [f"records: {words}" for words in self.house.in_person(lambda house: disagreements(house.records))]  # a lot below zero is no wrong sum: two took of it, neither in reach
        return self.run

    def _payments(self, device: Device, entries: list[dict[str, Any]]) -> None:
        """No order is paid, and paid or paid back again, in the same second, by fewer touches than that: a double tap is one."""
        seen: dict[str, str] = {}
        for entry in entries:
            for row in entry["rows"]:
                if row["table"] != "payment":
                    continue
                made_at = datetime.fromisoformat(entry["made_at"]).timestamp()
                touches = sum(context is device.page.context and made_at - SLOW_S <= at < made_at + 1 for context, at in self.touched_at)
                if seen.get(row["order"]) == entry["made_at"] and touches < 2:
                    self.run.wrong.append(f"order {row['order']} was paid twice, or paid and paid back, at {entry['made_at']}")
                seen[row["order"]] = entry["made_at"]

    def _written(self, device: Device, entries: list[dict[str, Any]], read: list[dict[str, Any]]) -> None:
        """Every order that was taken stands as it was read: its goods by number, its sum."""
        for entry in entries:
            order = next((row for row in entry["rows"] if row["table"] == "order"), None)
            if entry["kind"] not in ("promise", "sell") or not entry.get("sentence") or not order:
                continue
            self.run.orders += 1
            seen = [one["seen"] for one in read if one["sentence"] == order["id"] and one["words"].split(" ")[0] in ("Promise", "Sell", "try")]
            if not seen:
                continue  # its window was loaded again since: what was read went with it
            words = seen[-1].replace("\xa0", " ")
            for row in (row for row in entry["rows"] if row["table"] == "line"):
                good = device.js("return house.view.goods.get(args[0])", row["good"])
                name = good["name"] if row["units"] == 1 else good["plural"]
                if f"{row['units']} {name}" not in words:
                    self.run.wrong.append(f"written {row['units']} {name}, read {words!r}")


def _mutated(route: Route, there: str, instead: str) -> None:
    answer = route.fetch()
    text = answer.text()
    assert there in text, f"{there!r} stands there no more: plant it anew"
    route.fulfill(response=answer, body=text.replace(there, instead))


def play(browser: Browser, house: HouseProcess, seed: int, taps: int, planted: str | None = None) -> Run:
    """One seed of so many touches."""
    with ExitStack() as stack:
        thumbs = Thumbs(browser, house, seed, planted, stack)
        for _ in range(taps):
            if thumbs.run.wrong:
                break
            thumbs.step()
        return thumbs.end()
