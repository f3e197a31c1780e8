"""A form is empty once what stood in it is written down, so that no second touch writes it twice; what was refused stays to be mended."""

from __future__ import annotations

from typing import Any

from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
FORMS = """
  await (await module('store/phones.js')).phonesReady();
  await module('rooms/book/book-room.js');
  const entries = () => db.read(['log'], (tx) => tx.objectStore('log').getAll());
  const told = [];
  for (const [tag, properties, key] of asked) {
    const screen = new Screen(tag, properties);
    const seen = (await entries()).length;
    const moments = [];
    const touched = async (fields) => {
      for (const [name, words] of Object.entries(fields)) screen.fill(name, words);
      const before = (await entries()).length;
      screen.touch(key);
      const said = (await settled(screen)).filter((line) => /no amount/i.test(line)).join(' ');
      const rows = (await entries()).slice(before).flatMap(({ operation }) => operation.rows.map(({ cents, note }) => [cents, note]));
      moments.push([said, rows]);
    };
    await settled(screen);
    await touched({ amount: '1,x', note: 'by two' });
    await touched({ amount: '1' });
    await touched({});
    screen.leave();
    told.push(moments);
  }
  return told;"""


def test_a_form_is_empty_once_it_was_written_down_and_not_before() -> None:
    """Of a payment the empty field stands for all that is owed still, without the note of before."""
    refused = "“1,x” is no amount. Write dollars and cents, such as 12.50."
    nothing = "No amount is written there. Write dollars and cents, such as 12.50."
    off, till, paid = drawn_in_page("rooms/book/take-off.js", FORMS, [
        ("take-off", {"order": "o12"}, "a lower price"), ("till-board", {"day": ""}, "put in"),
        ("pay-otherwise", {"order": "o12", "owes": 500}, "cash"),
    ], ROWS)  # fmt: skip
    assert off == [[refused, []], ["", [[-100, "by two"]]], [nothing, []]]
    assert till == [[refused, []], ["", [[100, "by two"]]], [nothing, []]]
    assert paid == [[refused, []], ["", [[100, "by two"]]], ["", [[500, ""]]]]
