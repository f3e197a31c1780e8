"""A device that keeps nothing beside its store (forbidden, full, or what is kept is no sense): all goes on, and nothing breaks."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from screens.kinds_of_rows import good, order, person
from store.in_page import in_page

Json = dict[str, Any]
SCREENS = (WEB.parent / "tests/screens").as_uri()
KEPT = """(async () => {
  const { Screen } = await import(`${asked.screens}/drawn.mjs`);
  const settle = async () => { for (let turn = 0; turn < 60; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  const names = ['label-sheet', 'again', 'bench-notes', 'dress', 'pour-state', 'mold-timer', 'weigh-pad'];
  const keeps = { getItem: () => asked.kept, setItem() {}, removeItem() {} };
  const not = () => { throw new Error('not allowed'); };
  const store = { forbidden: null, full: { getItem: () => null, setItem: not, removeItem: not }, senseless: keeps }[asked.how];
  Object.defineProperty(globalThis, 'localStorage', { configurable: true, get: () => store ?? not() });
  const broken = [];
  process.on('unhandledRejection', ({ message }) => broken.push(message));
  const [labels, again, notes, dress, pour, molds] = await Promise.all(names.map((name) => module(`parts/${name}.js`)));
  const { askAlso } = await module('kernel/work.js');
  askAlso({ inReach: () => true, ask: async () => ({ answer: { change: 'worse', words: 'Hotter.' } }) });
  const told = { labels: [labels.nextLabel(), labels.labelsUsed(1, 3) ?? null, labels.nextLabel()] };
  const end = again.onAgain(() => {});
  await settle();
  told.again = again.toTell().map(({ order }) => order.id);
  end();
  told.notes = [notes.noteOf('o1'), notes.note('o1', { carton: 'c8' }).carton, notes.dropNote('o1') ?? null,
    notes.dropOldNotes(() => true) ?? null, notes.weighingsOf('bar'), notes.keepWeighing('bar', { parcel: 'p1' }) ?? null];
  const { dataset } = document.documentElement;
  told.dress = [dress.dressWanted(), ...['dark', 'device', 'light'].map((one) => { dress.wearDress(one); return dataset.dress ?? null; })];
  dress.wearKeptDress();
  told.dress.push(dataset.dress ?? null);
  told.pour = [pour.keptPour(2), pour.keepPour(pour.freshPour(1)), molds.readySets()];
  const pad = new Screen('weigh-pad', { grams: 1000, usual: null });
  const units = () => pad.said().filter((line) => line.includes('pressed') || line.includes('{')).join(' ');
  told.pad = [units()];
  pad.touch('oz');
  told.pad.push(units());
  return { ...told, broken };
})()"""
ORDERS: list[Json] = [
    good("bar", ("wax bar", "wax bars", "bars"), 1, 250), person("ann", "Ann Lind", "", ("4 Heron Sill Rd", "Duluth", "MN", "55811")),
    *order("o1", "ann", "post", "promised", "2027-07-26", {"bar": (1, 250)}),
]  # fmt: skip


def kept(how: str, words: str | None = None) -> Json:
    told: Json = in_page("store/database.js", KEPT, {"screens": SCREENS, "how": how, "kept": words}, ORDERS)
    return told


def test_where_nothing_may_be_kept_everything_goes_on_as_if_nothing_were() -> None:
    """Labels begin at the first, a dress is worn for now, a note lasts as long as its page; a pour that was not kept is told of."""
    blank = {"counts": {}, "lots": {}, "carton": None, "empty_g": None}
    fresh = {"item": None, "fan": False, "sets": [{"state": "empty", "at": 0, "cool_s": 0}] * 2, "tray": [], "poured_g": None}
    devices = ("forbidden", None, False), ("full", None, False), ("senseless", "no JSON", True), ("senseless", "null", True)
    for how, words, is_kept in devices:
        told = kept(how, words)
        assert (told["labels"], told["again"], told["broken"]) == ([1, None, 1], ["o1"], [])
        assert told["notes"] == [blank, "c8", None, None, [], None]
        assert told["dress"] == ["device", "dark", None, "light", None]
        assert told["pour"] == [fresh, is_kept, []]
        assert "[lb] (pressed)" in told["pad"][0] and "2.2}" in told["pad"][0]
        assert "[oz] (pressed)" in told["pad"][1] and "35.27}" in told["pad"][1]


RINGS = """(async () => {
  const rang = [];
  const { keepPour, freshPour } = await module('parts/pour-state.js');
  const set = (ago_s) => ({ state: 'cooling', at: Date.now() - ago_s * 1000, cool_s: 0, due_s: 900 });
  navigator.vibrate = () => rang.push('rings');
  globalThis.setTimeout = () => 0;
  keepPour({ ...freshPour(1), sets: [set(900)] });
  const { setItem } = Object.getPrototypeOf(localStorage);
  Object.getPrototypeOf(localStorage).setItem = (key, value) => {
    if (key === 'honeyhold.rung') throw new Error('full');
    setItem(key, value);
  };
  const told = [];
  here.watchMolds();
  told.push(rang.splice(0).length);
  dispatchEvent(new Event('visibilitychange'));
  told.push(rang.splice(0).length);
  keepPour({ ...freshPour(2), sets: [set(900), set(901)] });
  told.push(rang.splice(0).length);
  keepPour({ ...freshPour(2), sets: [set(900), set(901)] });
  told.push(rang.splice(0).length);
  return told;
})()"""


def test_a_device_that_is_full_rings_once_for_each_set_until_the_page_is_loaded_anew() -> None:
    assert in_page("parts/mold-timer.js", RINGS) == [1, 0, 1, 0]

