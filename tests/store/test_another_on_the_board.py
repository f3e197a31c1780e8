"""One element shows one thing after the other: what was told, asked or learnt of the one is not told of the next."""

from __future__ import annotations

from typing import Any

from screens.acts import Act, touch
from screens.kinds_of_rows import TODAY
from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page
from store.screens_in_page import becomes, played, screen

Json = dict[str, Any]
UNDO = "[undo for 10 more minutes]"


def told_and_gone(room: str, words: str, *cases: tuple[str, list[Act], Json, Json], status: Json | None = None) -> None:
    """Each element says the words once its keys were touched; of another thing it does not, and not of the first one again either."""
    screens = [screen(tag, *acts, becomes(**other), becomes(**one), status=status, **one) for tag, acts, one, other in cases]
    for (tag, acts, *_), moments in zip(cases, played(*screens, room=room), strict=True):
        said = [words in moment.text for moment in moments]
        assert said[len(acts) :] == [True, False, False], (tag, [moment.lines for moment in moments])


def test_what_was_written_down_of_one_is_not_told_of_another() -> None:
    bar, jar = {"good": "bar"}, {"good": "jar"}
    melted = [touch("first melt out"), touch("“1” 1"), touch("first melt done")]
    told_and_gone("shelf", UNDO,
        ("like-on-shelf", [touch("20")], bar, jar), ("low-marks", [touch("20")], {"good": "c8"}, {"good": "c6"}),
    )  # fmt: skip
    told_and_gone("settings", UNDO,
        ("sold-good", [touch("stop selling it")], bar, jar), ("good-prices", [touch("take “5 for $12.50” away")], bar, jar),
        ("measure-board", [touch("write it down")], bar, jar),
    )  # fmt: skip
    told_and_gone("bench", UNDO,
        ("parcel-board", [touch("padded")], {"order": "o1"}, {"order": "o7"}),
        ("pack-deck", [touch("Mailed")], {"order": "o3"}, {"order": "o4"}),
    )  # fmt: skip
    told_and_gone("melt", UNDO, ("step-deck", melted, {"from": "cappings"}, {"from": "wax_coarse"}))


PRINTED = """
  const { askAlso } = await module('kernel/work.js');
  const answer = { html: '<body>paper</body>', notes: [], slip: '<body>slip</body>', label: null, no_label: 'no address', parcels: [] };
  askAlso({ inReach: () => true, ask: async () => ({ answer }) });
  const orders = ['o1', 'o3'].map((id) => known.view.orders.get(id));
  const screen = new Screen(asked.tag, { ...asked.one, orders });
  const says = async () => (await settled(screen)).some((line) => line.includes('printed from this device'));
  const told = [await says()];
  screen.touch(asked.words);
  told.push(await says());
  for (const thing of [asked.one, asked.other, asked.one]) {
    screen.properties = { ...thing, orders };
    told.push(await says());
  }
  return told;"""


def test_what_was_printed_of_one_is_not_told_of_another() -> None:
    labels = {"tag": "labels-board", "one": {"good": "bar"}, "other": {"good": "jar"}, "words": "print 50 labels"}
    papers = {"tag": "day-papers", "one": {"day": TODAY}, "other": {"day": "2027-07-26"}, "words": "print all papers of the day"}
    for room, asked in (("shelf", labels), ("bench", papers)):
        assert drawn_in_page(f"rooms/{room}/{room}-room.js", PRINTED, asked, ROWS) == [False, True, True, False, False]


def test_a_slip_that_comes_late_is_told_of_its_own_order_alone() -> None:
    """It is on its way from the main computer while another order is opened; and while one stays it is told."""
    body = """const slips = [];
      Object.assign(globalThis, { open: () => {}, fetch: (path) => new Promise((come) => slips.push(() => come(new Response(path)))) });
      const told = [];
      for (const goes of [false, true]) {
        const screen = new Screen('pack-deck', { order: 'o3' });
        await settled(screen);
        screen.touch('print the slip');
        told.push((await settled(screen))[0]);
        if (goes) screen.properties = { order: 'o5' };
        told.push((await settled(screen))[0]);
        slips.splice(0).forEach((come) => come());
        told.push((await settled(screen))[0]);
        screen.leave();
      }
      return told.map((line) => line.replace(/blob:\\S*(?=\\))/, 'blob'));"""
    keys = "[print the slip]"
    ready = "The slip is ready. [open the slip](blob)"
    making = "making the slip …"
    assert drawn_in_page("rooms/bench/bench-room.js", body, None, ROWS) == [making, making, ready, making, keys, keys]


def test_the_weight_of_another_good_is_not_told_as_learned_and_not_undone() -> None:
    """One undo gives back the weighings of the good that learned."""
    body = """const notes = await module('parts/bench-notes.js');
      const { askAlso } = await module('kernel/work.js');
      askAlso({ inReach: () => true, ask: async () => ({ answer: { mass_g: 33.3, mass_sd_g: 2.8 } }) });
      for (let at = 0; at < 3; at += 1) notes.keepWeighing('bar', { parcel: `p${at}`, count: 5, net_g: 170, division_g: 5 });
      const screen = new Screen('learnt-weight', { good: 'bar' });
      await settled(screen);
      screen.touch('use 33 g');
      const told = [await settled(screen)];
      screen.properties = { good: 'jar' };
      told.push(await settled(screen));
      screen.properties = { good: 'bar' };
      return [...told, await settled(screen), ['bar', 'jar'].map((id) => notes.weighingsOf(id).length)];"""
    learned, *others = drawn_in_page("rooms/bench/learnt-weight.js", body, None, ROWS)
    assert learned == ["The book has learned it.", UNDO] and others == [[], [], [0, 0]]


def test_the_heights_of_one_order_are_let_go_once_where_another_comes() -> None:
    body = """const { HeldHeights } = await module('parts/held-heights.js');
      let let_go = 0;
      HeldHeights.prototype.letGo = () => { let_go += 1; };
      const screen = new Screen('parcel-board', { order: 'o1' });
      const told = [];
      for (const order of ['o1', 'o1', 'o7', 'o7', 'o1']) {
        screen.properties = { order };
        await settled(screen);
        if (order === 'o1') { screen.touch('one more'); await settled(screen); }
        told.push(let_go);
      }
      return told;"""
    assert drawn_in_page("rooms/bench/bench-room.js", body, None, ROWS) == [1, 1, 2, 2, 3]
