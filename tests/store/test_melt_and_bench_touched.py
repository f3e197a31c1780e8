"""Touches at the stove and at the Bench that come seldom: a field fewer, a scanner that types, a drawing that came."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from screens.acts import touch
from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page
from store.screens_in_page import played, screen

Json = dict[str, Any]
EFFECTS = (WEB.parent / "tests/screens/effects.mjs").as_uri()


def test_the_last_figure_is_still_the_one_that_is_typed_when_there_are_fewer() -> None:
    """The warmth is asked between water and color only where the instrument does not correct for it."""
    itself = touch("the instrument corrects")
    eighteen = (touch("water"), touch("“1” 1"), touch("“8” 8"))
    color, warmth, fewer = (moments[-1] for moments in played(
        screen("extract-deck", *eighteen, itself, touch("color"), itself, touch("“7” 7")),
        screen("extract-deck", *eighteen, itself, touch("next: honey's warmth"), touch("“7” 7"), touch("“7” 7")),
        screen("extract-deck", *eighteen, itself, touch("color"), itself, itself, touch("“7” 7"), touch("“7” 7")),
        room="melt",
    ))  # fmt: skip
    said = "“What to weigh” : [a bucket, net –] [drained cappings –] [supers –] [water 18 %]"
    assert color.lines[2] == f"{said} [color 7 mm Pfund] (pressed)" and "[next:" not in color.text
    assert warmth.lines[2] == f"{said} [honey's warmth 77 °F] (pressed) [color –]" and "[next: color]" in warmth.lines
    assert fewer.lines[2] == f"{said} [honey's warmth 77 °F] (pressed) [color –]", "Where color stood, warmth stands now."


KEYED = """
  globalThis.HTMLInputElement = class {};
  const { effectsSince } = await import(asked.effects);
  const screen = new Screen('lot-deck', { pick: { good: 'bar', lot: 'W27-190-1', units: 5 } });
  await settled(screen);
  const typed = (keys) => {
    effectsSince();
    const { field, ...pressed } = keys;
    const target = field ? new HTMLInputElement() : {};
    dispatchEvent(Object.defineProperty(Object.assign(new Event('keydown'), pressed), 'target', { value: target }));
    return effectsSince();
  };
  const told = asked.keys.map(typed);
  screen.leave();
  return [...told, typed(asked.keys[0])];"""


def test_what_a_scanner_types_goes_into_the_field() -> None:
    """A letter or a figure by itself, while no field has the keyboard; and nothing once the deck is left."""
    keys: list[Json] = [
        {"key": "W"}, {"key": "7"}, {"key": "_"}, {"key": "-"}, {"key": " "}, {"key": "Enter"}, {"key": "F1"},
        {"key": "W", "ctrlKey": True}, {"key": "W", "metaKey": True}, {"key": "W", "altKey": True},
        {"key": "W", "shiftKey": True}, {"key": "W", "field": True},
    ]  # fmt: skip
    asked = {"keys": keys, "effects": EFFECTS}
    on = ["the keyboard is on input"]
    told = drawn_in_page("rooms/bench/bench-room.js", KEYED, asked, ROWS)
    assert told == [on, on, on, [], [], [], [], [], [], [], on, [], []]


def test_the_bench_is_drawn_again_once_a_drawing_has_come() -> None:
    body = """const [Board, heard] = [customElements.get('parcel-board').prototype, {}];
      let times = 0;
      const { requestUpdate } = Board;
      Object.assign(Board, {
        addEventListener: (what, told) => { heard[what] = told; },
        requestUpdate(...given) { times += 1; return requestUpdate.apply(this, given); },
      });
      await settled(new Screen('parcel-board', { order: 'o1' }));
      const before = times;
      heard.drawn(new Event('drawn'));
      return times - before;"""
    assert drawn_in_page("rooms/bench/bench-room.js", body, None, ROWS) == 1


def test_what_was_made_is_told_where_the_deck_begins() -> None:
    """The deck goes up once it is written down, and stays where it is when nothing was."""
    body = """const kind = customElements.get('step-deck').prototype;
      const { connectedCallback } = kind;
      const told = [];
      kind.connectedCallback = function () {
        this.closest = (which) => ({ scrollTo: (...to) => told.push([which, to]) });
        connectedCallback.call(this);
      };
      const screen = new Screen('step-deck', { from: 'cappings' });
      await settled(screen);
      const melt = async () => {
        for (const words of ['first melt out', '“1” 1', 'first melt done']) { screen.touch(words); await settled(screen); }
        told.push((await settled(screen)).some((line) => line.includes('Write on it')));
      };
      const { marks } = known;
      known.marks = { ...marks, frozen: 'It is a copy.' };
      await db.write(['keep'], (tx) => { tx.objectStore('keep').put({ ...known.marks }, 'marks'); });
      await melt();
      known.marks = marks;
      await db.write(['keep'], (tx) => { tx.objectStore('keep').put({ ...marks }, 'marks'); });
      screen.touch('first melt done');
      told.push((await settled(screen)).some((line) => line.includes('Write on it')));
      return told;"""
    assert drawn_in_page("rooms/melt/melt-room.js", body, None, ROWS) == [False, [".deck", [0, 0]], True]


def test_the_touch_that_pours_lets_the_device_sound_and_asks_it_to_tell() -> None:
    """Where the device may be asked to tell in other apps, too, the key stands until it was answered."""
    body = """const told = [];
      globalThis.AudioContext = class { state = 'suspended'; resume = async () => { told.push('may sound'); }; };
      globalThis.Notification = { permission: 'default', requestPermission: async () => { Notification.permission = 'granted'; } };
      const screen = new Screen('pour-deck');
      const offers = async () => (await settled(screen)).some((line) => line.includes('tell me when they are ready'));
      told.push(await offers());
      screen.touch('tell me');
      told.push(await offers());
      screen.touch('pour');
      await settled(screen);
      told.push('poured');
      screen.touch('knock out');
      await settled(screen);
      return told;"""
    told = drawn_in_page("rooms/melt/melt-room.js", body, None, ROWS)
    assert told == [True, False, "may sound", "poured", "may sound"]


def test_of_the_wax_that_was_weighed_some_stays_in_what_is_good() -> None:
    """The specked go back by count, but never all that was poured, however little that was."""
    body = """const { freshPour, keepPour, looked } = await module('parts/pour-state.js');
      const told = [];
      for (const [specked, poured_g] of asked) {
        const before = known.entries.size;
        keepPour({ ...looked(freshPour(1), 0, 10, specked), poured_g });
        const screen = new Screen('pour-deck');
        await settled(screen);
        screen.touch(`${10 - specked} wax bar`);
        await settled(screen);
        screen.leave();
        const rows = [...known.entries.values()].slice(before).flatMap(({ operation }) => operation.rows);
        told.push(rows.filter(({ table }) => table === 'movement').map(({ good, units, reason }) => [good, units, reason]));
      }
      return told;"""
    asked = [[8, 100], [8, 231], [8, 232], [8, 233], [8, 300], [0, 300]]
    told = drawn_in_page("rooms/melt/melt-room.js", body, asked, ROWS)
    assert [[units for good, units, _ in moved if good == "wax_back"] for moved in told] == [[99], [230], [231], [231], [231], []], told
