"""Elements that hear of more than what they are given: drawn again when it comes, and deaf once they have left."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from screens.kinds_of_rows import good, order, person
from store.in_page import in_page

Json = dict[str, Any]
SCREENS = (WEB.parent / "tests/screens").as_uri()
HEARS = """(async () => {
  const { Screen } = await import(`${asked.screens}/drawn.mjs`);
  const { effectsSince } = await import(`${asked.screens}/effects.mjs`);
  const { listeners } = await import(`${asked.screens}/page.mjs`);
  const [{ Part }, status, acts] = await Promise.all(['parts/part.js', 'store/status.js', 'store/acts.js'].map(module));
  for (const file of asked.files) await module(file);
  const { op } = await acts.amend('o1', { note: 'first' });
  const ticks = new Map();
  let number = 0;
  globalThis.setInterval = (work, ms) => { ticks.set((number += 1), [work, ms]); return number; };
  globalThis.clearInterval = (tick) => ticks.delete(tick);
  const drawn = new Set();
  const { requestUpdate } = Part.prototype;
  Part.prototype.requestUpdate = function (...given) { drawn.add(this.constructor); return requestUpdate.apply(this, given); };
  const settle = async () => { for (let turn = 0; turn < 12; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  const told = {};
  for (const { tag, properties } of asked.elements) {
    const heard = () => JSON.stringify([listeners(), status.listeners.size, ticks.size]);
    const before = heard();
    const screen = new Screen(tag, { ...properties, ...(properties.op ? { op } : {}) });
    screen.said();
    await settle();
    screen.said();
    await settle();
    const opened = effectsSince();
    const news = { tick: () => [...ticks.values()].forEach(([work]) => work()), store: () => status.change({}),
      ...Object.fromEntries(['hashchange', 'honeyhold-molds-ready', 'change'].map((what) => [what, () => dispatchEvent(new Event(what))])),
      ...Object.fromEntries(['wide', 'roomy'].map((what) => [what, () => media[what].dispatchEvent(new Event('change'))])) };
    const draws = async () => {
      const by = [];
      for (const [what, comes] of Object.entries(news)) {
        drawn.clear();
        comes();
        await settle();
        if (drawn.has(customElements.get(tag))) by.push(what);
      }
      return by;
    };
    const every = [...ticks.values()].map(([, ms]) => ms);
    const by = await draws();
    const effects = effectsSince();
    screen.leave();
    told[tag] = { opened, every, by, effects, left: heard() === before, later: await draws(), still: effectsSince() };
  }
  return told;
})()"""
TURNED = """
  const media = {};
  const screens = { wide: /48rem/, roomy: /60rem/ };
  globalThis.matchMedia = (which) => {
    const name = Object.keys(screens).find((one) => screens[one].test(which)) ?? which;
    return (media[name] = Object.assign(new EventTarget(), { matches: false }));
  };"""


def heard(files: list[str], *elements: tuple[str, Json]) -> Json:
    rows = [person("ann", "Ann", ""), *order("o1", "ann", "pick_up", "promised", "2027-07-26", {})]
    asked = {"screens": SCREENS, "files": files, "elements": [{"tag": tag, "properties": given} for tag, given in elements]}
    told: Json = in_page("store/database.js", HEARS.replace("(async () => {", f"(async () => {{{TURNED}", 1), asked, rows)
    return told


def test_an_element_draws_itself_again_when_something_comes_and_is_deaf_once_it_left() -> None:
    """The house's head every quarter of a minute, a call's time each second, undo every ten; all of them with every change of the store."""
    told = heard(
        ["parts/house-head.js", "parts/undo-key.js", "parts/again-list.js", "parts/search-sheet.js", "rooms/counter/counter-room.js",
         "rooms/book/book-room.js"],
        ("house-head", {}), ("undo-key", {"op": True}), ("call-timer", {"started": 1}), ("again-list", {}), ("search-sheet", {}),
        ("counter-room", {"path": []}), ("book-room", {"path": []}), ("older-orders", {"person": "ann"}),
    )  # fmt: skip
    assert {tag: (one["every"], one["by"]) for tag, one in told.items()} == {
        "house-head": ([15_000], ["tick", "store", "hashchange", "honeyhold-molds-ready"]), "undo-key": ([10_000], ["tick", "store"]),
        "call-timer": ([1000], ["tick", "store"]), "again-list": ([], ["store"]), "search-sheet": ([], ["store"]),
        "counter-room": ([], ["store", "wide", "roomy"]), "book-room": ([], ["store", "wide", "roomy"]), "older-orders": ([], ["store"]),
    }  # fmt: skip
    assert [tag for tag, one in told.items() if not one["left"] or one["later"] or one["still"]] == []
    assert (told["search-sheet"]["opened"], told["search-sheet"]["effects"]) == (
        ["dialog opens", "the keyboard is on input"], ["search-sheet goes away"],
    )  # fmt: skip


ASKS = """(async () => {
  const { Screen } = await import(`${asked}/drawn.mjs`);
  const { amend } = await module('store/acts.js');
  const { askAlso } = await module('kernel/work.js');
  const settle = async () => { for (let turn = 0; turn < 60; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  const out = [], told = [];
  askAlso({ inReach: () => true, ask: async (name, { who, lines }) => {
    out.push([name, who, lines.map(({ units }) => units)]);
    return { answer: { change: 'worse', words: 'Hotter.' } };
  } });
  const screen = new Screen('again-list');
  const look = async () => { screen.said(); await settle(); told.push([out.splice(0), screen.said().join(' ')]); };
  await look();
  await amend('o1', { lines: [{ good: 'bar', units: 2 }] });
  await look();
  screen.leave();
  await amend('o1', { lines: [{ good: 'bar', units: 3 }] });
  await settle();
  told.push(out.splice(0));
  return told;
})()"""


def test_what_is_asked_again_is_asked_while_it_can_be_seen() -> None:
    """The answer is drawn as it comes; once the list has left nobody is asked for its sake."""
    rows = [
        good("bar", ("wax bar", "wax bars", "bars"), 1, 250), person("ann", "Ann Lind", "", ("4 Heron Sill Rd", "Duluth", "MN", "55811")),
        *order("o1", "ann", "post", "promised", "2027-07-26", {"bar": (1, 250)}),
    ]  # fmt: skip
    first, second, gone = in_page("parts/again-list.js", ASKS, SCREENS, rows)
    assert (first[0], second[0], gone) == ([["quoting.recheck", "Ann Lind", [1]]], [["quoting.recheck", "Ann Lind", [2]]], [])
    assert first[1] == second[1] == "“Heat looked at again” : heat [Hotter.](#bench/o1) (heed)"
