"""Where a finger just did something nothing answers for a moment: which keys, which clicks, for how long, and what waits for the finger.

The module runs by itself in Node, on a page of keys laid out by hand, with a clock, timers and frames that go on when they are told to.
"""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB, run_in_node

Json = dict[str, Any]
PAGE = """
const ear = new EventTarget();
let clock = 1000, frames = [], timers = [], number = 0, looking = null, observed = 0, left = 0, taken = 0;
Object.assign(globalThis, {
  addEventListener: (what, does, how) => ear.addEventListener(what, does, how),
  requestAnimationFrame: (work) => frames.push(work),
  setTimeout: (work, wait_ms = 0) => { timers.push({ work, at: clock + wait_ms, id: ++number }); return number; },
  clearTimeout: (id) => { timers = timers.filter((one) => one.id !== id); },
  MutationObserver: class {
    constructor(heard) { this.heard = heard; }
    observe() { looking = this; observed += 1; }
    disconnect() { looking = null; left += 1; }
    takeRecords() { taken += 1; return []; }
  },
});
globalThis.performance = { now: () => clock };
class Key {
  constructor(name, x, y, wide = 20, high = 20) {
    Object.assign(this, { name, x, y, wide, high, has: {}, is: name.split(' ')[0] });
  }
  get ariaDisabled() { return this.has['aria-disabled'] ?? null; }
  hasAttribute(what) { return what in this.has; }
  setAttribute(what, value) { this.has[what] = value; }
  removeAttribute(what) { delete this.has[what]; }
  closest(selector) { return selector.split(', ').includes(this.is) ? this : null; }
}
let keys = [];
globalThis.document = {
  body: {},
  elementFromPoint: (x, y) =>
    keys.find((key) => x >= key.x && x <= key.x + key.wide && y >= key.y && y <= key.y + key.high) ?? null,
  querySelectorAll: (selector) => keys.filter((key) => selector.slice(1, -1) in key.has),
};
const here = await import(FILE);
/** What the page hears; what became of it. */
const hear = (what, more = {}) => {
  const event = new Event(what, { cancelable: true });
  Object.assign(event, more);
  let stopped = false;
  event.stopImmediatePropagation = () => { stopped = true; };
  ear.dispatchEvent(event);
  return [stopped, event.defaultPrevented];
};
const touch = (x, y) => { hear('pointerdown', { clientX: x, clientY: y }); hear('pointerup'); later(0); };
const click = (x, y, detail = 1) => hear('click', { clientX: x, clientY: y, detail });
/** So many milliseconds later, with every timer and frame on the way. */
function later(ms) {
  clock += ms;
  for (let due; (due = timers.find((one) => one.at <= clock)); ) { timers = timers.filter((one) => one !== due); due.work(); }
  frame();
}
function frame() { const all = frames; frames = []; for (const work of all) work(); }
const resting = () => keys.filter((key) => 'data-resting' in key.has && key.ariaDisabled === 'true').map(({ name }) => name);
const awake = () => keys.filter((key) => Object.keys(key.has).length === 0).map(({ name }) => name);
process.stdout.write(JSON.stringify(await (async () => { BODY })()));
"""


def in_page(body: str) -> Any:
    """What a piece of script gives, on that page."""
    file = (WEB / "parts/resting.js").as_uri()
    return run_in_node(PAGE.replace("FILE", f"'{file}'").replace("BODY", body), None)


def test_keys_within_reach_of_the_touch_rest_and_others_do_not() -> None:
    """48 pixels around; a key, a link, a fold and a tick, and nothing that is no key."""
    told: Json = in_page("""
      keys = [new Key('button touched', 90, 90), new Key('a beside', 135, 90), new Key('summary below', 90, 135),
        new Key('button far', 150, 90), new Key('button farther', 90, 200), new Key('p text', 60, 60),
        new Key('[role=checkbox] tick', 60, 90)];
      touch(100, 100);
      here.restUnderFinger();
      const at = [[100, 100], [148, 100], [100, 52], [149, 100], [134, 134], [133, 133]];
      const clicks = at.map(([x, y]) => click(x, y));
      return { resting: resting(), awake: awake(), observed, taken, clicks, spoken: click(100, 100, 0) };""")
    assert told["resting"] == ["button touched", "a beside", "summary below", "[role=checkbox] tick"]
    assert told["awake"] == ["button far", "button farther", "p text"] and (told["observed"], told["taken"]) == (1, 1)
    refused, taken = [True, True], [False, False]
    assert told["clicks"] == [refused, refused, refused, taken, taken, refused], "34 and 34 pixels away are 48.08"
    assert told["spoken"] == taken, "pressed by the keyboard or a screen reader"


def test_it_rests_while_the_work_goes_on_and_seven_tenths_of_a_second_more() -> None:
    told: Json = in_page("""
      keys = [new Key('button touched', 90, 90)];
      touch(100, 100);
      const over = here.restUnderFinger(), seen = [];
      const look = () => seen.push([resting().length, click(100, 100)[0], looking !== null, timers.length]);
      look(); later(5000); look();
      over(); frame(); look(); later(699); look(); later(1); look();
      later(10000); look();
      return { seen, left };""")
    assert told["seen"] == [[1, True, True, 1]] * 4 + [[0, False, False, 0]] * 2 and told["left"] == 1


def test_what_comes_to_lie_there_rests_with_the_next_frame_and_what_leaves_is_awake() -> None:
    """Drawn anew, scrolled, or looked at again by itself after a tenth of a second; one look for each frame."""
    told: Json = in_page("""
      const first = new Key('button first', 90, 90), second = new Key('button second', 300, 300);
      keys = [first, second];
      touch(100, 100);
      here.restUnderFinger();
      const seen = [[resting(), awake()]];
      const swap = () => { [first.x, second.x, first.y, second.y] = [second.x, first.x, second.y, first.y]; };
      swap(); seen.push([resting(), awake()]);
      looking.heard(); looking.heard(); seen.push(frames.length); frame(); seen.push([resting(), awake()]);
      swap(); hear('scroll'); frame(); seen.push([resting(), awake()]);
      swap(); later(99); seen.push([resting(), awake()]); later(1); seen.push([resting(), awake()]);
      second.has = {}; looking.heard(); frame(); seen.push([resting(), awake()]);
      delete second.has['aria-disabled']; looking.heard(); frame(); seen.push([resting(), awake()]);
      return seen;""")
    one, other = [["button first"], ["button second"]], [["button second"], ["button first"]]
    assert told == [one, one, 1, other, one, one, other, other, other]


def test_where_nothing_was_touched_nothing_rests() -> None:
    """Before any touch, and after a key of the keyboard; a scroll then asks for no frame."""
    told: Json = in_page("""
      keys = [new Key('button touched', 90, 90)];
      here.restUnderFinger()();
      touch(100, 100);
      hear('keydown', { key: 'Tab' });
      const over = here.restUnderFinger();
      over(); hear('scroll');
      return [resting(), frames.length, looking, click(100, 100), timers.length];""")
    assert told == [[], 0, None, [False, False], 0]


def test_two_places_rest_each_for_its_own_time() -> None:
    told: Json = in_page("""
      keys = [new Key('button one', 90, 90), new Key('button two', 300, 300)];
      touch(100, 100); const first = here.restUnderFinger();
      touch(310, 310); const second = here.restUnderFinger(); frame();
      const seen = [resting()];
      first(); later(400); second(); later(299); seen.push(resting()); later(1); seen.push(resting()); later(400); seen.push(resting());
      return [seen, left, observed];""")
    assert told == [[["button one", "button two"], ["button one", "button two"], ["button two"], []], 1, 1]


def test_what_is_to_be_shown_waits_for_the_finger_to_be_lifted() -> None:
    """By the finger, by the system that takes it away, by the window that is left or by a key; in its order, once, after the click."""
    told: Json = in_page("""
      const seen = [], shown = [];
      here.onceLifted(() => shown.push('at once'));
      for (const [what, more] of [['pointerup', {}], ['pointercancel', {}], ['blur', {}], ['keydown', { key: 'a' }]]) {
        hear('pointerdown', { clientX: 1, clientY: 1 });
        here.onceLifted(() => shown.push(`${what} 1`)); here.onceLifted(() => shown.push(`${what} 2`));
        later(5000); seen.push(shown.splice(0));
        hear(what, more); seen.push(shown.splice(0)); later(0); seen.push(shown.splice(0));
        here.onceLifted(() => shown.push('at once')); seen.push(shown.splice(0));
        hear('pointerup'); seen.push(timers.length);
      }
      return seen;""")
    assert told[0] == ["at once"] and told[1] == []
    for at, what in enumerate(("pointerup", "pointercancel", "blur", "keydown")):
        waited, lifted, then, afterwards, again = told[5 * at : 5 * at + 5]
        assert (waited, lifted, then) == (["at once"] if at == 0 else [], [], [f"{what} 1", f"{what} 2"])
        assert afterwards == ["at once"] and again == 0


def test_a_key_of_the_keyboard_that_is_held_down_is_one_touch() -> None:
    told: Json = in_page("""
      return [['Enter', true], ['Enter', false], ['Tab', true]].map(([key, repeat]) => hear('keydown', { key, repeat })[1]);""")
    assert told == [True, False, False]
