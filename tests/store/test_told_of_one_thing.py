"""What was done, or was not, with one thing is told as long as that thing is on the board, and not of the next one."""

from __future__ import annotations

from typing import Any

from goods.in_node import WEB
from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page
from store.in_page import in_page

Json = dict[str, Any]
SCREENS = (WEB.parent / "tests/screens").as_uri()
TOLD = """(async () => {
  const { Screen } = await import(`${asked.screens}/drawn.mjs`);
  const [{ Act }, { Part }] = await Promise.all(['parts/act.js', 'parts/part.js'].map(module));
  await (await module('store/phones.js')).phonesReady();
  for (const room of ['book', 'bench', 'shelf', 'settings']) await module(`rooms/${room}/${room}-room.js`);
  const { askAlso, WorkError } = await module('kernel/work.js');
  askAlso({ inReach: () => true, ask: async (name) => {
    if (name === 'stock.trace') return { answer: { lots: [], who_has: [{ person: 'ann', name: 'Ann', units: 1 }], not_named: [] } };
    throw new WorkError(true, 'Not now.', '');
  } });
  const acts = new Map();
  const { addController } = Part.prototype;
  Part.prototype.addController = function (one) {
    if (one instanceof Act) acts.set(this.constructor, [...(acts.get(this.constructor) ?? []), one]);
    return addController.call(this, one);
  };
  const settle = async () => { for (let turn = 0; turn < 6; turn += 1) await new Promise((later) => setTimeout(later, 0)); };
  const told = {};
  for (const [tag, name, one, other, more] of asked.elements) {
    acts.clear();
    const screen = new Screen(tag, { ...more, [name]: one });
    const look = async () => { screen.said(); await settle(); return screen.said().join(' ').includes('It broke.'); };
    await look();
    const [act] = acts.get(customElements.get(tag)) ?? [];
    act.failed({ message: 'It broke.', remedy: '' });
    const before = await look();
    act.host.requestUpdate();
    const again = await look();
    screen.properties = { ...more, [name]: other };
    const next = await look();
    screen.properties = { ...more, [name]: one };
    told[tag] = [before, again, next, await look()];
    screen.leave();
  }
  return told;
})()"""
PARCELS: list[Json] = [row for row in ROWS if row["table"] == "parcel"]
GUS, ANN = (next(row for row in ROWS if row["id"] == name) for name in ("gus", "ann"))
ELEMENTS: list[tuple[Any, ...]] = [
    ("arrival-keys", "order", "o4", "o5"), ("lot-board", "lot", "W27-190-1", "W27-200-1"), ("older-orders", "person", "ann", "ben"),
    ("order-board", "order", "o1", "o2"), ("pay-otherwise", "order", "o1", "o2"), ("payments-list", "order", "o1", "o2"),
    ("person-board", "person", "ann", "ben"), ("person-out", "person", ANN, GUS), ("same-person", "person", "ann", "ben"),
    ("send-again", "order", "o4", "o5"), ("standing-list", "person", "ann", "ben"), ("take-off", "order", "o1", "o2"),
    ("till-board", "day", "2027-07-24", "2027-07-23"), ("tracking-form", "parcel", PARCELS[0], PARCELS[1]),
    ("new-address", "order", "o1", "o2"), ("one-parcel", "order", "o1", "o2"), ("print-key", "of", "a", "b", {"words": "print"}),
    ("day-papers", "day", "2027-07-24", "2027-07-26"), ("parcel-board", "order", "o1", "o2"), ("labels-board", "good", "jar", "bar"),
    ("like-on-shelf", "good", "jar", "bar"), ("low-marks", "good", "jar", "bar"), ("good-prices", "good", "jar", "bar"),
    ("measure-board", "good", "jar", "bar"), ("sold-good", "good", "jar", "bar"),
]


def test_of_another_thing_on_the_board_nothing_is_told_that_was_done_before() -> None:
    """Drawn again it still is; another thing takes it away, and coming back does not bring it back."""
    elements = [[*one, {}] if len(one) == 4 else list(one) for one in ELEMENTS]
    told = in_page("store/database.js", TOLD, {"screens": SCREENS, "elements": elements}, ROWS)
    assert {tag: moments for tag, moments in told.items() if moments != [True, True, False, False]} == {}


NOTED = """
  await (await module('store/phones.js')).phonesReady();
  const told = [];
  for (const [what, one, other, field, key] of asked) {
    const screen = new Screen('book-room', { path: [what, one] });
    await settled(screen);
    if (field) screen.fill(field, 'drawn off slowly');
    screen.touch(key);
    const moments = [(await settled(screen)).join(' ')];
    screen.properties = { path: [what, other] };
    moments.push((await settled(screen)).join(' '));
    screen.leave();
    told.push(moments);
  }
  return told;"""


def test_what_was_written_for_one_stands_at_no_other() -> None:
    """From lot to lot, from order to order and from person to person in the book: each has a board of its own."""
    pairs = [("lot", "W27-190-1", "W27-200-1", "note", "write it down"), ("order", "o1", "o2", "", "cancel the order"),
             ("person", "ann", "ben", "name", "write it down")]  # fmt: skip
    told = drawn_in_page("rooms/book/book-room.js", NOTED, pairs, ROWS)
    for (what, *_), (written, other) in zip(pairs, told, strict=True):
        assert "[undo for 10 more minutes]" in written, what
        assert "[undo for" not in other, what
