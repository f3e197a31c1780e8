"""At the Bench where nothing is worked out: what was chosen by hand is kept, and a slip is sent on by the device."""

from __future__ import annotations

from typing import Any

import pytest

from screens.rows import ROWS
from store.drawn_in_page import drawn_in_page

Json = dict[str, Any]
BENCH = "rooms/bench/bench-room.js"


@pytest.mark.parametrize(("chosen", "kept"), [("c8", "c8"), (None, None)])
def test_a_parcel_packed_by_eye_is_in_the_carton_that_was_chosen(chosen: str | None, kept: str | None) -> None:
    body = """const notes = await module('parts/bench-notes.js');
      if (asked) notes.note('o7', { carton: asked });
      const screen = new Screen('pack-deck', { order: 'o7', note: notes.noteOf('o7') });
      await settled(screen);
      screen.touch('Packed');
      await settled(screen);
      return known.view.parcelsOf('o7').map(({ carton, dressing, plan, gross_g }) => [carton, dressing, plan, gross_g]);"""
    assert drawn_in_page(BENCH, body, chosen, ROWS) == [[kept, "plain", {}, 0]]


SENT = """
  const paper = () => new Response('%PDF', { headers: { 'Content-Type': 'application/pdf' } });
  let reach = true;
  Object.assign(globalThis, { open: () => {}, fetch: async () => { if (reach) return paper(); throw new TypeError('nobody'); } });
  const sent = [];
  Object.assign(navigator, { canShare: ({ files }) => files.length === 1, share: async ({ files }) => { sent.push(files[0].name); } });
  const screen = new Screen('pack-deck', { order: 'o3' });
  const says = async () => (await settled(screen))[0].replace(/blob:\\S*(?=\\))/, 'blob');
  await settled(screen);
  screen.touch('print the slip');
  const told = [await says()];
  screen.touch('send it on');
  told.push(await says());
  reach = false;
  screen.touch('send it on');
  told.push(await says());
  reach = true;
  screen.touch('print the slip');
  await settled(screen);
  reach = false;
  screen.touch('send it on');
  screen.properties = { order: 'o5' };
  told.push(await says());
  return [told, sent];"""


def test_a_slip_is_sent_on_where_the_main_computer_is_in_reach() -> None:
    """Sent, what was said of it stays; where it could not be, that is said, but not of another order."""
    told, sent = drawn_in_page(BENCH, SENT, None, ROWS)
    ready = "The slip is ready. [open the slip](blob) [send it on]"
    assert told == [ready, ready, "The slip cannot be shared without signal: print it.", "[print the slip]"]
    assert sent == ["packing slip.pdf"]


@pytest.mark.parametrize(("spread_g", "offered"), [(0.0004, False), (0.001, False), (0.002, True)])
def test_a_weight_without_a_spread_in_the_book_spreads_by_a_milligram(spread_g: float, offered: bool) -> None:
    body = """const notes = await module('parts/bench-notes.js');
      const { askAlso } = await module('kernel/work.js');
      askAlso({ inReach: () => true, ask: async () => ({ answer: { mass_g: 30, mass_sd_g: asked } }) });
      known.view.goods.get('bar').gross_sd_mg = 0;
      for (let at = 0; at < 3; at += 1) notes.keepWeighing('bar', { parcel: `p${at}`, count: 5, net_g: 150, division_g: 5 });
      return (await settled(new Screen('learnt-weight', { good: 'bar' }))).length > 0;"""
    assert drawn_in_page(BENCH, body, spread_g, ROWS) is offered
