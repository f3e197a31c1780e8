"""Other calls of a device: what the list says of each, one that another window takes over, and how long a sentence and a call are."""

from __future__ import annotations

from typing import Any

import pytest

from screens.kinds_of_rows import good, moved, order, person
from screens.rows import DULUTH
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
ROWS: list[Json] = [
    good("bar", ("wax bar", "wax bars", "bars"), 1, 300, kind="wax", row=10),
    good("jar", ("honey jar", "honey jars", "jars"), 2, 1200, kind="honey"),
    moved("bar", 40, "opening", "2027-06-01"),
    person("ann", "Ann Tollefson", "+12185550142", DULUTH), person("cy", "", "+17155550134"),
    *order("o1", "ann", "pick_up", "promised", "2027-07-26", {"bar": (5, 1250)}),
    *order("o2", "cy", "pick_up", "promised", "2027-07-26", {"bar": (5, 1250)}),
]  # fmt: skip
LINES = [{"good": "bar", "units": 5}, {"good": "jar", "units": 1}, {"good": "bar", "units": 2}]
NAMED: list[tuple[Json, str]] = [
    ({"person": "ann", "lines": LINES[:1]}, "[Ann Tollefson 5 wax bars · on hold: go on]"),
    ({"person": "ann", "lines": LINES[:2]}, "[Ann Tollefson 5 wax bars, 1 honey jar · on hold: go on]"),
    ({"way": "walk_in", "lines": LINES}, "[Someone here 5 wax bars, 1 honey jar, 1 more · on hold: go on]"),
    ({"way": "walk_in", "person": "ann"}, "[Ann Tollefson on hold: go on]"),
    ({"lines": LINES[:1]}, "[No name yet 5 wax bars · on hold: go on]"),
    ({"amends": "o1", "person": "ann"}, "[Changing order A-1, Ann Tollefson on hold: go on]"),
    ({"amends": "o2", "person": "cy"}, "[Changing order A-2 on hold: go on]"),
    ({"amends": "gone", "person": "ann"}, "[Ann Tollefson on hold: go on]"),
]  # fmt: skip


def test_the_list_of_calls_on_hold_names_each_and_shows_four() -> None:
    body = """const { emptyDraft } = await module('rooms/counter/draft.js');
      const list = (drafts) => {
        known.sentences.clear();
        drafts.forEach((draft, at) => known.sentences.set(`s${at}`, { id: `s${at}`, owner: null, changed_at: `2027-07-24T1${at}:00:00Z`,
          draft: { ...emptyDraft(), started: 1, ...draft } }));
        return said(here.parkedCalls(known.view, () => {})).join(' ').replace('“Other calls” : ', '');
      };
      return [asked.map((draft) => list([draft])), [0, 4, 5, 6].map((many) => list(asked.slice(0, many)))];"""
    each, lists = drawn_in_page("rooms/counter/parked.js", body, [draft for draft, _said in NAMED], ROWS)
    assert each == [said for _draft, said in NAMED]
    assert [text.count("on hold: go on") for text in lists] == [0, 4, 4, 4]
    assert [text.rpartition("]")[2].strip() for text in lists] == ["", "", "1 more on hold", "2 more on hold"]


ROOM = """const { sentences, hearOfSentences } = await module('store/sentences.js');
  await (await module('store/phones.js')).phonesReady();
  const room = new Screen('counter-room', { path: [] });
  const has = (lines, words) => lines.some((line) => line.includes(words));
  const another = async (change) => {
    await sentences.settled();
    const id = sentences.mine?.id ?? known.sentences.keys().next().value;
    await db.write(['sentences'], async (tx) => {
      if (change) tx.objectStore('sentences').put({ ...known.sentences.get(id), ...change });
      else tx.objectStore('sentences').delete(id);
    });
    await hearOfSentences();
    return id;
  };
  await settled(room);
  room.fill('text', 'Ann');
  await settled(room);
  room.touch('Tollefson');
  await settled(room);
  room.touch('5');
  await settled(room);
"""


def test_a_call_that_another_window_writes_is_left_to_it_and_may_be_taken_over() -> None:
    """What stands here begins anew; the list says where it is written, and a touch takes it over."""
    body = f"""{ROOM}
      let held = [];
      navigator.locks.query = async () => ({{ held, pending: [] }});
      const id = await another({{ owner: 'another window' }});
      held = [{{ name: `honeyhold-sentence-${{id}}` }}, {{ name: `sentence-${{id}}` }}];
      await hearOfSentences();
      const away = await settled(room);
      room.touch('being written in another window');
      const back = await settled(room);
      return [[has(away, 'That order is being written in another window now.'), has(away, '# Next call'),
        has(away, '5 wax bars · being written in another window: take it over')],
        [has(back, 'That order is being written'), has(back, '[Ann Tollefson] wants [5 wax bars]'), sentences.mine?.id === id]];"""
    assert drawn_in_page("rooms/counter/counter-room.js", body, None, ROWS) == [[True, True, True], [False, True, True]]


def test_a_call_on_hold_that_is_gone_meanwhile_leaves_the_screen_as_it_is() -> None:
    body = f"""{ROOM}
      room.touch('5 wax bars'); await settled(room);
      room.touch('another call'); const parked = await settled(room);
      room.touch('what?'); await settled(room);
      room.touch('10'); await settled(room);
      const mine = sentences.mine.id;
      const list = () => [...known.sentences.values()].find((one) => one.id !== sentences.mine?.id);
      const gone = list();
      await db.write(['sentences'], async (tx) => tx.objectStore('sentences').delete(gone.id));
      room.touch('on hold: go on');
      const after = await settled(room);
      return [has(parked, '5 wax bars · on hold'), has(after, 'wants [10 wax bars]'), has(after, 'on hold: go on'),
          sentences.mine?.id === mine];"""
    assert drawn_in_page("rooms/counter/counter-room.js", body, None, ROWS) == [True, True, False, True]


def test_a_change_begun_before_is_gone_on_with_and_an_order_that_is_not_here_opens_nothing() -> None:
    body = f"""{ROOM}
      const at = async (...path) => {{ room.properties = {{ path }}; return settled(room); }};
      const none = await at('change', 'nobody');
      await at('change', 'o1');
      const first = sentences.mine.id;
      for (const words of ['5 wax bars', '10', '10 wax bars', 'another call']) {{
        room.touch(words);
        await settled(room);
      }}
      const again = await at('change', 'o1').then(() => at()).then(() => at('change', 'o1'));
      const same = sentences.mine.id === first;
      const stays = await at().then(() => at('change', 'o1'));
      return [has(none, '[Ann Tollefson] wants [5 wax bars]'), has(again, '# Changing order A-1'), same, has(stays, '# Changing order A-1'),
        sentences.mine.id === first, known.sentences.size];"""
    told = drawn_in_page("rooms/counter/counter-room.js", body, None, ROWS)
    assert told == [True, True, True, True, True, 2]


def test_a_device_that_keeps_nothing_says_so_while_a_call_is_written() -> None:
    body = f"""{ROOM}
      const kept = room.said();
      sentences.unkept = true;
      (await module('store/status.js')).change({{}});
      room.touch('5 wax bars');
      const words = 'This device keeps no copy of the sentence while you write it: do not reload.';
      return [has(kept, words), has(await settled(room), words)];"""
    assert drawn_in_page("rooms/counter/counter-room.js", body, None, ROWS) == [False, True]


def test_without_anybody_who_works_it_out_mailing_is_not_known_and_the_order_is_taken_all_the_same() -> None:
    body = f"""{ROOM}
      const composed = room.said();
      room.touch('take 5, 5 waiting'); await settled(room);
      room.touch('Read back');
      return [...composed, ...await settled(room)].filter((line) => /not known|Not known|plus mailing/.test(line));"""
    rows = [*ROWS, {"table": "setting", "id": "posting_prices", "value": "row,service\n"}]
    assert drawn_in_page("rooms/counter/counter-room.js", body, None, rows) == [
        "["
        "A"
        "n"
        "n"
        " "
        "Tollefson] wants [5 wax bars] (open) , by [mail] to [Duluth] , leaving [Monday] . They owe [$15.00 plus mailing] and pay [how?] .",
        "carton not known",
        "heat not known",
        "Not known yet: Neither this device nor the main computer can work it out now. The order can be taken all the same.",
        "Not known yet; it is asked again. Decide before it leaves.",
        "Ann Tollefson, at 218-555-0142, wants 5 wax bars, by mail to 41 Heron Sill Rd, Duluth MN 55811, leaving Monday. "
        "They owe $15.00 plus mailing and pay later.",
        "The price of mailing is not known yet: it cannot be worked out without signal now. It comes on top.",
        "Read without the carton and heat: not known yet.",
    ]


@pytest.mark.parametrize(("lines", "long", "very_long"), [(3, False, False), (4, True, False), (8, True, False), (9, True, True)])
def test_a_sentence_of_four_goods_is_long_and_one_of_nine_very_long(lines: int, long: bool, very_long: bool) -> None:
    body = """const { emptyDraft } = await module('rooms/counter/draft.js');
      const draft = { ...emptyDraft(), lines: Array.from({ length: asked }, () => ({ good: 'bar', units: 1 })) };
      return [here.sentenceToTouch(draft, known.view, '2027-07-24', null, () => {}), here.sentenceAloud(draft, known.view,
          '2027-07-24')].map((template) => {
        const screen = new Screen('', { template });
        screen.said();
        return ['data-long', 'data-very-long'].map((name) => screen.whole().includes(` ${name}=""`));
      });"""
    assert drawn_in_page("rooms/counter/sentence.js", body, lines, ROWS) == [[long, very_long]] * 2


def test_a_call_is_timed_for_an_hour() -> None:
    body = "return asked.map((ago) => new Screen('call-timer', { started: ago === null ? null : Date.now() - ago * 1000 }).said().join());"
    told = drawn_in_page("rooms/counter/call-timer.js", body, [None, 0, 65, 3600, 3601], ROWS)
    assert told == ["On the line", "On the line, 0:00", "On the line, 1:05", "On the line, 60:00", "On the line"]
