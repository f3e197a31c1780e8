"""What was noted at the bench stays as long as the order's leaving can be undone."""

from __future__ import annotations

from typing import Any

import pytest

from goods.in_node import in_node
from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page
from store.in_page import in_page

TODAY = "2027-07-26"


@pytest.mark.parametrize(("order", "over"), [
    ({"state": "gone", "gone_on": TODAY}, False),
    ({"state": "gone", "gone_on": "2027-07-25"}, True),
    ({"state": "gone", "gone_on": None}, True),
    ({"state": "let_go", "gone_on": None}, True),
    ({"state": "packed", "gone_on": None}, False),
    (None, False),
])  # fmt: skip
def test_a_note_is_over_the_day_after_its_order_left(order: dict[str, Any] | None, over: bool) -> None:
    assert in_node("parts/bench-notes.js", "here.isOver(asked[0] ?? undefined, asked[1])", [order, TODAY]) is over


def test_the_bench_drops_the_notes_of_what_is_over_and_nothing_else() -> None:
    """Of orders that went earlier, today, or were let go; of one that is to be packed; and what else the device keeps."""
    body = """const notes = await module('parts/bench-notes.js');
      const [o1, o2, o3, o4] = ['o1', 'o2', 'o3', 'o4'].map((id) => known.view.orders.get(id));
      const { today } = await module('store/house.js').then(({ house }) => ({ today: house.today() }));
      Object.assign(o1, { state: 'gone', gone_on: '2027-07-01' });
      Object.assign(o2, { state: 'gone', gone_on: today });
      Object.assign(o3, { state: 'let_go', gone_on: null });
      Object.assign(o4, { state: 'promised', gone_on: null });
      for (const id of ['o1', 'o2', 'o3', 'o4']) notes.note(id, { carton: id });
      localStorage.setItem('else', 'o1');
      await settled(new Screen('bench-room', { path: [] }));
      return [['o1', 'o2', 'o3', 'o4'].map((id) => notes.noteOf(id).carton ?? null), localStorage.getItem('else')];"""
    assert drawn_in_page("rooms/bench/bench-room.js", body, None, ROWS) == [[None, "o2", None, "o4"], "o1"]


UNKEPT = """(() => {
  const { setItem } = Object.getPrototypeOf(localStorage);
  Object.getPrototypeOf(localStorage).setItem = () => { throw new Error('full'); };
  here.note('o1', { carton: 'c8' });
  here.note('o1', { empty_g: 80 });
  const told = [here.noteOf('o1'), here.noteOf('o2').carton, localStorage.getItem('honeyhold.packing.o1')];
  here.dropNote('o1');
  told.push(here.noteOf('o1').carton);
  here.note('o2', { carton: 'c6' });
  Object.getPrototypeOf(localStorage).setItem = setItem;
  here.note('o2', { empty_g: 70 });
  localStorage.setItem('honeyhold.packing.o2', JSON.stringify({ carton: 'c10' }));
  return [...told, here.noteOf('o2').carton];
})()"""


def test_where_the_device_keeps_nothing_a_note_lasts_as_long_as_the_page() -> None:
    """One change after the other, until it is dropped; what can be kept again is read from where it is kept."""
    noted, other, kept, dropped, again = in_page("parts/bench-notes.js", UNKEPT)
    assert (noted["carton"], noted["empty_g"], other, kept) == ("c8", 80, None, None)
    assert (dropped, again) == (None, "c10")
