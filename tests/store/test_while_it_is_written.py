"""As long as something is being written down or asked, its keys are off, and a second touch does nothing."""

from __future__ import annotations

from typing import Any

from screens.answers import ANSWERS
from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
ROOM = "rooms/settings/settings-room.js"


def test_a_first_question_takes_one_answer_at_a_time() -> None:
    """`next` and `skip` are off at once and nothing is written twice; where one is led does not depend on the second touch."""
    body = """const told = [];
      for (const { path, words, again } of asked) {
        const screen = new Screen('first-walk', { path });
        await settled(screen);
        const before = known.entries.size;
        location.hash = '#nowhere';
        screen.touch(words);
        if (again) screen.touch(again);
        const off = screen.said().flatMap((line) => line.match(/\\[[^\\]]*\\] \\(off[^)]*\\)/g) ?? []);
        await settled(screen);
        const wrote = [...known.entries.values()].slice(before).map(({ operation: { rows: [{ id, value }] } }) => [id ?? '', value]);
        told.push({ off, wrote: wrote.filter(([id]) => id !== 'first_questions'), to: location.hash });
        screen.leave();
      }
      return told;"""
    asked: list[Json] = [
        {"path": ["name"], "words": "next", "again": "next"}, {"path": ["goods"], "words": "these 3"},
        {"path": ["prices", "bar"], "words": "$2.50", "again": "$3.50"}, {"path": ["shelf", "jar"], "words": "24"},
        {"path": ["cartons"], "words": "these 3"}, {"path": ["cartons", "c6"], "words": "50", "again": "25"},
        {"path": ["molds"], "words": "40 bars", "again": "60 bars"}, {"path": ["honey"], "words": "Not yet", "again": "I asked"},
        {"path": ["help"], "words": "nobody"},
    ]  # fmt: skip
    name, goods, prices, shelf, cartons, count, molds, honey, helped = drawn_in_page(ROOM, body, asked, ROWS)
    skip, other = "[skip] (off)", "[or another number] (off)"
    assert [one["off"] for one in (name, goods, cartons, helped)] == [
        [skip, "[next] (off)"], [skip, "[these 3] (off)"], [skip, "[these 3] (off)"], [skip, "[nobody: to the Counter] (off)"],
    ]  # fmt: skip
    assert prices["off"] == [skip, "[$2.50] (off)", "[$3] (off, pressed)", "[$3.50] (off)", "[$4.50] (off)", other]
    assert shelf["off"] == [skip, "[none] (off)", "[6] (off)", "[12] (off)", "[24] (off, pressed)", other]
    assert count["off"] == [skip, "[5] (off)", "[10] (off)", "[25] (off)", "[50] (off)", other]
    assert molds["off"] == honey["off"] == [skip]
    assert [len(one["wrote"]) for one in (prices, count, molds, honey)] == [1, 1, 1, 1]
    assert (molds["wrote"][0], honey["wrote"][0]) == (["mould_sets", 4], ["posting_honey_asked", False])
    first = "#settings/first"
    assert [one["to"] for one in (name, goods, prices, shelf, cartons, count, molds, honey, helped)] == [
        f"{first}/goods", f"{first}/prices/bar", f"{first}/prices/jar", f"{first}/shelf/block", f"{first}/cartons/c6",
        f"{first}/cartons/c8", f"{first}/honey", f"{first}/help", "#counter",
    ]  # fmt: skip


HELD = """
  let held = false;
  let asks = 0;
  globalThis.fetch = async (path, { method = 'GET' } = {}) => {
    const door = `${method} ${new URL(path, 'https://honey.local').pathname}`;
    if (held) { asks += 1; return new Promise(() => {}); }
    if (!asked.answers[door]) throw new TypeError('there is no main computer here');
    return new Response(JSON.stringify(asked.answers[door]), { headers: { 'Content-Type': 'application/json' } });
  };
  known.marks.house = 'h1';
  const told = [];
  for (const { tag, fills = {}, first = [], words } of asked.screens) {
    const screen = new Screen(tag, { path: [] });
    await settled(screen);
    for (const key of first) { screen.touch(key); await settled(screen); }
    for (const [name, value] of Object.entries(fills)) { screen.fill(name, value); await settled(screen); }
    [held, asks] = [true, 0];
    screen.touch(words);
    const off = (await settled(screen)).flatMap((line) => line.match(/\\[[^\\]]*\\] \\(off[^)]*\\)/g) ?? []);
    told.push([off, asks]);
    held = false;
    screen.leave();
  }
  return told;"""


def test_what_is_asked_of_the_main_computer_is_asked_once() -> None:
    """Its key is off until the answer is there, and says so where it takes a while."""
    renew = ["show the address", "a new address"]
    screens: list[Json] = [
        {"tag": "devices-board", "first": ["remove it"], "words": "remove it"},
        {"tag": "calendar-board", "words": "show the address"}, {"tag": "calendar-board", "first": renew, "words": "yes, a new address"},
        {"tag": "out-board", "words": "save everything"},
        {"tag": "moved-board", "fills": {"address": "https://192.168.1.9:8471"}, "words": "send it there"},
        {"tag": "enrol-board", "fills": {"code": "ABCD", "name": "barn"}, "words": "add this device"},
        *({"tag": "late-board", "words": words} for words in ("take all in", "put it aside", "take it in")),
    ]  # fmt: skip
    told = drawn_in_page(ROOM, HELD, {"screens": screens, "answers": ANSWERS}, ROWS)
    aside = "[put it aside] (off)"
    late = ["[take all in in the order they were written; bars that are not there any more wait] (off)",
            *["[take it in] (off)", aside] * 2, aside, aside]  # fmt: skip
    assert [off for off, _ in told] == [
        ["[remove it] (off)"], ["[show the address] (off)"], ["[yes, a new address] (off)"], ["[getting it together …] (off)"],
        ["[sending it there …] (off)"], ["[asking the main computer …] (off)"], late, late, late,
    ]  # fmt: skip
    assert [asks for _, asks in told] == [1] * 9


TYPED = """
  const told = [];
  const freeze = async (frozen) => {
    known.marks = { ...known.marks, frozen };
    await db.write(['keep'], (tx) => { tx.objectStore('keep').put({ ...known.marks }, 'marks'); });
  };
  for (const { tag, given, figures, words, more, frozen } of asked) {
    await freeze(frozen ? 'It is a copy.' : '');
    const screen = new Screen(tag, given);
    const figure = async () => (await settled(screen)).find((line) => line.startsWith('{, inputmode none'))?.replace(/.*: ?|}/g, '');
    await settled(screen);
    for (const key of figures) { screen.touch(key); await settled(screen); }
    screen.touch(words);
    if (more) screen.touch(more);
    told.push([await figure(), (await settled(screen)).includes('# Not taken (heed)')]);
    screen.leave();
  }
  return told;"""


def test_a_figure_stays_where_it_was_not_written_and_where_another_was_typed_meanwhile() -> None:
    """What is written down makes room for the next; what is not is not to be typed again."""
    tax: Json = {"tag": "tax-board", "given": {}, "figures": ["“6” 6"], "words": "use this rate"}
    price: Json = {"tag": "good-prices", "given": {"good": "bar"}, "figures": ["“4” 4"], "words": "write it down"}
    count: Json = {"tag": "count-deck", "given": {"good": "block"}, "figures": ["“3” 3"], "words": "that many lie there"}
    cases = [{**one, **how} for one in (tax, price) for how in ({"frozen": True}, {"more": "“7” 7"}, {})]
    assert drawn_in_page(ROOM, TYPED, cases, ROWS) == [
        ["6", True], ["67", False], ["6", False], ["4", True], ["47", False], ["", False],
    ]  # fmt: skip
    cases = [{**count, **how} for how in ({"frozen": True}, {})]
    assert drawn_in_page("rooms/shelf/shelf-room.js", TYPED, cases, ROWS) == [["3", True], ["", False]]
